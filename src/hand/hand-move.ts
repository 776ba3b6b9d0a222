import type { Finger, Fingering } from './fingering.js';
import { handShift } from './hand-place.js';
import type { Motion } from './motion.js';

/** What the hand as a whole does in a motion in which no finger stays, and what its fingers do beyond that. */
export interface HandMove {
  /** Frets toward the bridge (negative: toward the nut); 0 when the hand stays. */
  readonly frets: number;
  /** Courses to the treble side (negative: to the bass side) that all fingers go; `null` when they part. */
  readonly courses: number | null;
  /** Fingers that go farther or less far along the neck than the hand, with the difference in frets. */
  readonly beyond: readonly { readonly finger: Finger; readonly frets: number }[];
}

/** Takes the hand's own move out of those of its fingers. */
export function handMove(way: Motion): HandMove {
  const { from, to, instrument, moves, lifts, lands, shared } = way;
  if (shared) return { ...shared, beyond: [] };
  const went = moves.map((move) => move.frets);
  // The fingers that stay down take the hand with them: it never goes farther than the farthest, nor back from them all.
  const held = handShift(from, to, instrument);
  // Other fingers may stand elsewhere in the hand: it never seems to go against the shape that all of them hold.
  const along = alongOf(from, to);
  const shift = along !== null && Math.sign(along) === -Math.sign(held) ? along : held;
  const frets = moves.length === 0 ? shift : Math.min(Math.max(shift, Math.min(...went)), Math.max(...went));
  const [first] = moves;
  // One finger that moves among others that lift and land says nothing of the hand.
  const isHand = moves.length > 1 || lifts.length + lands.length === 0;
  const together = isHand && moves.every(({ courses }) => courses === first?.courses);
  if (!first || !together) return { frets, courses: null, beyond: [] };
  const beyond = moves.flatMap((move) =>
    move.frets === frets ? [] : [{ finger: move.finger, frets: move.frets - frets }],
  );
  return { frets, courses: first.courses, beyond };
}

/** How far a shape goes along the neck whatever fingers hold it: whole frets; `null` where it is another shape. */
export function alongOf(from: Fingering, to: Fingering): number | null {
  const ways = new Set(
    from.frets.map((at, course) => {
      const next = to.frets[course] ?? null;
      if (at === null && next === null) return null;
      return at === null || next === null || at === 0 || next === 0 ? Number.NaN : next - at;
    }),
  );
  ways.delete(null);
  const [only] = ways;
  return ways.size === 1 && only && Number.isFinite(only) ? only : null;
}
