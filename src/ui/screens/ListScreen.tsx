import { Box, Text } from 'ink';
import SelectInput from 'ink-select-input';
import { createContext, type ReactNode, useContext, useEffect } from 'react';
import { wrapText } from '../../base/wrap-text.js';
import { ListeningContext } from '../canvas.js';
import { fitText, type Line, piece } from '../draw/line.js';
import { noticeStyle } from '../draw/notice.js';
import { paint } from '../draw/paint.js';
import type { Look } from '../state/look.js';
import type { Model } from '../state/model.js';

/** One line of a list: a label and what it stands for. */
export interface ListItem<V> {
  readonly key: string;
  readonly label: string;
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
  const { unicode } = useContext(RowLook);
  const listening = useContext(ListeningContext);
  // A list that has moved draws itself without the rest of the screen.
  useEffect(listening);
  return <Text>{isSelected ? (unicode ? ' ▸ ' : ' > ') : '   '}</Text>;
}

/** A list that fills the screen: title, items, notice, keys. */
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
  const { columns, rows } = model.size;
  const told = wrapText(model.notice, columns - 2);
  const notice =
    told.length > mostNotice
      ? [...told.slice(0, mostNotice - 1), told.slice(mostNotice - 1).join(' ')]
      : told;
  const room = Math.max(3, rows - 5 - detail.length - Math.max(1, notice.length));
  return (
    <Box flexDirection="column" width={columns} height={rows - 1}>
      <Text wrap="truncate">{paint([piece(` ${title}`, 'title')], model.look)}</Text>
      <Text> </Text>
      <Box flexDirection="column" flexGrow={1} overflow="hidden">
        <RowLook.Provider value={model.look}>
          <SelectInput
            items={items.map(({ key, label, value }) => ({ key, label: fitText(label, columns - 4), value }))}
            initialIndex={Math.max(0, index)}
            limit={Math.min(room, items.length)}
            itemComponent={Row}
            indicatorComponent={Mark}
            onSelect={(item) => onSelect(item.value)}
            onHighlight={(item) => onHighlight?.(items.findIndex((one) => one.value === item.value))}
          />
        </RowLook.Provider>
      </Box>
      {detail.map((line, at) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines have nothing else to be told by
        <Text key={at} wrap="truncate">
          {paint(line, model.look)}
        </Text>
      ))}
      {(notice.length === 0 ? [''] : notice).map((text, at) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines have nothing else to be told by
        <Text key={at} wrap="truncate">
          {paint([piece(' '), piece(fitText(text, columns - 2), noticeStyle(model))], model.look)}
        </Text>
      ))}
      <Text wrap="truncate">{paint([piece(` ${fitText(foot, columns - 2)}`, 'dim')], model.look)}</Text>
    </Box>
  );
}
