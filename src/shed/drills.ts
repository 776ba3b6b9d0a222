import type { Chart } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import type { HandPlan, PlanOptions } from '../hand/plan.js';
import type { Drill } from './drill.js';
import { chopDrill, chopKinds } from './drills/chop.js';
import { dampedDrill } from './drills/damped.js';
import { fretDrill } from './drills/fret.js';
import { keysDrill } from './drills/keys.js';
import { liftDrill } from './drills/lift.js';
import { orderDrill } from './drills/order.js';
import { pairDrill, pairsDrill, pairsOf } from './drills/pairs.js';
import { chainDrill, phraseAt, phraseDrill } from './drills/phrase.js';
import { sixWaysDrill } from './drills/six-ways.js';
import { steadyDrill } from './drills/steady.js';
import { gapsDrill, ringDrill } from './drills/whole.js';

export { type ChopKind, chopDrill, chopKinds } from './drills/chop.js';
export { chordOf } from './drills/chords.js';
export { dampedDrill } from './drills/damped.js';
export { fretDrill } from './drills/fret.js';
export { keyDrill } from './drills/key-drills.js';
export { type KeyOrder, keysDrill, keysInOrder } from './drills/keys.js';
export { liftDrill } from './drills/lift.js';
export { orderDrill } from './drills/order.js';
export { pairDrill, pairsDrill, pairsOf } from './drills/pairs.js';
export { chainDrill, phraseAt, phraseDrill } from './drills/phrase.js';
export { type DrillHand, sixWaysDrill, type Way, waysOf } from './drills/six-ways.js';
export { steadyDrill } from './drills/steady.js';
export { gapsDrill, ringDrill } from './drills/whole.js';

/** Pairs that are listed beside the hardest. */
const mostPairs = 12;

/**
 * Every drill that can be made from a chart, in its key: phrase and chain of the phrase under a bar, ways between chords by
 * the plan's hand on its instrument. `options`: how that plan was made.
 */
export function drillsFor(
  base: Chart,
  plan: HandPlan,
  bar: number,
  random: () => number,
  options: Partial<PlanOptions> = {},
): readonly Drill[] {
  const { bars } = unroll(base);
  const [from, to] = phraseAt(bars, Math.min(bar, bars.length - 1));
  const hardest = pairsOf(plan).at(-1);
  const found: (Drill | null)[] = [
    hardest ? pairDrill(base, hardest[0], hardest[1]) : null,
    pairsDrill(base, plan),
    sixWaysDrill(base, { instrument: plan.instrument, plan: options }),
    phraseDrill(base, bars, from, to),
    chainDrill(base, bars, from, to),
    ringDrill(base),
    orderDrill(base),
    liftDrill(base),
    fretDrill(base),
    keysDrill(base, 'fourths', random),
    keysDrill(base, 'halfsteps', random),
    keysDrill(base, 'shuffled', random, true),
    keysDrill(base, 'singers', random),
    dampedDrill(base),
    ...chopKinds.map((kind) => chopDrill(base, kind)),
    steadyDrill(base),
    gapsDrill(base),
    // Any two chords that follow each other, the hard ones first; the hardest of all is at the top.
    ...pairsOf(plan)
      .slice(0, -1)
      .reverse()
      .slice(0, mostPairs)
      .map(([one, other]) => pairDrill(base, one, other)),
  ];
  return found.filter((one) => one !== null);
}
