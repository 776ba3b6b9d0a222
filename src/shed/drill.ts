import type { Chart } from '../chart/chart.js';
import type { Click } from '../time/click.js';
import type { Voice } from '../time/event.js';
import type { DictationStart } from './dictation/round.js';

/** Every kind of drill, with what the player does in it. */
export const drillKinds = {
  pair: 'two chords back and forth: land every change on the beat',
  pairs: 'all pairs of the chart, from easy to hard',
  'six-ways':
    'all changes between 1, 4 and 5 of the key, from easy to hard: two bars a chord, then one, then half a bar',
  phrase: 'one phrase, again and again',
  chain: 'from the end: the last two bars, the last four, until you have all of it',
  ring: 'one ringing stroke for each chord, then silence: have the next shape ready in it',
  order:
    'steady beats, and the chord waits: go on when you are ready, and the next one comes on the next beat',
  lift: 'no picking: all fingers lift by a finger’s width and land together; one shape, then two',
  fret: 'the fretting hand alone: press on the first beat, release, hover over the next shape; no picking',
  fourths: 'the same through the keys, up by fourths',
  halfsteps: 'the same through the keys, up by half steps',
  shuffled: 'the same through all keys, each once, in random order',
  singers: 'the same in the keys it is really sung in',
  damped: 'the picking hand alone, the strings damped: one pattern after another',
  'chop-damped': 'the chop: open courses damped by the fretting hand; each stroke a dry knock',
  'chop-shape': 'the chop on one shape: squeeze, strike, let go at once; it barks and stops',
  'chop-low': 'low note and chop on one shape, with nothing else',
  'chop-up': 'low note and chop, then the light upstroke after the chop',
  steady: 'one shape, and less and less click: backbeat, once a bar, once in two, silent bars',
  gaps: 'bars with a click and bars without: keep the time yourself',
  unseen: 'a chart you have never seen, at sight',
  'ear-changes':
    'by ear: the key is given, then bass and chop go through changes; name each by its number while it sounds',
  'ear-bass':
    'by ear: the key is given, then only the bass goes through changes; name each by its number while it sounds',
  'ear-tune':
    'by ear: the key is given, then a tune sounds alone; name the chord that fits, each time it changes',
  song: 'a whole song, from beginning to end: keep going whatever happens',
} as const;
export type DrillKind = keyof typeof drillKinds;

/** The drills that are made for a key alone, whatever chart there is, or none. */
export const keyDrillKinds = [
  'six-ways',
  'lift',
  'chop-damped',
  'chop-shape',
  'chop-low',
  'chop-up',
  'steady',
] as const satisfies readonly DrillKind[];
export type KeyDrillKind = (typeof keyDrillKinds)[number];

/** Kinds that are not made from a chart on request. */
export const madeElsewhere: readonly DrillKind[] = ['unseen', 'song', 'ear-changes', 'ear-bass', 'ear-tune'];

/** How a drill starts on the stand, where it differs from the chart it is made from. */
export interface DrillStart {
  /** Share of the target tempo. */
  readonly share: number;
  /** Whether the tempo climbs a ladder, pass by pass. */
  readonly ladder: boolean;
  /** This many clean passes in a row raise the tempo, where the settings do not decide it: one long pass is enough. */
  readonly inRow?: number;
  /** The share is fixed, whatever the settings say about where ladders start. */
  readonly exact?: boolean;
  /** This many whole passes, and then it is over; without it, until it is left. */
  readonly passes?: number;
  readonly click?: Partial<Click>;
  /** Voices that sound or do not. */
  readonly voices?: Partial<Readonly<Record<Voice, boolean>>>;
  /** The tempo rises bar by bar to this share of the target, over this many bars. */
  readonly ramp?: { readonly to: number; readonly bars: number };
  /** Each bar waits until the player goes on. */
  readonly waits?: boolean;
  /** Only shapes without open courses will do: an open course cannot be let go. */
  readonly closed?: boolean;
  /** No shape is shown: the fretting hand only damps. */
  readonly noHand?: boolean;
  /** Numbers appear only this many beats before they are due. */
  readonly late?: number;
  /** Only numbers are shown. */
  readonly numbersOnly?: boolean;
}

/** A drill: a chart made from a chart, and how it is practised. */
export interface Drill {
  readonly kind: DrillKind;
  readonly title: string;
  readonly says: string;
  readonly chart: Chart;
  readonly start: DrillStart;
  /** The chart it is made from. */
  readonly from: string;
  /** The step of the path that it is. */
  readonly step?: string;
  /** The plan it is part of, by its title. */
  readonly plan?: string;
  /** Where changes are named by ear: how it begins. `chart` is then its first phrase. */
  readonly dictation?: DictationStart;
}

/** How a drill starts by default. */
export const plainStart: DrillStart = { share: 0.7, ladder: true };

/** What is shown with long drills: the usual warning, and whom to ask. */
export const strainCaution =
  'Stop when something hurts; rest a minute in every ten. Pain, numbness or weakness that stays is for a clinician.';
