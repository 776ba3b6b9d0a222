import { Text } from 'ink';
import type { ReactNode } from 'react';
import { padText } from '../draw/line.js';
import type { LibraryItem, Message, Model } from '../model.js';
import { ListScreen } from './ListScreen.js';

/** The list of charts and sets. */
export function LibraryScreen({
  model,
  dispatch,
}: {
  readonly model: Model;
  readonly dispatch: (message: Message) => void;
}): ReactNode {
  const { library } = model;
  if (!library) return <Text> looking for charts</Text>;
  const width = Math.min(44, Math.max(20, Math.floor(model.size.columns / 2)));
  return (
    <ListScreen
      key={library.title}
      model={model}
      title={library.title}
      foot={library.from ? 'Enter opens, Esc goes back, q leaves' : 'Enter opens, q leaves'}
      items={library.items.map((item, index) => ({
        key: String(index),
        label: itemLabel(item, width),
        value: item,
      }))}
      index={library.index}
      onHighlight={(index) => dispatch({ kind: 'highlighted', index })}
      onSelect={(item) => dispatch({ kind: 'picked', file: item.file, wishes: item.wishes })}
    />
  );
}

function itemLabel(item: LibraryItem, width: number): string {
  const title = item.kind === 'set' ? `set: ${item.title}` : item.title;
  return `${padText(title, width)}  ${item.kind === 'faulty' ? 'faulty: ' : ''}${item.detail}`;
}
