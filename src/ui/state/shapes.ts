import { plainName } from '../../hand/changes.js';
import { fingersText, fretsText } from '../../hand/fingering.js';
import type { PlannedChange, ShapePick } from '../../hand/plan.js';
import { handMoment, passView } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import type { Setup } from '../../playback/setup.js';

/** The change whose shape can be chosen: the one under the cursor. */
export function changeHere(performance: Performance): PlannedChange | null {
  const view = passView(performance);
  const { cursor, setup } = performance;
  return view && handMoment(view, cursor.bar, cursor.beat ?? 0, setup.range).now;
}

/** The name of the written section a change stands in: its number may be another when the file is. */
export function sectionName({ chart }: Pick<Setup, 'chart'>, change: PlannedChange): string {
  return chart.sections[Number(change.section)]?.name ?? change.section;
}

/** A way to finger a change that can be chosen, and what it costs more in a pass than the one it has, ms. */
export interface ShapeChoice {
  readonly pick: ShapePick;
  readonly moreMs: number;
  readonly fingering: NonNullable<PlannedChange['fingering']>;
}

/** The ways that can be chosen for a change, the one it has first. */
export function shapeChoices(change: PlannedChange): readonly ShapeChoice[] {
  if (!change.fingering) return [];
  const ways = [{ fingering: change.fingering, moreMs: 0 }, ...change.alternatives];
  return ways.map(({ fingering, moreMs }) => ({
    fingering,
    moreMs,
    pick: {
      section: change.section,
      chord: plainName(change.chord),
      frets: fretsText(fingering.frets),
      fingers: fingersText(fingering.fingers),
    },
  }));
}
