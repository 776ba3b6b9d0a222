import type { Arrangement } from '../time/arrange.js';
import type { Conductor } from '../time/conductor.js';
import { voices } from '../time/event.js';
import { heardLevels } from '../time/sound.js';
import type { ScoreStop } from '../time/stretch.js';
import type { Setup } from './setup.js';

/** Where the music is. `beat` is `null` while nothing moves. */
export interface Cursor {
  readonly bar: number;
  readonly beat: number | null;
  readonly pass: number;
  readonly counting: boolean;
  /** The tempo that sounds there, as the chart counts; `null` while nothing moves. */
  readonly bpm?: number | null;
  /** What waits until it is released, where time stands still. */
  readonly waits?: ScoreStop['kind'];
}

/**
 * At each of the transport ticks the music jumps to a bar of a pass: once more through the section, or to the ending, for
 * which `passes` keeps how many there would have been.
 */
export type Jump = { readonly ticks: readonly number[]; readonly bar: number; readonly pass: number } & (
  | { readonly kind: 'again' }
  | { readonly kind: 'ending'; readonly passes: number | null }
);

/** A chord that is repeated until the player lets it go: its bar and cell, and the ticks between which it is held. */
export interface Vamp {
  readonly bar: number;
  readonly cell: number;
  readonly pass: number;
  readonly from: number;
  /** Ticks into the bar at which it is taken up and left; 0 at the bar line. */
  readonly into: number;
  /** The tick at which it ends; `null` while it is held. */
  readonly until: number | null;
}

/** A chart that is being played, or is ready to be. */
export interface Performance {
  readonly setup: Setup;
  /** The latest arrangement, its id, and the id of the one that is wanted. */
  readonly arrangement: Arrangement | null;
  readonly arranged: number;
  readonly wanted: number;
  /** The setup as it was when that one was asked for; `null` before any was. */
  readonly askedWith: Setup | null;
  readonly conductor: Conductor | null;
  readonly cursor: Cursor;
  readonly jump: Jump | null;
  readonly vamp: Vamp | null;
  /** Play was pressed before all was ready: it begins as soon as it is. */
  readonly eager: boolean;
  /** Something of it has been played. */
  readonly begun: boolean;
  /** The courses are being sounded for tuning. */
  readonly tuning: boolean;
  /** When the current pass began, ms; `null` when it is not a whole one. */
  readonly passBegan: number | null;
}

/** A performance of which nothing has been played, at a bar. */
export function readyAt(setup: Setup, bar: number): Performance {
  return {
    setup,
    arrangement: null,
    arranged: 0,
    wanted: 0,
    askedWith: null,
    conductor: null,
    cursor: { bar, beat: null, pass: 1, counting: false },
    jump: null,
    vamp: null,
    eager: false,
    begun: false,
    tuning: false,
    passBegan: null,
  };
}

/** How loud each voice is now, in percent, by its number. While the courses sound for tuning they alone are heard. */
export function levelsOf({ setup: { mix }, tuning }: Performance): readonly number[] {
  return heardLevels(tuning ? { ...mix, alone: 'low', levels: { ...mix.levels, low: 100 } } : mix);
}

/** The same for outputs that do not make the sound themselves: they get the tune only where that was asked for. */
export function gearLevelsOf(performance: Performance): readonly number[] {
  const levels = levelsOf(performance);
  const asked = (performance.setup.melody ?? 'sound') !== 'sound' || performance.setup.mix.alone === 'lead';
  return asked ? levels : levels.map((level, voice) => (voices[voice] === 'lead' ? 0 : level));
}

/** A performance that was left and is ready again at its cursor: nothing of it is being sent. */
export function stoodReady(performance: Performance): Performance {
  const { waits: _, ...place } = performance.cursor;
  const cursor = { ...place, beat: null, counting: false, bpm: null };
  return { ...performance, conductor: null, jump: null, vamp: null, eager: false, tuning: false, cursor };
}
