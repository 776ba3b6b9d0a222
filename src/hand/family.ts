import { type Chord, toChord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { type NumberChord, parseNumber } from '../theory/number.js';
import type { ChordChange } from './changes.js';
import type { Instrument } from './instrument.js';
import type { Motion } from './motion.js';
import { type PlannedChange, type PlanOptions, planHand } from './plan.js';

/** How a key is played: the shape that holds its 1, and all moves between 1, 4 and 5. */
export interface KeyFamily {
  /** `four-finger`, `three-finger` …; `null` where the 1 has no stock shape on the instrument. */
  readonly name: string | null;
  readonly one: PlannedChange;
  /** Its 1, 4 and 5 as the moves have them. */
  readonly home: readonly PlannedChange[];
  readonly moves: readonly {
    readonly from: string;
    readonly to: string;
    readonly motion: Motion;
  }[];
}

/** The numbers of a mode's usual chords, the home ones first (common practice). */
export const usualNumbers: Readonly<Record<Key['mode'], readonly string[]>> = {
  major: ['1', '4', '5', '6-', '2-', '2', 'b7'],
  minor: ['1-', '4-', '5', 'b7', 'b3', 'b6'],
};

/** The scale's own chords by number: facts of harmony, not of any instrument. */
export const scaleNumbers: Readonly<Record<Key['mode'], readonly string[]>> = {
  major: ['1', '2-', '3-', '4', '5', '6-', '7o'],
  minor: ['1-', '2o', 'b3', '4-', '5-', 'b6', 'b7'],
};

/** A number that is known to read, put into a key. */
export function numberIn(text: string, key: Key): { number: NumberChord; chord: Chord } {
  const number = parseNumber(text);
  if (!number.ok) throw new RangeError(number.fault.message);
  return { number: number.value, chord: toChord(number.value, key) };
}

/** The family of a key on an instrument: what the plan of 1 4 1 5 gives its 1, and how it moves. */
export function familyOf(key: Key, instrument: Instrument, options: Partial<PlanOptions> = {}): KeyFamily {
  const [one, four] = key.mode === 'minor' ? ['1-', '4-'] : ['1', '4'];
  // Played round and round, this has every move between the three once.
  const order = [one, four, '5', one, '5', four] as string[];
  const changes = order.map(
    (text, bar): ChordChange => ({ bar, beat: 0, section: '', key, ...numberIn(text, key) }),
  );
  const plan = planHand(changes, instrument, { ...options, hold: 'steady', least: 'total', start: null });
  const ways = order.map((to, at) => ({
    from: order[(at + order.length - 1) % order.length] as string,
    to,
    motion: plan.changes[at]?.motion ?? null,
  }));
  // Out and back, pair by pair: 1 to 4, 4 to 1, 1 to 5, 5 to 1, 4 to 5, 5 to 4.
  const moves = [
    [one, four],
    [one, '5'],
    [four, '5'],
  ]
    .flatMap(([near, far]) => [
      ways.find(({ from, to }) => from === near && to === far),
      ways.find(({ from, to }) => from === far && to === near),
    ])
    .flatMap((way) => (way?.motion ? [{ ...way, motion: way.motion }] : []));
  const home = plan.changes[0] as PlannedChange;
  return { name: home.fingering?.shape ?? null, one: home, home: plan.changes.slice(0, 3), moves };
}
