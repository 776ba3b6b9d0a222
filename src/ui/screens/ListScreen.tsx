import { Box, Text, useInput } from 'ink';
import SelectInput from 'ink-select-input';
import { createContext, type ReactNode, useContext, useEffect, useRef, useState } from 'react';
import { wrapText } from '../../base/wrap-text.js';
import { ListeningContext } from '../canvas.js';
import { fitLine, fitText, type Line, piece } from '../draw/line.js';
import { namedKeys } from '../draw/named-keys.js';
import { noticeStyle } from '../draw/notice.js';
import { paint } from '../draw/paint.js';
import { actionFor, isTyped } from '../keys/bindings.js';
import { pressedKey } from '../keys/names.js';
import { placeOf } from '../keys/place.js';
import { firstChoice, type ListChoice, listMoved, listShown, listTyped } from '../state/list-choice.js';
import type { Look } from '../state/look.js';
import type { Model } from '../state/model.js';

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
  readonly onSelect: (value: V) => void;
  /** Another item is chosen: its index among all, -1 where nothing is found. */
  readonly onHighlight?: (index: number) => void;
}

/** Lines that a notice may take below a list. */
const mostNotice = 3;

/** How the rows look: ink-select-input hands them nothing but their label. */
const RowLook = createContext<Look>({ colour: false, unicode: false });

function Row({
  isSelected = false,
  label,
}: {
  readonly isSelected?: boolean;
  readonly label: string;
}): ReactNode {
  const look = useContext(RowLook);
  return <Text wrap="truncate">{paint([piece(label, isSelected ? 'here' : 'plain')], look)}</Text>;
}

function Mark({ isSelected = false }: { readonly isSelected?: boolean }): ReactNode {
  const look = useContext(RowLook);
  const sign = look.unicode ? ' ▸ ' : ' > ';
  return <Text>{paint([isSelected ? piece(sign, 'count') : piece('   ')], look)}</Text>;
}

/** The notice, on as many lines as there is room for. */
function noticeLines(model: Model): readonly Line[] {
  const { columns } = model.size;
  const told = wrapText(model.notice, columns - 2);
  const lines =
    told.length > mostNotice
      ? [...told.slice(0, mostNotice - 1), told.slice(mostNotice - 1).join(' ')]
      : told.length === 0
        ? ['']
        : told;
  return lines.map((text): Line => [piece(' '), piece(fitText(text, columns - 2), noticeStyle(model))]);
}

/** Lines as one text; an empty one keeps its row. */
function linesText(lines: readonly Line[], look: Look): string {
  return lines.map((line) => paint(line, look) || ' ').join('\n');
}

/**
 * A list that fills the screen: title, what is searched, items, notice, keys. Letters search where the place takes text: the list of
 * ink-select-input would take some of them for itself, so it draws the rows that are in sight and hears no keys.
 */
export function ListScreen<V>({
  model,
  title,
  foot,
  items,
  index,
  detail = [],
  onSelect,
  onHighlight,
}: ListProps<V>): ReactNode {
  const [choice, choose] = useState(firstChoice(index));
  // A key may come before React has renewed the listener, on a busy machine even after the frame is seen: it goes by what was typed, not by what the listener was made with.
  const latest = useRef(choice);
  const listening = useContext(ListeningContext);
  // A list that has moved draws itself without the rest of the screen.
  useEffect(listening);
  const { columns, rows } = model.size;
  const { look } = model;
  const below: readonly Line[] = [...noticeLines(model), namedKeys(` ${fitText(foot, columns - 2)}`)];
  const room = Math.max(3, rows - 4 - detail.length - below.length);
  const { found, at, first } = listShown(items, choice, room);
  const changed = (next: ListChoice): void => {
    latest.current = next;
    choose(next);
    const now = listShown(items, next, room);
    const item = now.found[now.at];
    onHighlight?.(item ? items.indexOf(item) : -1);
  };
  useInput((input, key) => {
    const place = placeOf(model);
    const action = actionFor(place, pressedKey(input, key), model.bindings);
    const now = listShown(items, latest.current, room);
    if (action === 'list-open') {
      const item = now.found[now.at];
      if (item) onSelect(item.value);
      return;
    }
    const next = action
      ? listMoved({ ...latest.current, at: now.at }, action, now.found.length, room)
      : !key.ctrl && !key.meta && isTyped(place, input)
        ? listTyped(latest.current, input)
        : null;
    if (next) changed(next);
  });
  const titleLine: Line = [
    piece(` ${title}`, 'title'),
    ...(choice.query === ''
      ? []
      : [
          piece('   search: ', 'dim'),
          piece(choice.query),
          piece(look.unicode ? '▏' : '_', 'count'),
          piece(`  ${found.length} of ${items.length}`, 'dim'),
        ]),
  ];
  const none = `   nothing has “${choice.query}”; Backspace takes letters away`;
  const shown = found.slice(first, first + room).map(({ key, label }, value) => ({
    key,
    label: fitText(label, columns - 4),
    value,
  }));
  return (
    <Box flexDirection="column" width={columns} height={rows - 1}>
      <Text wrap="truncate">{linesText([titleLine, []], look)}</Text>
      <Box flexDirection="column" flexGrow={1} overflow="hidden">
        <RowLook.Provider value={look}>
          <SelectInput
            // The library keeps its own place, so a different first row must be a different list.
            key={`${at - first} ${shown.map((one) => one.key).join(' ')}`}
            items={shown}
            initialIndex={at - first}
            isFocused={false}
            itemComponent={Row}
            indicatorComponent={Mark}
          />
        </RowLook.Provider>
        {found.length === 0 && <Text>{paint([piece(fitText(none, columns), 'dim')], look)}</Text>}
        {detail.length > 0 && (
          <Text wrap="truncate">
            {linesText(
              detail.map((line) => fitLine(line, columns)),
              look,
            )}
          </Text>
        )}
      </Box>
      <Text wrap="truncate">
        {linesText(
          below.map((line) => fitLine(line, columns)),
          look,
        )}
      </Text>
    </Box>
  );
}
