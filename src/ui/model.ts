import type { Chart } from '../chart/chart.js';
import type { Instrument } from '../hand/instrument.js';
import type { PlanOptions } from '../hand/plan.js';
import type { ClientMessage } from '../player/client.js';
import type { Destinations, FollowState, OutSpec, ToPlayer } from '../player/messages.js';
import type { Key } from '../theory/key.js';
import type { Arrangement, ArrangeOptions } from '../time/arrange.js';
import type { Click } from '../time/click.js';
import type { Conductor, Take } from '../time/conductor.js';
import type { Pattern } from '../time/pattern.js';
import type { Segment, Span } from '../time/segment.js';
import type { Mix, Sound } from '../time/sound.js';
import type { Action } from './keymap.js';
import type { Look } from './theme.js';

/** What a set says about a song; what is `null` is as the chart has it. */
export interface SongWishes {
  readonly key: Key | null;
  readonly bpm: number | null;
}

/** One line of a list of charts and sets. A file with faults is listed too, with the first of them. */
export interface LibraryItem {
  readonly file: string;
  readonly kind: 'chart' | 'set' | 'faulty';
  readonly title: string;
  /** Key, tempo and meter, or the fault. */
  readonly detail: string;
  readonly wishes: SongWishes;
}

/** A list of charts and sets; a set's list has the one it was opened from. */
export interface Library {
  readonly title: string;
  readonly items: readonly LibraryItem[];
  readonly index: number;
  readonly from: Library | null;
}

/** A chart on the stand. */
export interface Stand {
  readonly file: string;
  readonly chart: Chart;
  readonly key: Key;
  readonly instrument: Instrument;
  readonly plan: Partial<PlanOptions>;
  readonly sound: Sound;
  readonly mix: Mix;
  readonly click: Click;
  /** The right-hand pattern that was chosen; `null` leaves it to the chart. */
  readonly pattern: Pattern | null;
  /** The user's own patterns. */
  readonly patterns: readonly Pattern[];
  readonly ramp: Take['ramp'] | null;
  /** Beats a minute, as the chart counts them. */
  readonly bpm: number;
  readonly countIn: number;
  readonly passes: number | null;
  readonly range: { readonly from: number; readonly to: number } | null;
  /** The latest arrangement, and the id of the one that is wanted. */
  readonly arrangement: Arrangement | null;
  readonly arranged: number;
  readonly wanted: number;
  readonly conductor: Conductor | null;
  readonly cursor: Cursor;
  /** Play was pressed before all was ready: it begins as soon as it is. */
  readonly eager: boolean;
}

/** Where the stand is. `beat` is `null` while nothing moves. */
export interface Cursor {
  readonly bar: number;
  readonly beat: number | null;
  readonly pass: number;
  readonly counting: boolean;
}

/** What is known of the player. */
export interface PlayerView {
  readonly state: 'running' | 'paused' | 'stopped';
  readonly spans: readonly Span[];
  /** How early the output wants its messages, ms. */
  readonly lead: number;
  readonly output: string | null;
  readonly out: OutSpec | null;
  readonly destinations: Destinations | null;
  /** A transport tick beyond everything that was played. */
  readonly freeTick: number;
  /** The outside clock: what is listened to (`null`: none), how it does, and its place in ticks. */
  readonly following: {
    readonly label: string | null;
    readonly state: FollowState | null;
    readonly song: number;
  };
}

/** Everything the screen is drawn from. */
export interface Model {
  readonly size: { readonly columns: number; readonly rows: number };
  readonly look: Look;
  readonly screen: 'library' | 'stand';
  /** A list or text in front of the stand. */
  readonly panel: 'keys' | 'outputs' | 'voices' | 'click' | 'patterns' | 'help' | null;
  /** The voice that is chosen in the list of voices. */
  readonly voice: number;
  readonly library: Library | null;
  readonly stand: Stand | null;
  readonly player: PlayerView;
  /** One line that the player should read. */
  readonly notice: string;
}

/** What happened. `at` is the monotonic clock, in ms. */
export type Message =
  | { readonly kind: 'action'; readonly action: Action; readonly at: number }
  | { readonly kind: 'resized'; readonly columns: number; readonly rows: number }
  | { readonly kind: 'library'; readonly library: Library }
  | { readonly kind: 'highlighted'; readonly index: number }
  | { readonly kind: 'picked'; readonly file: string; readonly wishes: SongWishes }
  | {
      readonly kind: 'chart-opened';
      readonly file: string;
      readonly chart: Chart;
      readonly start: StandStart;
    }
  | { readonly kind: 'open-failed'; readonly reason: string }
  | { readonly kind: 'arranged'; readonly id: number; readonly arrangement: Arrangement; readonly at: number }
  | { readonly kind: 'key-chosen'; readonly key: Key }
  | { readonly kind: 'click-chosen'; readonly click: Click; readonly at: number }
  | { readonly kind: 'pattern-chosen'; readonly pattern: Pattern | null }
  | { readonly kind: 'out-chosen'; readonly out: OutSpec }
  | { readonly kind: 'player'; readonly message: ClientMessage; readonly at: number }
  | { readonly kind: 'clock'; readonly at: number };

/** How a chart starts on the stand. */
export interface StandStart {
  readonly key: Key;
  readonly bpm: number;
  readonly countIn: number;
  readonly passes: number | null;
  readonly range: Stand['range'];
  readonly from: number;
  readonly instrument: Instrument;
  readonly plan: Partial<PlanOptions>;
  readonly sound: Sound;
  readonly mix: Mix;
  readonly click: Click;
  readonly pattern: Pattern | null;
  readonly patterns: readonly Pattern[];
  readonly ramp: Take['ramp'] | null;
}

/** What is to be done. The runtime does it; nothing else does. */
export type Effect =
  | { readonly kind: 'open'; readonly file: string; readonly wishes: SongWishes }
  | { readonly kind: 'arrange'; readonly id: number; readonly chart: Chart; readonly options: ArrangeOptions }
  | { readonly kind: 'append'; readonly segments: readonly Segment[] }
  | { readonly kind: 'replace'; readonly tick: number; readonly segments: readonly Segment[] }
  | { readonly kind: 'levels'; readonly levels: readonly number[] }
  | { readonly kind: 'tell'; readonly message: ToPlayer }
  | { readonly kind: 'open-output'; readonly outs: readonly OutSpec[] }
  | { readonly kind: 'remember-output'; readonly out: OutSpec }
  | { readonly kind: 'leave' };

/** The answer of an update: the next model and what is to be done. */
export interface Updated {
  readonly model: Model;
  readonly effects: readonly Effect[];
}

/** A model before anything has happened. */
export function firstModel(look: Look, columns: number, rows: number): Model {
  return {
    size: { columns, rows },
    look,
    screen: 'library',
    panel: null,
    library: null,
    stand: null,
    player: {
      state: 'stopped',
      spans: [],
      lead: 0,
      output: null,
      out: null,
      destinations: null,
      freeTick: 0,
      following: { label: null, state: null, song: 0 },
    },
    voice: 0,
    notice: '',
  };
}
