import type { ReactNode } from 'react';
import { safeText } from '../../base/safe-text.js';
import type { Destinations, OutSpec } from '../../player/messages.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import type { OverlayOf } from '../state/overlays.js';
import { type ListItem, ListScreen } from './ListScreen.js';

/** The list of outputs: what the player says can be heard now. */
export function OutputScreen({
  model,
  overlay: { destinations },
  dispatch,
}: {
  readonly model: Model;
  readonly overlay: OverlayOf<'outputs'>;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
  const { out } = model.session.link;
  const items = outputItems(destinations);
  const current = items.findIndex(({ value }) => value.kind === out?.kind);
  return (
    <ListScreen
      key={items.length}
      model={{ ...model, notice: destinations?.midi ?? model.notice }}
      title={destinations ? 'Output' : 'Output: looking for outputs'}
      foot="type to search   Enter takes it   Esc back"
      items={items}
      index={current}
      onSelect={(value) => dispatch({ kind: 'out-chosen', out: value })}
    />
  );
}

function outputItems(destinations: Destinations | null): ListItem<OutSpec>[] {
  const ports = (destinations?.ports ?? []).map(
    (name, index): ListItem<OutSpec> => ({
      key: `port ${index}`,
      label: `MIDI ${safeText(name)}`,
      value: { kind: 'midi', port: name },
    }),
  );
  const sound: ListItem<OutSpec>[] = destinations?.sound
    ? []
    : [{ key: 'sound', label: 'built-in sound', value: { kind: 'sound' } }];
  const virtual: ListItem<OutSpec>[] =
    destinations?.midi === null
      ? [
          {
            key: 'virtual',
            label: 'a port of this program, for others to connect to',
            value: { kind: 'virtual', name: 'barkline' },
          },
        ]
      : [];
  return [...ports, ...sound, ...virtual, { key: 'none', label: 'silence', value: { kind: 'none' } }];
}
