import type { ReactNode } from 'react';
import type { Drill } from '../../shed/drill.js';
import { padText } from '../draw/line.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import type { OverlayOf } from '../state/overlays.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** Columns of a drill's title beside what is done in it. */
const titleRoom = 40;

/** The drills that can be made from the chart on the stand. */
export function DrillScreen({
  model,
  overlay: { drills },
  dispatch,
}: {
  readonly model: Model;
  readonly overlay: OverlayOf<'drills'>;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
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
