import type { Weakness } from '../chart/find/sort-songs.js';
import type { Pedal } from '../playback/pedals.js';
import type { InSpec, LatenessReport, OutSpec } from '../player/messages.js';
import type { PassResult } from '../shed/ladder.js';
import type { Listening } from './listener.js';
import type { BandCall } from './state/band.js';
import type { Choices } from './state/choices.js';
import type { HintName } from './state/hint-names.js';
import type { LibraryItem, ListOrder, OpenKind, SongWishes } from './state/library.js';
import type { Look } from './state/look.js';
import type { Effect, Message } from './state/messages.js';
import type { ScreenSettings } from './state/model.js';
import type { GrowingTranscript, PassRecord } from './state/modes.js';
import type { OwnStart } from './state/stand-start.js';

/** What the screen needs from outside: charts from files, and a memory. */
export interface Surroundings {
  readonly look: Look;
  /** Whether the terminal is asked for its background. */
  readonly asksBackground: boolean;
  readonly settings: ScreenSettings;
  /** Of these the first that can be opened; all of `also` with it. */
  readonly outs: readonly OutSpec[];
  readonly also: readonly OutSpec[];
  /** What is set for an output that is chosen later. */
  readonly setting: (out: OutSpec) => OutSpec;
  /** The external clock that is followed. */
  readonly follow: InSpec | null;
  /** What is reported about lateness at the end, if asked for. */
  readonly onLateness: ((report: LatenessReport) => void) | null;
  /** Says what failed, once the terminal has been put back. */
  readonly onFailure: (message: string) => void;
  /** What is shown first. */
  readonly first: readonly Message[];
  /** Opens a chart, a set or a folder by its path, or a song to be written down. */
  readonly open: (file: string, wishes: SongWishes, kind: OpenKind) => Message;
  readonly keep: (file: string, choices: Partial<Choices>, played: boolean) => void;
  /** Writes a chart's text over what its file holds. */
  readonly write: (file: string, text: string, before: string) => Message;
  /** Writes a pass into the diary. */
  readonly record: (record: PassRecord, result: PassResult) => string | null;
  /** Writes a new chart. */
  readonly writeNew: (title: string, text: string) => Message;
  readonly rememberOutput: (out: OutSpec) => void;
  /** Writes a chart's text under a name of its own. */
  readonly writeCopy: (of: string, name: string, text: string) => Message;
  /** Keeps where the run of a set is, and what is being written down; answers a sentence where it cannot be kept. */
  readonly keepRun: (file: string, run: Extract<Effect, { kind: 'keep-run' }>['run']) => string | null;
  readonly keepTranscript: (name: string, transcript: GrowingTranscript | null) => string | null;
  /** The charts among which a request can be found, and one of them as a song of the run. */
  readonly requests: () => Message;
  readonly request: (file: string, id: number) => Message;
  /** Reads a file of a list; what was read is kept for the next start when all of it is. */
  readonly readItem: (file: string) => LibraryItem;
  readonly keepItems: () => void;
  /** How weak songs are by the diary, by title. */
  readonly weakSongs: () => ReadonlyMap<string, Weakness>;
  readonly keepOrder: (order: ListOrder) => void;
  readonly keepHints: (left: readonly HintName[]) => void;
  readonly keepPedals: (pedals: readonly Pedal[]) => void;
  /** How the microphone is listened to, where that is asked for. */
  readonly listening: Listening;
  /** How a band is met; absent where there can be none. */
  readonly band?: BandCall | null;
  /** How charts start that come from a leader. */
  readonly followStart: OwnStart;
  /** Where pedals are listened for; `null`: nowhere, until one is to be learned. */
  readonly pedalsFrom: readonly InSpec[] | 'all' | null;
}
