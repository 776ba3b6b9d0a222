import type { Finger, Fingering } from './fingering.js';
import { fingerPlace, type Instrument } from './instrument.js';
import { motionCosts } from './motion-cost.js';
import { type Prices, usualPrices } from './prices.js';

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
  /** Fingers that stay where they are, on one course at least. */
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
  /** The course nearest the treble side: another where the finger lies flat. */
  readonly end: number;
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
    else if (was.fret === spot.fret && was.course <= spot.end && spot.course <= was.end) {
      planted.push(finger);
    } else moves.push(fingerMove(finger, was, spot, instrument));
  }
  const shared = sharedMove(planted, moves);
  const costs = motionCosts(instrument, prices);
  const [ms] = costs.table(costs.stances([from]), costs.stances([to])) as unknown as [number];
  return { from, to, instrument, planted, moves, lifts, lands, shared, ms };
}

/** Where each finger stands; of a flat finger, its place nearest the bass side. */
function spots(fingering: Fingering): ReadonlyMap<Finger, Spot> {
  const found = new Map<Finger, Spot>();
  fingering.fingers.forEach((finger, course) => {
    const at = fingering.frets[course];
    if (finger === null || at == null) return;
    found.set(finger, { course, fret: at, ...found.get(finger), end: course });
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
