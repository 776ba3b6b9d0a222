import type { ReactNode } from 'react';
import { pedalText, pedalUses, pedalWords } from '../../playback/pedals.js';
import { padText } from '../draw/line.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** Columns of a pedal beside what it is for. */
const pedalRoom = 28;

/** What MIDI pedals are for: a use is chosen, and the pedal for it pressed. */
export function PedalScreen({
  model,
  dispatch,
}: {
  readonly model: Model;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
  const { known, learning } = model.pedals;
  const items = pedalUses.map((use, index): ListItem<number> => {
    const signs = known.filter((pedal) => pedal.use === use).map(pedalText);
    const pedal = use === learning ? 'press it now' : signs.join('; ') || 'none';
    return { key: use, label: `${padText(pedal, pedalRoom)}  ${pedalWords[use]}`, value: index };
  });
  return (
    <ListScreen
      model={model}
      title="MIDI pedals"
      foot="Enter, then press the pedal: short or long. Enter twice: none. Esc goes back"
      items={items}
      index={0}
      onSelect={(index) => dispatch({ kind: 'pedal-chosen', use: pedalUses[index] ?? 'play' })}
    />
  );
}
