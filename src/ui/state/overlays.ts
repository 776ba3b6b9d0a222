import type { BarSource } from '../../chart/chart.js';
import type { Destinations } from '../../player/messages.js';
import type { Drill } from '../../shed/drill.js';
import type { Library } from './library.js';
import type { StandSong } from './modes.js';

/** What a typed line is for, with what is needed to check and use its text. */
export type LinePurpose =
  /** A bar is written again: the cursor may have gone on meanwhile. */
  | { readonly kind: 'bar'; readonly source: BarSource }
  | { readonly kind: 'go-to' }
  | { readonly kind: 'share' }
  /** The name under which a chart's text goes into the player's own folder. */
  | { readonly kind: 'save-as' }
  /** The title of a chart that was written down. */
  | { readonly kind: 'title' }
  /** A song is asked of the leader. */
  | { readonly kind: 'ask-song' }
  /** The name under which the leader's chart goes into the player's own folder. */
  | { readonly kind: 'keep-chart' }
  /** The key of a song that was asked for. */
  | { readonly kind: 'request-key'; readonly song: StandSong };

/** A line that is being typed. */
export interface LineOverlay {
  readonly kind: 'line';
  readonly purpose: LinePurpose;
  readonly label: string;
  readonly text: string;
  /** Where the next character goes: characters from the left. */
  readonly caret: number;
  /** What is wrong with it so far; empty when nothing is. */
  readonly fault: string;
  /** What it is typed in front of, and leads back to. */
  readonly behind: RequestsOverlay | null;
}

/** A set's running order: the line that is chosen, and what was typed to find a song. */
export interface OrderOverlay {
  readonly kind: 'order';
  readonly chosen: number;
  readonly query: string;
  /** What one of the band has asked for, to be looked for among the charts. */
  readonly asked?: string;
}

/** The band: who is there, what is asked for, and what can be said. */
export interface BandOverlay {
  readonly kind: 'band';
  /** Which line is chosen of what a leader can act on: the songs that were asked for, then the other stands. */
  readonly chosen: number;
  /** A break was called: it is asked whose. */
  readonly whose: boolean;
}

/** The charts among which a request is looked for. */
export interface RequestsOverlay {
  readonly kind: 'requests';
  readonly library: Library;
  /** The running order it leads back to. */
  readonly order: OrderOverlay;
}

/** How a course is tuned, as it was heard last. */
export interface TunedCourse {
  readonly cents: number;
  readonly apartCents: number;
}

/** The courses are tuned by ear: what was heard of each. */
export interface TuningOverlay {
  readonly kind: 'tuning';
  /** By the course's place; `null` for one that was not heard yet. */
  readonly courses: readonly (TunedCourse | null)[];
  /** The course that was struck last, or was chosen. */
  readonly at: number;
  /** What to say about what was struck last; empty when there is nothing. */
  readonly remark: string;
  /** What was struck before this is not judged: the program's own tone sounded, ms. */
  readonly deafUntil: number;
}

/** A list, a text or a line in front of what the player is doing. */
export type Overlay =
  | { readonly kind: 'keys' }
  /** `destinations`: what can be heard now; `null` until the player has said. */
  | { readonly kind: 'outputs'; readonly destinations: Destinations | null }
  /** `chosen`: an index into the voices. */
  | { readonly kind: 'voices'; readonly chosen: number }
  | { readonly kind: 'click' }
  | { readonly kind: 'patterns' }
  /** `shown`: the line whose shape is drawn. */
  | { readonly kind: 'shapes'; readonly shown: number }
  | { readonly kind: 'drills'; readonly drills: readonly Drill[] }
  | { readonly kind: 'help'; readonly page: number }
  | { readonly kind: 'pedals' }
  | TuningOverlay
  | BandOverlay
  | OrderOverlay
  | RequestsOverlay
  | LineOverlay;

/** The overlay of a kind. */
export type OverlayOf<K extends Overlay['kind']> = Extract<Overlay, { readonly kind: K }>;
