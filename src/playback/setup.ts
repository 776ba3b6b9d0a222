import { type Chart, type PlayedBar, quartersPerBeat, quarterTempo } from '../chart/chart.js';
import type { VoiceRange } from '../chart/fit.js';
import type { BassLine } from '../chart/level.js';
import type { Instrument } from '../hand/instrument.js';
import type { PlanOptions, ShapePick } from '../hand/plan.js';
import { type Key, keyName } from '../theory/key.js';
import { type Arrangement, type ArrangeOptions, walks } from '../time/arrange.js';
import type { Click } from '../time/click.js';
import type { Take } from '../time/conductor.js';
import type { LeadTaste } from '../time/lead-line.js';
import { loopLead } from '../time/loop-lead.js';
import type { MelodyWord } from '../time/melody.js';
import type { Pattern } from '../time/pattern.js';
import type { Mix, Sound } from '../time/sound.js';

/** A shape that was chosen for a chord, in the key in which it was chosen. */
export type KeyedPick = ShapePick & { readonly key: string };

/** Bars of a pass, half open. */
export interface BarRange {
  readonly from: number;
  readonly to: number;
}

/**
 * Where the tune is heard. `sound`: where others lead, and of the outputs only through the built-in sound, so that gear is sent nothing
 * that was not asked for. `others`: there through all of them. `all`: in the breaks of the player too.
 */
export type MelodyChoice = Exclude<MelodyWord, 'none'>;

/** A chart and how to play it: everything that decides what sounds and how the hand is planned. */
export interface Setup {
  readonly chart: Chart;
  readonly key: Key;
  readonly instrument: Instrument;
  readonly plan: Partial<PlanOptions>;
  readonly sound: Sound;
  readonly mix: Mix;
  readonly click: Click;
  /** The right-hand pattern that was chosen; `null` leaves it to the chart. */
  readonly pattern: Pattern | null;
  /** What the bass was set to do before a change; left to the chart when absent. */
  readonly bass?: BassLine;
  /** The user's own patterns. */
  readonly patterns: readonly Pattern[];
  readonly ramp: Take['ramp'] | null;
  /** Beats a minute, as the chart counts them. */
  readonly bpm: number;
  /** Bars of count-in. */
  readonly countIn: number;
  /** How many passes; `null` plays without end. */
  readonly passes: number | null;
  /** The bars that are looped; `null` for the whole pass. */
  readonly range: BarRange | null;
  readonly picks: readonly KeyedPick[];
  /** Where the tune sounds; as usual when absent. */
  readonly melody?: MelodyChoice;
  /** The singer's range, if it is known: the tune is put into that octave. */
  readonly voice?: VoiceRange;
  /** Names that mean this player in the form, in small letters; `me` and the instrument when absent. */
  readonly mine?: readonly string[];
  /** The numbers that the player may name by playing them: the ear reports them, and judges no pass. */
  readonly answers?: readonly string[];
  /** Somebody is there who releases held chords and stops of the band; otherwise they take their length, as in a loop. */
  readonly holds?: boolean;
}

/** How a chart starts: its setup without the chart, and the bar it starts at, from 0. */
export interface SetupStart extends Omit<Setup, 'chart' | 'picks'> {
  readonly from: number;
  readonly picks?: readonly KeyedPick[];
}

/** The setup of a chart with this start. */
export function setupOf(chart: Chart, { from: _, picks = [], ...start }: SetupStart): Setup {
  return { ...start, chart, picks };
}

/** How a chart should start to be set up like this one, from its first bar. */
export function startOf({ chart: _, picks: __, ...setup }: Setup): SetupStart {
  return { ...setup, from: 0 };
}

/** The share of the chart's own tempo; 1 is the whole. */
export function shareOf({ chart, bpm }: Pick<Setup, 'chart' | 'bpm'>): number {
  return quarterTempo({ ...chart.tempo, bpm }) / quarterTempo(chart.tempo);
}

/** How long a felt beat lasts at the tempo that is set, ms. */
export function beatMs({ chart, bpm }: Pick<Setup, 'chart' | 'bpm'>): number {
  return (60_000 * quartersPerBeat(chart.meter)) / quarterTempo({ ...chart.tempo, bpm });
}

/** How the chart is arranged. */
export function arrangeOptions(setup: Setup): ArrangeOptions {
  const key = keyName(setup.key);
  const picks = setup.picks
    .filter((pick) => pick.key === key)
    .map((pick) => ({
      ...pick,
      section: String(setup.chart.sections.findIndex(({ name }) => name === pick.section)),
    }));
  return {
    key: setup.key,
    share: shareOf(setup),
    instrument: setup.instrument,
    plan: picks.length > 0 ? { ...setup.plan, picks } : setup.plan,
    sound: setup.sound,
    patterns: setup.patterns,
    ...(setup.pattern ? { pattern: setup.pattern } : {}),
    ...(setup.bass ? { bass: setup.bass } : {}),
    ...(setup.voice ? { voice: setup.voice } : {}),
  };
}

/** Whether two setups are arranged alike: what they differ in is only how often and how loud they are played. */
export function arrangedAlike(one: Setup, other: Setup): boolean {
  const decisive = [
    'chart',
    'key',
    'bpm',
    'instrument',
    'plan',
    'sound',
    'pattern',
    'bass',
    'patterns',
    'picks',
    'voice',
  ] as const;
  return decisive.every((name) => one[name] === other[name]);
}

/** The run of the bass from a loop's end to its beginning, where there is one. */
function leadOf(setup: Setup, { bars, score }: Arrangement, range: BarRange): Pick<Take, 'loopLead'> {
  const options = arrangeOptions(setup);
  const walking = (bar: PlayedBar): boolean => walks(setup.chart, bar, options);
  const loopNotes = loopLead({ bars, score, walks: walking, sound: setup.sound }, range);
  return loopNotes ? { loopLead: loopNotes } : {};
}

/** Where the tune sounds, as it is set up. */
export function tasteOf({ melody, mine, instrument }: Setup): LeadTaste {
  return { melody: melody === 'all' ? 'all' : 'others', mine: mine ?? ['me', instrument.name] };
}

/** The take of an arrangement, as it is set up. */
export function takeOf(setup: Setup, arrangement: Arrangement): Take {
  return {
    score: arrangement.score,
    ...(arrangement.final ? { finalScore: arrangement.final.score } : {}),
    ...(setup.range ? { range: setup.range, ...leadOf(setup, arrangement, setup.range) } : {}),
    passes: setup.passes,
    share: shareOf(setup),
    countIn: setup.countIn,
    click: setup.click,
    sound: setup.sound,
    ...(arrangement.score.lead ? { lead: tasteOf(setup) } : {}),
    ...(setup.ramp ? { ramp: setup.ramp } : {}),
    ...(setup.holds && setup.range === null ? { holds: true } : {}),
  };
}
