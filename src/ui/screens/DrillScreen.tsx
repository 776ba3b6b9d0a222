import { type ReactNode, useMemo } from 'react';
import type { Drill } from '../../shed/drill.js';
import { drillsFor } from '../../shed/drills.js';
import { seeded } from '../../shed/seeded.js';
import { padText } from '../draw/line.js';
import type { Message, Model } from '../model.js';
import { passView } from '../pass-view.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** Columns of a drill's title beside what is done in it. */
const titleRoom = 40;

/** The drills that can be made from the chart on the stand; phrases are those under the cursor. */
export function DrillScreen({
  model,
  dispatch,
}: {
  readonly model: Model;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
  const { stand, highlight } = model;
  const plan = stand && passView(stand)?.plan;
  const chart = stand?.chart;
  const bar = stand?.cursor.bar ?? 0;
  const drills = useMemo(
    () => (chart && plan ? drillsFor(chart, plan, bar, seeded(highlight)) : []),
    [chart, plan, bar, highlight],
  );
  const items = drills.map(
    // Light values: the list compares them all, deeply, each time it is drawn, and hears no key until it has.
    (drill, index): ListItem<number> => ({
      key: String(index),
      label: `${padText(drill.title, titleRoom)}  ${drill.says}`,
      value: index,
    }),
  );
  return (
    <ListScreen
      model={model}
      title="Drills"
      foot="Enter takes it, Esc goes back. Stop when something hurts; rest a minute in every ten."
      items={items}
      index={0}
      onSelect={(index) => dispatch({ kind: 'drill-chosen', drill: drills[index] as Drill })}
    />
  );
}
