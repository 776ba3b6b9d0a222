import type { Chart } from '../../chart/chart.js';
import type { Transcript } from '../../chart/transcript.js';
import type { PassTold } from '../../listen/live/pass-ear.js';
import type { Verdict } from '../../listen/verdict.js';
import type { Performance } from '../../playback/performance.js';
import type { Run, RunSong } from '../../setlist/run.js';
import type { DiaryEntry } from '../../shed/diary.js';
import type { Answer, Answers } from '../../shed/dictation/answers.js';
import type { DictationFigures, DictationKind } from '../../shed/dictation/figures.js';
import type { Dictation } from '../../shed/dictation/round.js';
import type { Drill } from '../../shed/drill.js';
import type { Ladder, PassResult } from '../../shed/ladder.js';
import type { SittingItem } from '../../shed/sitting-item.js';
import type { History } from './history.js';
import type { Sight } from './sight.js';
import type { OwnStart, StandStart } from './stand-start.js';

export type { StandStart };

/** A pass for the diary, but for when and how it was. */
export type PassRecord = Omit<DiaryEntry, 'at' | 'result'>;

/** A pass that is over and not kept yet: its result can still be given. */
export interface PendingPass {
  /** With `heard` once the ear has told of it. */
  readonly record: PassRecord;
  /** When it began, ms. */
  readonly began: number;
  /** What the player said, and what the ear did; `null`: nothing yet, or it could not tell. The player's word holds. */
  readonly said: PassResult | null;
  readonly heard: PassResult | null;
  /** Until when the ear's word is waited for, or can be overruled, ms; `null`: until half of the next pass is over. */
  readonly until: number | null;
  /** The ladder as it was before the pass, so that another word can take the place of the ear's; `null` where there is none. */
  readonly ladder: Ladder | null;
}

/** A stroke that was heard, where it belongs, its mark, and when it was reported, ms. */
export type StrokeMark = Omit<Extract<PassTold, { readonly kind: 'mark' }>, 'kind'> & { readonly at: number };

/** A pass that was heard: the verdict, what is said of it, and when, ms. */
export interface HeardPassView {
  readonly verdict: Verdict;
  readonly says: readonly string[];
  readonly at: number;
}

/** What every mode that shows a chart has: what is shown, and what the player has entered. */
export interface Stand {
  readonly sight: Sight;
  /** What was chosen for the song, to be taken back. */
  readonly history: History;
  /** When the tempo was tapped, ms. */
  readonly taps: readonly number[];
  /** What the player said of the pass that is played. */
  readonly mark: PassResult | null;
  /** The pass before, of which nothing was said yet. */
  readonly pending: PendingPass | null;
  /** Marks of the strokes that were heard last, in the order in which they came. */
  readonly strokes: readonly StrokeMark[];
  /** What was heard of the pass before; `null` when nothing was. */
  readonly heard: HeardPassView | null;
}

/** The list of charts and sets fills the screen. */
export interface LibraryMode {
  readonly kind: 'library';
}

/** A chart's text: its file, the text here, and the texts that edits have replaced. */
export interface ChartText {
  readonly file: string;
  readonly source: string;
  readonly earlier: readonly string[];
  /** What the file holds as far as is known: another text only once it was written. */
  readonly saved: string;
  /** A text is being written. */
  readonly saving: boolean;
  /** What to say with the next text that was written; absent for nothing. */
  readonly remark?: string;
}

/** A chart is practised or played for its own sake. */
export interface ChartMode {
  readonly kind: 'chart';
  readonly stand: Stand;
  readonly text: ChartText;
  /** The set that was played before somebody else led: the chart leads back to it. Absent where there is none. */
  readonly under?: SetMode;
}

/** Changes that are named by ear: the phrase, what was answered, and what of it can be told. */
export interface DictationPlay {
  readonly dictation: Dictation;
  readonly answers: Answers;
  /** What was pressed or played, whatever it counts for, in order: all that is shown of answers while it asks. */
  readonly pressed: readonly Answer[];
  /** The question that was answered last; `null` before any was. */
  readonly last: number | null;
  /** It sounds and is asked; it is over, and the answers are shown; a change of it is heard again. */
  readonly phase: 'asking' | 'told' | 'again';
  /** The place that was reached, felt beats from the chart's beginning; `null` before it begins. */
  readonly reached: number | null;
  /** When it began, ms; `null` before it did. */
  readonly began: number | null;
  /** Its result, once it is shown; `null` where it was stopped. */
  readonly figures: DictationFigures | null;
  /** The change that is heard again, by its place among the questions. */
  readonly chosen: number;
  /** When the next phrase begins by itself, ms; `null`: when it is asked for. */
  readonly until: number | null;
}

/** A drill on the stand: its ladder, where its tempo climbs. */
export interface DrillPlay {
  readonly drill: Drill;
  readonly ladder: Ladder | null;
  /** After a pass on a ladder: until when the player can say how it was, ms. */
  readonly asking: number | null;
  /** After a pass on a ladder: until when the ear's word on it is waited for before the player is asked, ms. */
  readonly hearing: number | null;
  /** Where each chord waits: how many strokes in a row were heard to be the chord of a bar, and to stop. */
  readonly held: { readonly bar: number; readonly strokes: number } | null;
  /** Where changes are named by ear: how far that is. */
  readonly dictation: DictationPlay | null;
}

