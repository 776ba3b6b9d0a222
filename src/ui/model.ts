import type { BarSource, Chart } from '../chart/chart.js';
import type { Taken } from '../chart/taken.js';
import type { Instrument } from '../hand/instrument.js';
import type { Pick, PlanOptions } from '../hand/plan.js';
import type { ClientMessage } from '../player/client.js';
import type { Destinations, FollowState, OutSpec, ToPlayer } from '../player/messages.js';
import { noPedals, type Pedal, type PedalBoard, type PedalUse } from '../player/pedals.js';
import type { Run, RunSong } from '../setlist/run.js';
import type { DiaryEntry } from '../shed/diary.js';
import type { Drill } from '../shed/drill.js';
import type { Ladder, PassResult } from '../shed/ladder.js';
import type { SittingItem } from '../shed/sitting-item.js';
import type { Key } from '../theory/key.js';
import type { Arrangement, ArrangeOptions } from '../time/arrange.js';
import type { Click } from '../time/click.js';
import type { Conductor, Take } from '../time/conductor.js';
import type { Pattern } from '../time/pattern.js';
import type { Segment, Span } from '../time/segment.js';
import type { Mix, Sound } from '../time/sound.js';
import type { Choices } from './choices.js';
import type { Names } from './draw/bar.js';
import type { LayoutKind } from './draw/layout.js';
import { type Action, type Binding, usualBindings } from './keymap.js';
import type { Look } from './theme.js';

/** What a set says about a song; what is `null` is as the chart has it. */
export interface SongWishes {
  readonly key: Key | null;
  readonly bpm: number | null;
}

/** One line of a list of charts and sets. A file with faults is listed too, with the first of them. */
export interface LibraryItem {
  readonly file: string;
  /** `taken`: a chart that was being taken down, whose file is the name it is kept under. */
  readonly kind: 'chart' | 'set' | 'folder' | 'faulty' | 'new' | 'taken' | 'run';
  readonly title: string;
  /** Key, tempo and meter, or the fault. */
  readonly detail: string;
  readonly wishes: SongWishes;
}

/** As what something is opened; `resume`: a set's run that was broken off is taken up again. */
export type OpenKind = Exclude<LibraryItem['kind'], 'faulty'> | 'resume';

/** A list of charts and sets; a set's list has the one it was opened from. */
export interface Library {
  readonly title: string;
  readonly items: readonly LibraryItem[];
  readonly index: number;
  readonly from: Library | null;
  /** What was typed to find something. */
  readonly query: string;
}

/** What of a chart the stand shows. What is hidden can be played from memory, and peeked at. */
export interface Sight {
  readonly layout: LayoutKind;
  readonly names: Names;
  readonly hand: boolean;
  readonly ahead: boolean;
  /** Large letters that fill the screen. */
  readonly far: boolean;
  /** Numbers appear only so many beats before they are due; `null`: all are there. */
  readonly late: number | null;
  /** Felt beats for which everything is shown all the same. */
  readonly peek: number;
}

/** A shape that was chosen for a chord, in the key in which it was chosen. */
export type KeyedPick = Pick & { readonly key: string };

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
  /** What was wished for at the end of the section, and a chord everybody waits on. */
  readonly turn: Turn | null;
  readonly held: Held | null;
  readonly cursor: Cursor;
  readonly sight: Sight;
  readonly picks: readonly KeyedPick[];
  /** The chart's text as it stands here; before it, what an edit put another text in place of. */
  readonly source: string;
  readonly earlier: readonly string[];
  /** What the file holds as far as is known: another text only once it was written. */
  readonly saved: string;
  /** A text is being written. */
  readonly saving: boolean;
  /** What was taken down so far, while a chart is being taken down. */
  readonly taking: Taken | null;
  /** The name under which that is kept while it grows. */
  readonly draft: string | null;
  /** When the tempo was tapped, ms. */
  readonly taps: readonly number[];
  /** The courses are being sounded for tuning. */
  readonly tuning: boolean;
  /** The drill it is, where it is one, and what is below it: the stand it was made from. */
  readonly drill: Drill | null;
  readonly below: Stand | null;
  /** Where a drill's tempo climbs. */
  readonly ladder: Ladder | null;
  /** What the player said of the pass that is played. */
  readonly mark: PassResult | null;
  /** The pass before, of which nothing was said yet. */
  readonly pending: PassRecord | null;
  /** When the pass began that is played, ms; `null` when it is not a whole one. */
  readonly passBegan: number | null;
  /** After a pass on a ladder: until when the player can say how it was, ms. */
  readonly asking: number | null;
  /** Something of it has been played. */
  readonly begun: boolean;
  /** Play was pressed before all was ready: it begins as soon as it is. */
  readonly eager: boolean;
}

