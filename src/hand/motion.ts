import { type Finger, type Fingering, sameFingering } from './fingering.js';
import { fingerPlace, type Instrument } from './instrument.js';

/**
 * What a change costs, in milliseconds. Travel is priced in the form of Fitts' law with MacKenzie's refit
 * of Fitts's stylus data (12.8 + 94.7 · log2(A/W + 1), from memory): not measured on a fretting hand, so
 * good for ranking, and a starting value that a player's own figures replace. The others are ours.
 */
export interface Prices {
  /** Fitts intercept and slope, ms and ms a bit. */
  readonly intercept: number;
  readonly slope: number;
  /** Width of the place a fingertip must hit, mm. */
  readonly target: number;
  /** Share of its own time that every further, independent move adds to the slowest one. */
  readonly further: number;
  /** Lifting a finger, and landing one that was in the air, ms. */
  readonly lift: number;
  readonly land: number;
}

/** The prices that hold unless a player's own replace them. */
export const usualPrices: Prices = {
  intercept: 12.8,
  slope: 94.7,
  target: 8,
  further: 0.3,
  lift: 4,
  land: 12,
};

/** How long a finger takes over a distance: Fitts' law in Shannon's form. */
export function travelMs(millimetres: number, prices: Prices): number {
  return prices.intercept + prices.slope * Math.log2(millimetres / prices.target + 1);
}

/** One finger going from one place to another: whole frets and courses, and millimetres. */
export interface FingerMove {
  readonly finger: Finger;
  /** Frets toward the bridge (negative: toward the nut). */
  readonly frets: number;
  /** Courses to the treble side (negative: to the bass side). */
  readonly courses: number;
  readonly millimetres: number;
}

/** The way from one fingering to the next. */
export interface Motion {
  readonly from: Fingering;
  readonly to: Fingering;
  readonly instrument: Instrument;
  /** Fingers that stay where they are. */
  readonly planted: readonly Finger[];
  readonly moves: readonly FingerMove[];
  /** Fingers that leave the strings, and fingers that come down from the air with their course. */
  readonly lifts: readonly Finger[];
  readonly lands: readonly { readonly finger: Finger; readonly course: number }[];
  /** The move all fingers share, when all that stay down make the same one. */
  readonly shared: { readonly frets: number; readonly courses: number } | null;
  /** Whole milliseconds the change needs. */
  readonly ms: number;
}

interface Spot {
  readonly course: number;
  readonly fret: number;
}

/** Works out how a hand gets from one fingering to another, and how long that takes. */
export function motion(
  from: Fingering,
  to: Fingering,
  instrument: Instrument,
  prices: Prices = usualPrices,
): Motion {
  const before = spots(from);
  const after = spots(to);
  const planted: Finger[] = [];
  const moves: FingerMove[] = [];
  const lands: { finger: Finger; course: number }[] = [];
  const lifts: Finger[] = [...before.keys()].filter((finger) => !after.has(finger));
  for (const [finger, spot] of after) {
    const was = before.get(finger);
    if (!was) lands.push({ finger, course: spot.course });
    else if (was.course === spot.course && was.fret === spot.fret) planted.push(finger);
    else moves.push(fingerMove(finger, was, spot, instrument));
  }
  const shared = sharedMove(planted, moves);
  const ms = sameFingering(from, to) ? 0 : price(from, to, planted, moves, lifts, lands, instrument, prices);
  return { from, to, instrument, planted, moves, lifts, lands, shared, ms };
}

/** Where each finger stands; of a flat finger, its place nearest the bass side. */
function spots(fingering: Fingering): ReadonlyMap<Finger, Spot> {
  const found = new Map<Finger, Spot>();
  fingering.fingers.forEach((finger, course) => {
    const at = fingering.frets[course];
    if (finger !== null && at != null && !found.has(finger)) found.set(finger, { course, fret: at });
  });
  return new Map([...found].sort(([one], [other]) => one - other));
}

function fingerMove(finger: Finger, from: Spot, to: Spot, instrument: Instrument): FingerMove {
  const along = fingerPlace(instrument, to.fret as never) - fingerPlace(instrument, from.fret as never);
  const across = (to.course - from.course) * instrument.spacing;
  return {
    finger,
    frets: to.fret - from.fret,
    courses: to.course - from.course,
    millimetres: Math.hypot(along, across),
  };
}

function sharedMove(planted: readonly Finger[], moves: readonly FingerMove[]): Motion['shared'] {
  const first = moves[0];
  if (!first || planted.length > 0 || moves.length < 2) return null;
  const same = moves.every((move) => move.frets === first.frets && move.courses === first.courses);
  return same ? { frets: first.frets, courses: first.courses } : null;
}

function price(
  from: Fingering,
  to: Fingering,
  planted: readonly Finger[],
  moves: readonly FingerMove[],
  lifts: readonly Finger[],
  lands: Motion['lands'],
  instrument: Instrument,
  prices: Prices,
): number {
  const travel = (mm: number): number => prices.intercept + prices.slope * Math.log2(mm / prices.target + 1);
  const groups = new Map<string, number>();
  for (const move of moves) {
    const group = `${move.frets},${move.courses}`;
    groups.set(group, Math.max(groups.get(group) ?? 0, travel(move.millimetres)));
  }
  const resting = restingPlaces(from, instrument);
  const shift = moves[0];
  for (const { finger, course } of lands) {
    const at = to.frets[course] ?? null;
    const rest = resting.get(finger);
    if (at === null || !rest) continue;
    // A finger in the air travels with the hand when all the others share one move.
    const along =
      fingerPlace(instrument, at) -
      rest.along -
      (planted.length === 0 && shift ? carried(shift, from, instrument) : 0);
    const across =
      course * instrument.spacing -
      rest.across -
      (planted.length === 0 && shift ? shift.courses * instrument.spacing : 0);
    groups.set(`land ${finger}`, prices.land + prices.further * travel(Math.hypot(along, across)));
  }
  const times = [...groups.values()];
  const slowest = Math.max(0, ...times);
  const others = times.reduce((sum, time) => sum + time, 0) - slowest;
  return Math.round(slowest + prices.further * others + prices.lift * lifts.length);
}

function carried(move: FingerMove, from: Fingering, instrument: Instrument): number {
  const frets = from.frets.filter((at) => at !== null && at > 0) as number[];
  const low = Math.min(...frets);
  return (
    fingerPlace(instrument, Math.max(1, low + move.frets) as never) - fingerPlace(instrument, low as never)
  );
}

/** Natural distance between neighbouring fingers along the neck, mm (our value, of the order of a fret). */
const fingerSpread = 14;

/** Where each finger that is not down waits: at its natural distance from those that are. */
function restingPlaces(
  fingering: Fingering,
  instrument: Instrument,
): ReadonlyMap<Finger, { along: number; across: number }> {
  const down = [...spots(fingering)];
  const places = new Map<Finger, { along: number; across: number }>();
  if (down.length === 0) return places;
  const anchor =
    down.reduce(
      (sum, [finger, spot]) =>
        sum + fingerPlace(instrument, spot.fret as never) - (finger - 1) * fingerSpread,
      0,
    ) / down.length;
  const across = down.reduce((sum, [, spot]) => sum + spot.course * instrument.spacing, 0) / down.length;
  for (const finger of [1, 2, 3, 4] as const)
    places.set(finger, { along: anchor + (finger - 1) * fingerSpread, across });
  return places;
}
