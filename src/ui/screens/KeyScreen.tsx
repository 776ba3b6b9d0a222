import type { ReactNode } from 'react';
import { type Key, keyName, majorTonics, minorTonics, sameKey, withSigns } from '../../theory/key.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { ListScreen } from './ListScreen.js';

/** The list of keys. */
export function KeyScreen({
  model,
  dispatch,
}: {
  readonly model: Model;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
  const setup = model.session.performance?.setup;
  if (!setup) return null;
  const { mode } = setup.key;
  const keys = (mode === 'minor' ? minorTonics : majorTonics).map((tonic): Key => ({ tonic, mode }));
  return (
    <ListScreen
      model={model}
      title="Key"
      foot="type to search   Enter takes it   Esc back"
      items={keys.map((key) => ({
        key: key.tonic,
        label: keyLine(key, setup.chart.key, model.look.unicode),
        find: namesOf(key),
        value: key,
      }))}
      index={keys.findIndex((key) => sameKey(key, setup.key))}
      onSelect={(key) => dispatch({ kind: 'key-chosen', key })}
    />
  );
}

/** All names of a key, so that it is found by each: `Db C#`. */
function namesOf(key: Key): string {
  const names = [...'ABCDEFG'].flatMap((letter) => [letter, `${letter}b`, `${letter}#`]);
  return names
    .map((tonic): Key => ({ tonic, mode: key.mode }))
    .filter((one) => sameKey(one, key))
    .map(keyName)
    .join(' ');
}

function keyLine(key: Key, own: Key, unicode: boolean): string {
  const name = unicode ? withSigns(keyName(key)) : keyName(key);
  return sameKey(key, own) ? `${name.padEnd(4)} as the chart has it` : name;
}