/** A drill is practised; it leads back to the chart it was made from. */
export interface DrillMode {
  readonly kind: 'drill';
  readonly stand: Stand;
  readonly play: DrillPlay;
  /** How the next chosen drill starts: a drill's own settings do not carry over to the next. */
  readonly start: StandStart;
  readonly from: { readonly mode: ChartMode; readonly performance: Performance } | null;
}

/** What is called is written down while a count runs. */
export interface TranscribeMode {
  readonly kind: 'transcribe';
  readonly stand: Stand;
  readonly transcript: Transcript;
  /** The name under which it is kept while it grows. */
  readonly draft: string | null;
}

/** A chart that is being written down: key, tempo and meter as a chart's head has them, and what was called. */
export interface GrowingTranscript {
  readonly key: string;
  readonly tempo: string;
  readonly meter: string;
  readonly transcript: Transcript;
}

/** Where a run of a set was stopped: at which song, from 1, of how many, and its title. */
export interface BrokenRun {
  readonly song: number;
  readonly of: number;
  readonly title: string;
}

/** A sitting that runs by itself: what there is to do, where it is, and until when. */
export interface SittingMode {
  readonly kind: 'sitting';
  readonly items: readonly SittingItem[];
  readonly at: number;
  /** A card says what comes; then it is played, or rested; at the end everything is summed up. */
  readonly phase: 'card' | 'playing' | 'resting' | 'done';
  /** When the phase is over, ms. */
  readonly until: number;
  /** The result of each item, as it is shown at the end. */
  readonly results: readonly string[];
  /** Where the ladder of a drill stood when it was left, as a share of its target: it goes on there when it comes again. */
  readonly reached: Readonly<Record<string, number>>;
  /** What was named by ear in it, by what sounded: it goes on there when it comes again. */
  readonly named: Readonly<Partial<Record<DictationKind, DictationPlay>>>;
  /** How its drills start. */
  readonly start: StandStart;
  readonly stand: Stand;
  /** The drill that is played, or was last. */
  readonly play: DrillPlay | null;
}

/** A song of a set, with all that brings it onto the stand. */
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
  /** The names of the other keys that it goes to; absent where it stays in its own. */
  readonly goesTo?: readonly string[];
}

/** What was marked of a set's songs by what the ear heard of them. */
export interface SetHeard {
  /** Bars of the song that is played, from 0. */
  readonly bars: readonly number[];
  /** The song before, as it was played, and its bars: the ear's word on its last pass may still come. */
  readonly last: {
    readonly performance: Performance;
    readonly file: string;
    readonly bars: readonly number[];
  } | null;
  /** How many places in all. */
  readonly count: number;
}

/** A set that is run: its songs one after the other, hands free. */
export interface SetMode {
  readonly kind: 'set';
  /** The set's file. */
  readonly file: string;
  readonly run: Run<StandSong>;
  /** A run of the set that was stopped, for which nobody has decided yet what to do. */
  readonly broken: BrokenRun | null;
  /** Whether the place in the run is kept: from its first song on, or its first change of order. Only looking at a set writes nothing. */
  readonly keeps: boolean;
  /** When the phase began that is shown, ms: the card's pulse counts from it. */
  readonly since: number;
  /** What is wrong with the set, told before its first card. */
  readonly faults: readonly string[];
  /** The foot switch that was pressed last, and when: one that is held down repeats itself. */
  readonly pressed: { readonly key: string; readonly at: number } | null;
  /** How long the song was paused so far, and since when it is; ms. */
  readonly paused: { readonly sum: number; readonly since: number | null };
  /** How many places were marked to be looked at later. */
  readonly marks: number;
  readonly heard: SetHeard;
  readonly stand: Stand;
}

/** A place of the pass that is looked at while the music is elsewhere: its bar, from 0, and after how many bars of music it is left again. */
export interface Glance {
  readonly bar: number;
  readonly left: number;
}

/**
 * Somebody else leads: their song is on the stand, set up as this player likes. Without a performance in the session it waits for the first song.
 */
export interface FollowMode {
  readonly kind: 'follow';
  readonly stand: Stand;
  /** How the next song starts. */
  readonly start: OwnStart;
  /** What is looked at; `null`: where the music is. */
  readonly look: Glance | null;
  /** The pass that came to its end last, from 1. */
  readonly ended: number;
  /** What this stand played before somebody else led; `null` for nothing that can be gone back to. */
  readonly from: { readonly mode: ChartMode | SetMode; readonly performance: Performance | null } | null;
}

/** A click without a song: the stand's chart is one bar without a chord, repeated. */
export interface ClickMode {
  readonly kind: 'click';
  readonly stand: Stand;
}

/** What the player is doing. Each mode has only what it needs. */
export type Mode =
  | LibraryMode
  | ChartMode
  | DrillMode
  | TranscribeMode
  | SittingMode
  | SetMode
  | FollowMode
  | ClickMode;

/** A mode that shows a chart. */
export type StandMode = Extract<Mode, { readonly stand: Stand }>;