/**
 * At each of the transport ticks the music goes to a bar of a pass: once more through the section, or to the ending, for
 * which `passes` keeps how many there would have been.
 */
export type Turn = { readonly ticks: readonly number[]; readonly bar: number; readonly pass: number } & (
  | { readonly kind: 'again' }
  | { readonly kind: 'ending'; readonly passes: number | null }
);

/** A chord that is played until the player lets it go: its bar and cell, and the ticks between which it is held. */
export interface Held {
  readonly bar: number;
  readonly cell: number;
  readonly pass: number;
  readonly from: number;
  /** Ticks into the bar at which it is taken up and left; 0 at the bar line. */
  readonly into: number;
  readonly until: number | null;
}

/** Where the stand is. `beat` is `null` while nothing moves. */
export interface Cursor {
  readonly bar: number;
  readonly beat: number | null;
  readonly pass: number;
  readonly counting: boolean;
  /** The tempo that sounds there, as the chart counts; `null` while nothing moves. */
  readonly bpm?: number | null;
}

/** A song of a run, with all that brings it onto the stand. */
export interface StandSong extends RunSong {
  readonly file: string;
  /** Its place in the set's file, from 0; `null` for one that was asked for. */
  readonly entry: number | null;
  /** Its chart and how it starts; `null` for one that cannot be played. */
  readonly chart: Chart | null;
  readonly source: string;
  readonly start: StandStart | null;
  /** What the set says about it, and its chart. */
  readonly notes: string | null;
  readonly singer: string | null;
  /** Program changes for other gear, packed as events pack their messages. */
  readonly messages: readonly number[];
}

/** A set that is being run. */
export interface SetRun {
  /** The set's file. */
  readonly file: string;
  readonly run: Run<StandSong>;
  /** A run of the set that was broken off, of which nobody has said yet what is to become of it. */
  readonly broken: BrokenRun | null;
  /** Whether it is kept where the run is: from its first song on, or its first change of order. Who only looks writes nothing. */
  readonly keeps: boolean;
  /** When the phase began that is shown, ms: the card's pulse counts from it. */
  readonly since: number;
  /** What is wrong with the set, told before its first card. */
  readonly faults: readonly string[];
  /** The foot switch that was pressed last, and when: one that is held down repeats itself. */
  readonly pressed: { readonly key: string; readonly at: number } | null;
  /** How long the song was paused so far, and since when it is; ms. */
  readonly paused: { readonly sum: number; readonly since: number | null };
  /** When leaving was asked for once; the second time within a while leaves. */
  readonly leaving: number | null;
  /** How many places were marked to be looked at later. */
  readonly marks: number;
  /** The line of the running order that is chosen, and what was typed to find a song. */
  readonly chosen: number;
  readonly query: string;
  /** The charts among which somebody's request is looked for. */
  readonly requests: Library | null;
  /** The song that was asked for, while its key is typed. */
  readonly asked: StandSong | null;
}

/** Where a run of a set was broken off: at which song, from 1, of how many, and its title. */
export interface BrokenRun {
  readonly song: number;
  readonly of: number;
  readonly title: string;
}

/** What is kept of a run, so that one that was broken off can be taken up again. */
export interface KeptSong {
  readonly file: string;
  /** Its place in the set's file, from 0; `null` for one that was asked for. */
  readonly entry: number | null;
  readonly key: string;
}

/** A chart that is being taken down: key, tempo and meter as a chart's head has them, and what was called. */
export interface TakenSoFar {
  readonly key: string;
  readonly tempo: string;
  readonly meter: string;
  readonly taken: Taken;
}

