import { type Fingering, fingersText } from '../hand/fingering.js';
import type { PlannedChange } from '../hand/plan.js';
import { numberText } from '../theory/number.js';

/** A change as the diary knows it: the hand's way, wherever on the neck it is, and the numbers it was played for. */
export interface ChangeName {
  readonly id: string;
  /** `1>4`. */
  readonly numbers: string;
}

/**
 * Names the way from one shape to another so that it is the same at every fret: frets count from the lowest of both.
 *
 * @example changeId(gChop, cShape) // '5-3-0-1/4-3-1-2>3-0-1-x/3-1-2-x'
 */
export function changeId(from: Fingering, to: Fingering): string {
  const stopped = [...from.frets, ...to.frets].filter(
    (at): at is NonNullable<typeof at> => at !== null && at > 0,
  );
  const low = Math.min(...stopped);
  const shape = ({ frets, fingers }: Fingering): string =>
    `${frets.map((at) => (at === null ? 'x' : at === 0 ? 'o' : at - low)).join('-')}/${fingersText(fingers)}`;
  return `${shape(from)}>${shape(to)}`;
}

/** The changes of a plan in which the hand moves, each once, in the order in which they first come. */
export function changeNames(changes: readonly PlannedChange[]): readonly ChangeName[] {
  const playable = changes.filter((change) => change.fingering !== null);
  const found = new Map<string, ChangeName>();
  playable.forEach((to, index) => {
    const from = playable[(index + playable.length - 1) % playable.length];
    if (!from?.fingering || !to.fingering || !to.motion || to.motion.ms === 0) return;
    const id = changeId(from.fingering, to.fingering);
    if (!found.has(id)) found.set(id, { id, numbers: `${numberText(from.number)}>${numberText(to.number)}` });
  });
  return [...found.values()];
}
