import { type ReactNode, useState } from 'react';
import { safeText } from '../../base/safe-text.js';
import type { Drill } from '../../shed/drill.js';
import { drillName } from '../draw/drill-name.js';
import { type Line, padText, piece, textWidth } from '../draw/line.js';
import { wrapWords } from '../draw/words.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import type { OverlayOf } from '../state/overlays.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** Columns that what is done in a drill has at least beside its title, and the list's own. */
const saysRoom = 20;
const frame = 6;
/** Lines below the list on which the chosen drill is described in full. */
const detailLines = 3;

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
  const [chosen, choose] = useState(0);
  const { columns } = model.size;
  const names = drills.map(drillName);
  const longest = names.reduce((most, name) => Math.max(most, textWidth(name)), 0);
  const titleRoom = Math.min(longest, columns - frame - saysRoom);
  const from = drills[0]?.from;
  const items = drills.map(
    (drill, index): ListItem<number> => ({
      key: String(index),
      label: `${padText(names[index] ?? '', titleRoom)}  ${drill.says}`,
      value: index,
    }),
  );
  return (
    <ListScreen
      model={model}
      title={from === undefined ? 'Drills' : `Drills from ${safeText(from)}`}
      foot="type to search   Enter takes it   Esc back"
      items={items}
      index={0}
      detail={detailOf(drills[chosen], columns)}
      onSelect={(index) => dispatch({ kind: 'drill-chosen', drill: drills[index] as Drill })}
      onHighlight={choose}
    />
  );
}

/** The chosen drill in full, and what applies to all of them. */
function detailOf(drill: Drill | undefined, columns: number): readonly Line[] {
  const text = drill ? `${drill.title}: ${drill.says}` : '';
  const told = wrapWords(text, columns - 4).slice(0, detailLines);
  const lines = Array.from({ length: detailLines }, (_, at): Line => [piece('  '), piece(told[at] ?? '')]);
  return [[], ...lines, [piece('  Stop when something hurts; rest a minute in every ten.', 'dim')]];
}