/** A pass for the diary, but for when and how it was. */
export type PassRecord = Omit<DiaryEntry, 'at' | 'result'>;

/** A sitting that runs by itself: what there is to do, where it is, and until when. */
export interface SittingRun {
  readonly items: readonly SittingItem[];
  readonly at: number;
  /** A card tells what comes; then it is played, or rested; at the end all is told. */
  readonly phase: 'card' | 'playing' | 'resting' | 'done';
  /** When the phase is over, ms. */
  readonly until: number;
  /** What came of each item, as it is told at the end. */
  readonly told: readonly string[];
}

/** A line that is being typed. */
export interface Entry {
  readonly purpose: 'bar' | 'go-to' | 'name' | 'request-key' | 'save-as';
  readonly label: string;
  readonly text: string;
  /** Where the next character goes: characters from the left. */
  readonly caret: number;
  /** What is wrong with it so far; empty when nothing is. */
  readonly fault: string;
  /** The bar that is written anew: the cursor may have gone on meanwhile. */
  readonly bar: BarSource | null;
}

/** How long was played without a rest, and after how long the stand says so; all in ms. */
export interface Playing {
  readonly limit: number | null;
  readonly played: number;
  /** When the clock was last looked at while the music ran; `null` before. */
  readonly last: number | null;
  readonly told: boolean;
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
  readonly panel:
    | 'keys'
    | 'outputs'
    | 'voices'
    | 'click'
    | 'patterns'
    | 'shapes'
    | 'drills'
    | 'help'
    | 'order'
    | 'requests'
    | 'pedals'
    | null;
  /** The id of the arrangement that was asked for last. */
  readonly asked: number;
  readonly sitting: SittingRun | null;
  readonly set: SetRun | null;
  /** The pedals that are known, and what is being learned. */
  readonly pedals: PedalBoard;
  readonly ladder: ScreenSettings['ladder'];
  /** How the drills of a sitting start. */
  readonly standStart: StandStart | null;
  /** The time it was at the last look, ms: for what counts down without music. */
  readonly at: number;
  /** Every key there is, with the user's own. */
  readonly bindings: readonly Binding[];
  readonly entry: Entry | null;
  readonly playing: Playing;
  /** The voice that is chosen in the list of voices. */
  readonly voice: number;
  /** The line that is chosen in a list of shapes. */
  readonly highlight: number;
  readonly library: Library | null;
  readonly stand: Stand | null;
  readonly player: PlayerView;
  /** One line that the player should read. */
  readonly notice: string;
}

/** What happened. `at` is the monotonic clock, in ms. */
export type Message =
  /** `foot`: the key, where it is one that foot switches send too. */
  | { readonly kind: 'action'; readonly action: Action; readonly at: number; readonly foot?: string }
  | { readonly kind: 'resized'; readonly columns: number; readonly rows: number }
  | { readonly kind: 'library'; readonly library: Library }
  | { readonly kind: 'typed'; readonly text: string }
  /** Text was pasted: its beginning, and whether there was more of it. */
  | { readonly kind: 'pasted'; readonly text: string; readonly more: boolean }
  /** More keys came at once than can be meant; they were dropped. */
  | { readonly kind: 'flooded' }
  | { readonly kind: 'highlighted'; readonly index: number }
  | {
      readonly kind: 'chart-opened';
      readonly file: string;
      readonly chart: Chart;
      readonly start: StandStart;
      readonly source: string;
      readonly taking?: Taken;
      readonly draft?: string;
      readonly drill?: Drill;
    }
  | { readonly kind: 'open-failed'; readonly reason: string }
  | { readonly kind: 'arranged'; readonly id: number; readonly arrangement: Arrangement; readonly at: number }
  | { readonly kind: 'key-chosen'; readonly key: Key }
  | { readonly kind: 'click-chosen'; readonly click: Click; readonly at: number }
  | { readonly kind: 'pattern-chosen'; readonly pattern: Pattern | null }
  | { readonly kind: 'shape-chosen'; readonly pick: Pick | null }
  | { readonly kind: 'out-chosen'; readonly out: OutSpec }
  | { readonly kind: 'drill-chosen'; readonly drill: Drill }
  /** A sitting begins; its drills start as this chart would. */
  | {
      readonly kind: 'sitting';
      readonly items: readonly SittingItem[];
      readonly start: StandStart;
      readonly at: number;
    }
  /** A set is run from one of its songs on; `waits`: it is taken up again, and its first card waits. */
  | {
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
  readonly sight?: Sight;
  readonly picks?: readonly KeyedPick[];
}

