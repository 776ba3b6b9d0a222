import { useInput } from 'ink';
import { type ReactNode, useContext, useEffect, useState } from 'react';
import { ListeningContext } from '../canvas.js';
import { fitText, type Line, piece } from '../draw/line.js';
import { noticeStyle } from '../draw/notice.js';
import { actionFor, isTyped } from '../keys/bindings.js';
import { pressedKey } from '../keys/names.js';
import { placeOf } from '../keys/place.js';
import { firstChoice, type ListChoice, listMoved, listShown, listTyped } from '../state/list-choice.js';
import type { Model } from '../state/model.js';
import { Lines } from './Lines.js';

/** One line of a list: a label and what it stands for. */
export interface ListItem<V> {
  readonly key: string;
  readonly label: string;
  /** What is searched, where that is not the label. */
  readonly find?: string;
  readonly value: V;
}

interface ListProps<V> {
  readonly model: Model;
  readonly title: string;
  readonly foot: string;
  readonly items: readonly ListItem<V>[];
  readonly index: number;
  /** What is said of the chosen item below the list, on always as many lines. */
  readonly detail?: readonly Line[];
  /** What stands below everything else. */
  readonly under?: readonly Line[];
  readonly onSelect: (value: V) => void;
  /** Another item is chosen: its index among all, -1 where nothing is found. */
  readonly onHighlight?: (index: number) => void;
}

/** A list that fills the screen: title, what is searched, items, notice, keys. Letters search where the place takes text. */
export function ListScreen<V>({
  model,
  title,
  foot,
  items,
  index,
  detail = [],
  under = [],
  onSelect,
  onHighlight,
}: ListProps<V>): ReactNode {
  const [choice, choose] = useState(firstChoice(index));
  const listening = useContext(ListeningContext);
  // A list that has moved draws itself without the rest of the screen.
  useEffect(listening);
  const { columns, rows } = model.size;
  const { look } = model;
  const room = Math.max(3, rows - 6 - detail.length - under.length);
  const { found, at, first } = listShown(items, choice, room);
  const changed = (next: ListChoice): void => {
    choose(next);
    const now = listShown(items, next, room);
    const item = now.found[now.at];
    onHighlight?.(item ? items.indexOf(item) : -1);
  };
  useInput((input, key) => {
    const place = placeOf(model);
    const action = actionFor(place, pressedKey(input, key), model.bindings);
    if (action === 'list-open') {
      const item = found[at];
      if (item) onSelect(item.value);
      return;
    }
    const next = action
      ? listMoved({ ...choice, at }, action, found.length, room)
      : !key.ctrl && !key.meta && isTyped(place, input)
        ? listTyped(choice, input)
        : null;
    if (next) changed(next);
  });
  const lines: readonly Line[] = [
    [
      piece(` ${title}`, 'title'),
      ...(choice.query === ''
        ? []
        : [
            piece('   search: ', 'dim'),
            piece(choice.query),
            piece(look.unicode ? '▏' : '_', 'count'),
            piece(`  ${found.length} of ${items.length}`, 'dim'),
          ]),
    ],
    [],
    ...found.slice(first, first + room).map((item, place): Line => {
      const isChosen = first + place === at;
      return [
        piece(isChosen ? (look.unicode ? ' ▸ ' : ' > ') : '   ', isChosen ? 'count' : 'plain'),
        piece(fitText(item.label, columns - 4), isChosen ? 'here' : 'plain'),
      ];
    }),
    ...(found.length === 0
      ? [[piece(fitText(`   nothing has “${choice.query}”; Backspace takes letters away`, columns), 'dim')]]
      : []),
  ];
  const below: readonly Line[] = [
    ...detail,
    [piece(' '), piece(fitText(model.notice, columns - 2), noticeStyle(model))],
    [piece(` ${fitText(foot, columns - 2)}`, 'dim')],
    ...under,
  ];
  const between = Array.from({ length: Math.max(0, rows - 1 - lines.length - below.length) }, (): Line => []);
  return <Lines lines={[...lines, ...between, ...below]} model={model} />;
}
