import type { Fingering } from './fingering.js';
import { type Fret, fingerPlace, type Instrument } from './instrument.js';
import { type Prices, travelMs } from './prices.js';

/** Natural distance between neighbouring fingers along the neck, mm (our value, of the order of a fret). */
const fingerSpread = 14;

/** More frets than any fingering has, those of a diary's shapes laid in the middle of the neck included. */
const mostFrets = 128;
const fretBits = Math.log2(mostFrets);

/** A finger that is in the air has no spot. */
const up = -1;

/** Fingerings as the price of a motion needs them. Of a flat finger its place nearest the bass side counts as its spot. */
export interface Stances {
  readonly count: number;
  /** The spot of each of the four fingers, fingering after fingering: course · mostFrets + fret, or `up`. */
  readonly spots: Int16Array;
  /** The course nearest the treble side that each finger stops: another than its spot's where it lies flat. */
  readonly ends: Uint8Array;
  /** How many fingers are down, and the lowest fret that is stopped, 0 when none is. */
  readonly down: Uint8Array;
  readonly low: Uint8Array;
  /** Where the index is or would wait, mm from the nut, and where fingers that are up wait across the neck, mm. */
  readonly along: Float64Array;
  readonly across: Float64Array;
}

/** The costs of motions on one instrument at one set of prices; each length's time is worked out once. */
export class MotionCosts {
  private readonly places: Float64Array;
  /** For each spot that was left, the times of moves to every other; NaN where not asked for yet. */
  private readonly moves: (Float64Array | undefined)[] = [];
  /** Scratch: the different moves of one motion, and how long each takes. */
  private readonly groups = new Int32Array(4);
  private readonly times = new Float64Array(4);

  constructor(
    private readonly instrument: Instrument,
    private readonly prices: Prices,
  ) {
    this.places = Float64Array.from({ length: mostFrets }, (_, at) => fingerPlace(instrument, at as Fret));
  }

  /** Where the fingers of some fingerings stand, and where those that are up wait: at their natural distance from the others. */
  stances(fingerings: readonly Fingering[]): Stances {
    const count = fingerings.length;
    const made: Stances = {
      count,
      spots: new Int16Array(4 * count).fill(up),
      ends: new Uint8Array(4 * count),
      down: new Uint8Array(count),
      low: new Uint8Array(count),
      along: new Float64Array(count),
      across: new Float64Array(count),
    };
    fingerings.forEach((fingering, index) => {
      this.stand(fingering, made, index);
    });
    return made;
  }

  private stand({ frets, fingers }: Fingering, stances: Stances, index: number) {
    const { spots, ends, down, low, along, across } = stances;
    for (let course = 0; course < frets.length; course += 1) {
      const at = frets[course];
      const finger = fingers[course];
      if (at == null) continue;
      if (at > 0 && (low[index] === 0 || at < (low[index] as number))) low[index] = at;
      if (finger == null) continue;
      ends[4 * index + finger - 1] = course;
      if (spots[4 * index + finger - 1] !== up) continue;
      spots[4 * index + finger - 1] = course * mostFrets + at;
    }
    let [alongSum, acrossSum, fingersDown] = [0, 0, 0];
    for (let finger = 0; finger < 4; finger += 1) {
      const spot = spots[4 * index + finger] as number;
      if (spot === up) continue;
      alongSum += (this.places[fretOf(spot)] as number) - finger * fingerSpread;
      acrossSum += courseOf(spot) * this.instrument.spacing;
      fingersDown += 1;
    }
    down[index] = fingersDown;
    along[index] = alongSum / fingersDown;
    across[index] = acrossSum / fingersDown;
  }

  /** The costs from each of some stances (rows) to each of others (columns), row after row; whole milliseconds. */
  table(from: Stances, to: Stances): Float64Array {
    const costs = new Float64Array(from.count * to.count);
    for (let row = 0, entry = 0; row < from.count; row += 1) {
      for (let column = 0; column < to.count; column += 1, entry += 1)
        costs[entry] = this.ms(from, row, to, column);
    }
    return costs;
  }

