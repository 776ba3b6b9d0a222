import { Box, Text } from 'ink';
import type { ReactNode } from 'react';
import { chordLabel, numberLabel } from '../../chart/label.js';
import { fingersLabel, fretsText } from '../../hand/fingering.js';
import type { Pick } from '../../hand/plan.js';
import { fretWindows, neckLines, usualSight } from '../draw/neck.js';
import type { Message, Model } from '../model.js';
import { paint } from '../theme.js';
import { changeHere, sectionName, shapeChoices } from '../update/shapes.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** Frets of the drawing beside the list. */
const frets = 8;

/** The shapes there are for the chord under the cursor, what each costs more in a pass, and a drawing of the one that is looked at. */
export function ShapeScreen({
  model,
  dispatch,
}: {
  readonly model: Model;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
  const { stand, look } = model;
  const change = stand && changeHere(stand);
  if (!stand || !change) return null;
  const choices = shapeChoices(change);
  const items: ListItem<Pick | null>[] = [
    ...choices.map(({ pick, moreMs, fingering }, index): ListItem<Pick | null> => {
      const cost = index === 0 ? 'as it is' : `${moreMs >= 0 ? '+' : ''}${moreMs} ms a pass`;
      const remark = fingering.remark === '' ? '' : `  ${fingering.remark}`;
      return {
        key: `${pick.frets} ${pick.fingers}`,
        label: `${fretsText(fingering.frets).padEnd(12)} ${fingersLabel(fingering.fingers).padEnd(9)} ${cost}${remark}`,
        value: pick,
      };
    }),
    { key: 'plan', label: 'as the plan would have it', value: null },
  ];
  const looked = choices[model.highlight]?.fingering ?? change.fingering;
  const name = `${numberLabel(change.number, look.unicode)} ${chordLabel(change.chord, look.unicode)}`;
  const drawing = looked
    ? neckLines({
        instrument: stand.instrument,
        fingering: looked,
        window: fretWindows(looked, null, frets)[0],
        fretWidth: 4,
        moving: new Set(),
        unicode: look.unicode,
        sight: look.neck ?? usualSight,
      })
    : [];
  return (
    <Box flexDirection="column" width={model.size.columns} height={model.size.rows - 1}>
      <ListScreen
        model={{ ...model, size: { ...model.size, rows: model.size.rows - drawing.length } }}
        title={`Shape for ${name} in ${sectionName(stand, change)}`}
        foot="Enter takes it, the rest is planned round it; Esc goes back"
        items={items}
        index={0}
        onHighlight={(index) => dispatch({ kind: 'highlighted', index })}
        onSelect={(pick) => dispatch({ kind: 'shape-chosen', pick })}
      />
      <Text wrap="truncate">{drawing.map((line) => `   ${paint(line, look)}`).join('\n')}</Text>
    </Box>
  );
}
