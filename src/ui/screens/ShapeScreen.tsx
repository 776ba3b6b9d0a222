import type { ReactNode } from 'react';
import { chordLabel, numberLabel } from '../../chart/label.js';
import { fingersLabel, fretsText } from '../../hand/fingering.js';
import { usualNeck } from '../../hand/neck-sight.js';
import type { ShapePick } from '../../hand/plan.js';
import { piece } from '../draw/line.js';
import { fretWindows, neckLines } from '../draw/neck.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import type { OverlayOf } from '../state/overlays.js';
import { changeHere, sectionName, shapeChoices } from '../state/shapes.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** Frets of the drawing beside the list. */
const frets = 8;

/** The shapes there are for the chord under the cursor, what each costs more in a pass, and a drawing of the one that is looked at. */
export function ShapeScreen({
  model,
  overlay,
  dispatch,
}: {
  readonly model: Model;
  readonly overlay: OverlayOf<'shapes'>;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
  const { look, session } = model;
  const { performance } = session;
  const change = performance && changeHere(performance);
  if (!performance || !change) return null;
  const { setup } = performance;
  const choices = shapeChoices(change);
  const items: ListItem<ShapePick | null>[] = [
    ...choices.map(({ pick, moreMs, fingering }, index): ListItem<ShapePick | null> => {
      const cost =
        index === 0
          ? 'as it is'
          : `${moreMs >= 0 ? 'slower' : 'faster'} by ${(Math.abs(moreMs) / 1000).toFixed(2)} s a pass`;
      const remark = fingering.remark === '' ? '' : `  ${fingering.remark}`;
      return {
        key: `${pick.frets} ${pick.fingers}`,
        label: `${fretsText(fingering.frets).padEnd(12)} ${fingersLabel(fingering.fingers).padEnd(9)} ${cost}${remark}`,
        value: pick,
      };
    }),
    { key: 'plan', label: 'as the plan has it', value: null },
  ];
  const looked = choices[overlay.shown]?.fingering ?? change.fingering;
  const name = `${numberLabel(change.number, look.unicode)} ${chordLabel(change.chord, look.unicode)}`;
  const drawing = looked
    ? neckLines({
        instrument: setup.instrument,
        fingering: looked,
        window: fretWindows(looked, null, frets)[0],
        fretWidth: 4,
        moving: new Set(),
        unicode: look.unicode,
        sight: look.neck ?? usualNeck,
      })
    : [];
  return (
    <ListScreen
      model={model}
      title={`Shape for ${name}, section ${sectionName(setup, change)}`}
      foot="Enter takes it, the rest is planned round it   Esc back"
      items={items}
      index={0}
      detail={[[], ...drawing.map((line) => [piece('   '), ...line])]}
      onHighlight={(index) => dispatch({ kind: 'highlighted', index })}
      onSelect={(pick) => dispatch({ kind: 'shape-chosen', pick })}
    />
  );
}