/** What is to be done. The runtime does it; nothing else does. */
export type Effect =
  | {
      readonly kind: 'open';
      readonly file: string;
      readonly wishes: SongWishes;
      readonly from: OpenKind;
    }
  | { readonly kind: 'arrange'; readonly id: number; readonly chart: Chart; readonly options: ArrangeOptions }
  | { readonly kind: 'append'; readonly segments: readonly Segment[] }
  | { readonly kind: 'replace'; readonly tick: number; readonly segments: readonly Segment[] }
  | { readonly kind: 'levels'; readonly levels: readonly number[] }
  | { readonly kind: 'tell'; readonly message: ToPlayer }
  | { readonly kind: 'open-output'; readonly outs: readonly OutSpec[] }
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
  /** Keeps what is being taken down; `null`: it stands in a chart now, or is not wanted. */
  | { readonly kind: 'keep-taken'; readonly name: string; readonly taken: TakenSoFar | null }
  /** Marks a place to be looked at later, in the diary, now. */
  | { readonly kind: 'mark-later'; readonly record: PassRecord }
  | { readonly kind: 'list-requests' }
  | { readonly kind: 'find-request'; readonly file: string; readonly id: number }
  | { readonly kind: 'keep-pedals'; readonly pedals: readonly Pedal[] }
  /** Writes a chart's text over `before`, which must still be what the file holds. */
  | { readonly kind: 'write'; readonly file: string; readonly text: string; readonly before: string }
  /** Writes the text of the chart that stood in `of` into the user's folder, under a name of its own. */
  | { readonly kind: 'write-copy'; readonly of: string; readonly name: string; readonly text: string }
  /** Writes a new chart into the user's folder. */
  | { readonly kind: 'write-new'; readonly title: string; readonly text: string }
  /** Stops the program as the shell's job control does, until it is called back. */
  | { readonly kind: 'suspend' }
  | { readonly kind: 'leave' };

/** The answer of an update: the next model and what is to be done. */
export interface Updated {
  readonly model: Model;
  readonly effects: readonly Effect[];
}

/** What is shown of a chart that nobody said anything about. */
export const usualSight: Sight = {
  layout: 'fours',
  names: 'both',
  hand: true,
  ahead: true,
  far: false,
  late: null,
  peek: 0,
};

/** After how long playing without a rest the stand says so, unless the settings say otherwise, ms. */
export const usualRestAfter = 25 * 60_000;

/** What the user's settings say about the screen. */
export interface ScreenSettings {
  readonly bindings: readonly Binding[];
  readonly restAfter: number | null;
  readonly pedals?: readonly Pedal[];
  /** Where ladders start, as a share of the target (`null`: as the drill says), and after how many clean passes they go up. */
  readonly ladder: { readonly start: number | null; readonly inRow: number };
}

/** The screen where the settings say nothing. */
export const usualScreen: ScreenSettings = {
  bindings: usualBindings,
  restAfter: usualRestAfter,
  ladder: { start: null, inRow: 2 },
};

/** A model before anything has happened. */
export function firstModel(
  look: Look,
  columns: number,
  rows: number,
  settings: ScreenSettings = usualScreen,
): Model {
  return {
    size: { columns, rows },
    look,
    screen: 'library',
    panel: null,
    bindings: settings.bindings,
    entry: null,
    asked: 0,
    sitting: null,
    set: null,
    pedals: { ...noPedals, known: settings.pedals ?? [] },
    ladder: settings.ladder,
    standStart: null,
    at: 0,
    playing: { limit: settings.restAfter, played: 0, last: null, told: false },
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
    highlight: 0,
    notice: '',
  };
}