  /**
   * From one stance to another: the slowest move, and a share of every other one. Fingers that make the same move
   * count as one. A finger that stays on a course and lies down across others, or comes up from them, only lands there.
   */
  private ms(from: Stances, row: number, to: Stances, column: number): number {
    const { groups, times } = this;
    let count = 0;
    let planted = 0;
    let lifts = 0;
    let lands = 0;
    let rolls = 0;
    let shift = 0;
    for (let finger = 0; finger < 4; finger += 1) {
      const leaves = from.spots[4 * row + finger] as number;
      const reaches = to.spots[4 * column + finger] as number;
      if (leaves === up) {
        if (reaches !== up) lands += 1;
        continue;
      }
      if (reaches === up) {
        lifts += 1;
        continue;
      }
      // No two moves have the same difference of spots: frets stay below half of `mostFrets` on any neck.
      const group = reaches - leaves;
      const ended = from.ends[4 * row + finger] as number;
      const ends = to.ends[4 * column + finger] as number;
      if (staysDown(leaves, ended, reaches, ends)) {
        planted += 1;
        if (group !== 0 || ended !== ends) rolls += 1;
        continue;
      }
      if (shift === 0) shift = group;
      const time = this.moveMs(leaves, reaches);
      let place = 0;
      while (place < count && groups[place] !== group) place += 1;
      if (place === count) {
        groups[place] = group;
        times[place] = time;
        count += 1;
      } else if (time > (times[place] as number)) times[place] = time;
    }
    let slowest = rolls > 0 ? this.prices.land : 0;
    let sum = rolls * this.prices.land;
    for (let place = 0; place < count; place += 1) {
      const time = times[place] as number;
      sum += time;
      if (time > slowest) slowest = time;
    }
    if (lands > 0 && (from.down[row] as number) > 0) {
      // A finger in the air travels with the hand when all the others share one move.
      const carriedBy = planted === 0 ? shift : 0;
      // Where no finger stays and none moves, those in the air do all the way by themselves.
      const share = planted === 0 && count === 0 ? 1 : this.prices.further;
      for (let finger = 0; finger < 4; finger += 1) {
        const reaches = to.spots[4 * column + finger] as number;
        if (reaches === up || from.spots[4 * row + finger] !== up) continue;
        const time = this.landMs(from, row, finger, reaches, carriedBy, share);
        sum += time;
        if (time > slowest) slowest = time;
      }
    }
    return Math.round(slowest + this.prices.further * (sum - slowest) + this.prices.lift * lifts);
  }

  private moveMs(leaves: number, reaches: number): number {
    const row = this.moves[leaves] ?? this.emptyRow(leaves);
    const known = row[reaches] as number;
    if (!Number.isNaN(known)) return known;
    const along = (this.places[fretOf(reaches)] as number) - (this.places[fretOf(leaves)] as number);
    const across = (courseOf(reaches) - courseOf(leaves)) * this.instrument.spacing;
    const worked = travelMs(Math.hypot(along, across), this.prices);
    row[reaches] = worked;
    return worked;
  }

  private emptyRow(leaves: number): Float64Array {
    const row = new Float64Array(this.instrument.courses.length * mostFrets).fill(Number.NaN);
    this.moves[leaves] = row;
    return row;
  }

  /** The time of a finger that was in the air, the hand going by a shift of spots at the same time. */
  private landMs(
    from: Stances,
    row: number,
    finger: number,
    reaches: number,
    shift: number,
    share: number,
  ): number {
    const courses = Math.round(shift / mostFrets);
    const frets = shift - courses * mostFrets;
    const low = from.low[row] as number;
    const carried =
      shift === 0 || low === 0
        ? 0
        : (this.places[Math.max(1, low + frets)] as number) - (this.places[low] as number);
    const rest = (from.along[row] as number) + finger * fingerSpread;
    const along = (this.places[fretOf(reaches)] as number) - rest - carried;
    const across = (courseOf(reaches) - courses) * this.instrument.spacing - (from.across[row] as number);
    return this.prices.land + share * travelMs(Math.sqrt(along * along + across * across), this.prices);
  }
}

/** Whether a finger that stops the courses from a spot to an end stays on one of them as it goes to others. */
function staysDown(leaves: number, ended: number, reaches: number, ends: number): boolean {
  return fretOf(leaves) === fretOf(reaches) && courseOf(leaves) <= ends && courseOf(reaches) <= ended;
}

function courseOf(spot: number): number {
  return spot >> fretBits;
}

function fretOf(spot: number): number {
  return spot & (mostFrets - 1);
}

const known = new WeakMap<Prices, WeakMap<Instrument, MotionCosts>>();

/** The costs of motions on an instrument at some prices, made once for the two. */
export function motionCosts(instrument: Instrument, prices: Prices): MotionCosts {
  const byInstrument = known.get(prices) ?? new WeakMap<Instrument, MotionCosts>();
  known.set(prices, byInstrument);
  const costs = byInstrument.get(instrument) ?? new MotionCosts(instrument, prices);
  byInstrument.set(instrument, costs);
  return costs;
}
