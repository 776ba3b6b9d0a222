import type { Publish } from '../../band/band.js';
import type { Topic } from '../../band/link.js';
import type { Chart } from '../../chart/chart.js';
import type { Weakness } from '../../chart/find/sort-songs.js';
import type { Transcript } from '../../chart/transcript.js';
import type { EarMessage } from '../../ear/client.js';
import type { ShapePick } from '../../hand/plan.js';
import type { MeetingEvent } from '../../link/meeting-types.js';
import type { EvenChops } from '../../listen/four-chops.js';
import type { PassTold } from '../../listen/live/pass-ear.js';
import type { CourseToTune } from '../../listen/tuning-ear.js';
import type { Pedal, PedalUse } from '../../playback/pedals.js';
import type { Command } from '../../playback/session.js';
import type { ClientMessage } from '../../player/client.js';
import type { OutSpec } from '../../player/messages.js';
import type { Drill } from '../../shed/drill.js';
import type { PassResult } from '../../shed/ladder.js';
import type { SittingItem } from '../../shed/sitting-item.js';
import type { Key } from '../../theory/key.js';
import type { Arrangement } from '../../time/arrange.js';
import type { Click } from '../../time/click.js';
import type { Pattern } from '../../time/pattern.js';
import type { Action } from '../keys/actions.js';
import type { Ask } from './asks.js';
import type { Choices } from './choices.js';
import type { HintName } from './hint-names.js';
import type { Library, LibraryItem, ListOrder, OpenKind, SongWishes } from './library.js';
import type { Background } from './look.js';
import type { BrokenRun, GrowingTranscript, PassRecord, StandSong, StandStart } from './modes.js';

/** A chart was opened: what it is, how it starts, its file's text. */
export interface ChartOpened {
  readonly kind: 'chart-opened';
  readonly file: string;
  readonly chart: Chart;
  readonly start: StandStart;
  readonly source: string;
  /** Where it is a count in which a chart is written down. */
  readonly transcript?: Transcript;
  /** The name under which that is kept while it grows. */
  readonly draft?: string;
  /** Where it is a drill. */
  readonly drill?: Drill;
  /** Where it is a click without a song. */
  readonly click?: true;
}

/** A set is run from one of its songs on; `waits`: it is resumed, and its first card waits. */
export interface SetOpened {
  readonly kind: 'set-opened';
  readonly file: string;
  readonly title: string;
  readonly songs: readonly StandSong[];
  readonly faults: readonly string[];
  readonly from: number;
  readonly waits: boolean;
  readonly broken: BrokenRun | null;
  readonly notice: string;
  readonly at: number;
}

/** What happened. `at` is the monotonic clock, in ms. */
export type Message =
  /** `foot`: the key, where it is one that foot switches send too. */
  | { readonly kind: 'action'; readonly action: Action; readonly at: number; readonly foot?: string }
  | { readonly kind: 'resized'; readonly columns: number; readonly rows: number }
  | { readonly kind: 'library'; readonly library: Library }
  /** Files of the lists were read. */
  | { readonly kind: 'items-read'; readonly items: readonly LibraryItem[] }
  /** The diary was read: how weak its songs are, by title. */
  | { readonly kind: 'weak-songs'; readonly weak: ReadonlyMap<string, Weakness> }
  /** A chart was played, ms since 1970. */
  | { readonly kind: 'chart-played'; readonly file: string; readonly played: number }
  | { readonly kind: 'typed'; readonly text: string }
  /** Text was pasted: its beginning, and whether there was more of it. */
  | { readonly kind: 'pasted'; readonly text: string; readonly more: boolean }
  /** More keys came at once than anybody can type; they were dropped. */
  | { readonly kind: 'flooded' }
  /** Another line of a list is chosen. */
  | { readonly kind: 'highlighted'; readonly index: number }
  | ChartOpened
  | { readonly kind: 'open-failed'; readonly reason: string }
  | { readonly kind: 'arranged'; readonly id: number; readonly arrangement: Arrangement; readonly at: number }
  | { readonly kind: 'key-chosen'; readonly key: Key }
  | { readonly kind: 'click-chosen'; readonly click: Click; readonly at: number }
  | { readonly kind: 'pattern-chosen'; readonly pattern: Pattern | null }
  | { readonly kind: 'shape-chosen'; readonly pick: ShapePick | null }
  | { readonly kind: 'out-chosen'; readonly out: OutSpec }
  | { readonly kind: 'drill-chosen'; readonly drill: Drill }
  /** A sitting begins; `start`: how its drills start. */
  | {
      readonly kind: 'sitting';
      readonly items: readonly SittingItem[];
      readonly start: StandStart;
      readonly at: number;
    }
  | SetOpened
  /** The charts among which a request can be found; a song that was found. */
  | { readonly kind: 'requests'; readonly library: Library }
  | { readonly kind: 'request-found'; readonly song: StandSong }
  | { readonly kind: 'pedal-chosen'; readonly use: PedalUse }
  /** The text of the chart that stood in `of` was written: where, and what to say about it. */
  | {
      readonly kind: 'written';
      readonly of: string;
      readonly file: string;
      readonly text: string;
      readonly says: string;
      readonly open: boolean;
    }
  /** Something could not be written; `of`: the file of a chart, whose text may go into another file; `elsewhere`: why, in a few words, and its name. */
  | {
      readonly kind: 'not-written';
      readonly reason: string;
      readonly of?: string;
      readonly elsewhere?: { readonly why: string; readonly name: string } | null;
    }
  | { readonly kind: 'player'; readonly message: ClientMessage; readonly at: number }
  /** The ear's process said something; with `opened` whether calibration knows it there, and the file that what is heard is kept in. */
  | {
      readonly kind: 'ear';
      readonly message: EarMessage;
      readonly at: number;
      readonly calibrated?: boolean;
      readonly keeps?: string;
    }
  /** What was heard of the music that is played. */
  | { readonly kind: 'pass-told'; readonly told: PassTold; readonly at: number }
  /** Even chops were heard while nothing plays; `late`: how late strokes are heard and sounds come out, ms; `null`: that was never measured. */
  | { readonly kind: 'chopped'; readonly chops: EvenChops; readonly late: number | null; readonly at: number }
  /** This stand begins to lead a band, or joins one. */
  | { readonly kind: 'band-begins'; readonly begins: 'lead' | 'join'; readonly at: number }
  /** Something happened where the band meets. */
  | { readonly kind: 'meeting'; readonly event: MeetingEvent; readonly at: number }
  /** The terminal has reported its background; `null`: it is neither dark nor light. */
  | { readonly kind: 'background'; readonly background: Background | null }
  /** Something that a typed command asks for in one step, and keys choose step by step. */
  | { readonly kind: 'asked'; readonly ask: Ask; readonly at: number }
  | { readonly kind: 'clock'; readonly at: number };

/** The message of a kind. */
export type MessageOf<K extends Message['kind']> = Extract<Message, { readonly kind: K }>;

/** A song of a run that is kept. */
export interface KeptSong {
  readonly file: string;
  /** Its place in the set's file, from 0; `null` for one that was asked for. */
  readonly entry: number | null;
  readonly key: string;
}

/** What to do. The rim does it; nothing else does. */
export type Effect =
  | Command
  | {
      readonly kind: 'open';
      readonly file: string;
      readonly wishes: SongWishes;
      readonly from: OpenKind;
    }
  | { readonly kind: 'open-output'; readonly outs: readonly OutSpec[] }
  /** Starts or stops listening with the microphone. */
  | { readonly kind: 'listen'; readonly on: boolean }
  /** Courses are heard for tuning; `null`: no longer. */
  | { readonly kind: 'hear-courses'; readonly courses: readonly CourseToTune[] | null }
  | { readonly kind: 'remember-output'; readonly out: OutSpec }
  /** Keeps what a player chose for a chart, beside what is kept of it; `played`: it begins to play now. */
  | {
      readonly kind: 'keep';
      readonly file: string;
      readonly choices: Partial<Choices>;
      readonly played: boolean;
    }
  /** Writes a pass into the diary, now. */
  | { readonly kind: 'record'; readonly record: PassRecord; readonly result: PassResult }
  /** Keeps where the run of a set is; `null`: it came to its end, or is not wanted any more. */
  | {
      readonly kind: 'keep-run';
      readonly file: string;
      readonly run: { readonly songs: readonly KeptSong[]; readonly at: number } | null;
    }
  /** Keeps what is being written down; `null`: it is in a chart now, or is not wanted. */
  | { readonly kind: 'keep-transcript'; readonly name: string; readonly transcript: GrowingTranscript | null }
  /** Marks a place to be looked at later, in the diary, now. */
  | { readonly kind: 'mark-later'; readonly record: PassRecord }
  | { readonly kind: 'list-requests' }
  /** Files of a list are read, bit by bit. */
  | { readonly kind: 'read-items'; readonly files: readonly string[] }
  /** The diary is read for how weak its songs are. */
  | { readonly kind: 'find-weak' }
  /** Keeps the order in which lists are shown. */
  | { readonly kind: 'keep-order'; readonly order: ListOrder }
  | { readonly kind: 'find-request'; readonly file: string; readonly id: number }
  | { readonly kind: 'keep-pedals'; readonly pedals: readonly Pedal[] }
  /** Keeps which hints a newcomer has still to see. */
  | { readonly kind: 'keep-hints'; readonly left: readonly HintName[] }
  /** Writes a chart's text over `before`, which must still be what the file holds. */
  | { readonly kind: 'write'; readonly file: string; readonly text: string; readonly before: string }
  /** Writes the text of the chart that stood in `of` into the user's folder, under a name of its own. */
  | { readonly kind: 'write-copy'; readonly of: string; readonly name: string; readonly text: string }
  /** Writes a new chart into the user's folder. */
  | { readonly kind: 'write-new'; readonly title: string; readonly text: string }
  /** Opens the meeting of a band. */
  | { readonly kind: 'meet'; readonly begins: 'lead' | 'join' }
  | { readonly kind: 'band-publish'; readonly publishes: readonly Publish[] }
  | { readonly kind: 'band-subscribe'; readonly topics: readonly Topic[] }
  /** This stand leads, or no longer does. */
  | { readonly kind: 'band-leads'; readonly leads: boolean }
  /** A stand, by its id, is no longer let in. */
  | { readonly kind: 'turn-away'; readonly id: string }
  /** This stand has left the band and said so: the meeting is closed. */
  | { readonly kind: 'leave-band' }
  /** Stops the program as the shell's job control does, until it is called back. */
  | { readonly kind: 'suspend' }
  | { readonly kind: 'leave' };
