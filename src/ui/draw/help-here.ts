import type { Action } from '../keys/actions.js';
import { actionFor, type Binding, type KeyPlace } from '../keys/bindings.js';
import { keyLabel } from '../keys/names.js';
import { fitLine, fitText, type Line, padText, piece, textWidth } from './line.js';
import { wrapWords } from './words.js';

/** One line: the keys of some actions that belong together, and in a few words what they do. */
interface Together {
  readonly actions: readonly Action[];
  readonly says: string;
}

/** What is on one line where all of it is there. */
const together: readonly Together[] = [
  { actions: ['loop-from', 'loop-to', 'loop-off'], says: 'loop: begin, end, off' },
  { actions: ['bar-back', 'bar-on'], says: 'a bar back, forward' },
  { actions: ['section-back', 'section-on'], says: 'a section back, forward' },
  { actions: ['to-start', 'to-end'], says: 'to the start, last section' },
  { actions: ['slower', 'faster'], says: 'slower, faster' },
  { actions: ['key-down', 'key-up'], says: 'key a half step down, up' },
  { actions: ['take-back', 'undo'], says: 'take back: choice, writing' },
  { actions: ['mark-clean', 'mark-miss'], says: 'this pass: clean, missed' },
  { actions: ['order-back', 'order-on'], says: 'the one before, the next' },
  { actions: ['order-earlier', 'order-later'], says: 'this song earlier, later' },
];

/** In fewer words than the list of all keys has. */
const brief: Partial<Readonly<Record<Action, string>>> = {
  'last-pass': 'end with this pass, or not',
  'count-in': 'count-in: 1 bar, 2, none',
  'next-chord': 'on to the next chord',
  'bar-back': 'back to the one before',
  'go-to': 'go to a bar or section',
  'share-typed': 'type a share of the tempo',
  'next-meter': 'the next meter',
  'choose-voices': 'voices, and how loud',
  'choose-pattern': 'right-hand pattern',
  'choose-output': 'where it sounds',
  tune: 'tuning',
  far: 'large letters, from afar',
  layout: 'four a line, or as written',
  names: 'numbers, chords, or both',
  'hide-hand': 'hide or show the hand',
  'hide-ahead': 'hide or show coming lines',
  'hide-words': 'hide or show the words',
  'show-tune': 'show or hide the tune',
  peek: 'peek at what is hidden',
  'choose-shape': 'another shape, if paused',
  undo: 'undo the last bar written',
  'take-back': 'take back what you chose',
  lateness: 'how late the clock was',
  'choose-drill': 'a drill from this chart',
  'late-calls': 'numbers only when due',
  listen: 'listen to you, or stop',
  band: 'the band',
  'choose-pedals': 'MIDI pedals',
  suspend: 'to the shell (fg: back)',
  'card-holds': 'the gap waits for you',
  'run-anew': 'forget the stopped run',
  'song-next': 'the next song’s card',
  ending: 'the ending next, or not',
};

/** Columns of the keys, and at least of a column of the screen. */
const keyColumns = 12;
const leastColumn = 38;

/** The keys that hold in a place: its own, and those of the stand that do there what they always do. */
function keysHere(bindings: readonly Binding[], place: KeyPlace): readonly Binding[] {
  const own = bindings.filter((binding) => binding.place === place && binding.keys.length > 0);
  if (place === 'stand') return own;
  const stand = bindings
    .filter((binding) => binding.place === 'stand')
    .flatMap((binding): Binding[] => {
      const keys = binding.keys.filter((key) => actionFor(place, key, bindings) === binding.action);
      const isOwn = own.some(({ action }) => action === binding.action);
      return keys.length === 0 || isOwn ? [] : [{ ...binding, keys }];
    });
  return [...own, ...stand];
}

/** The keys of one place, in as many columns as there is room for: pages of at most `height` lines, mostly one. */
export function helpHerePages(
  bindings: readonly Binding[],
  place: KeyPlace,
  columns: number,
  height: number,
  unicode: boolean,
): readonly (readonly Line[])[] {
  const across = Math.max(1, Math.min(3, Math.floor(columns / leastColumn)));
  const width = Math.floor(columns / across);
  const each = Math.max(1, height) * across;
  const rows = rowsOf(keysHere(bindings, place));
  const keys = keyRoom(rows, width - 1, unicode);
  const whole = rows.flatMap((row) => rowLines(row, width - 1, keys, unicode, false));
  // What is longer than its column has two lines, where that makes no second page of it.
  const lines =
    whole.length <= each || rows.length > each
      ? whole
      : rows.flatMap((row) => rowLines(row, width - 1, keys, unicode, true));
  const pages = Array.from({ length: Math.ceil(lines.length / each) }, (_, page) =>
    lines.slice(page * each, (page + 1) * each),
  );
  return pages.map((page) => {
    const tall = Math.ceil(page.length / across);
    return Array.from(
      { length: tall },
      (_, row): Line =>
        Array.from({ length: across }, (_, column) => fitLine(page[column * tall + row] ?? [], width)).flat(),
    );
  });
}

/** Columns of the keys: for the longest of them too, where every line has room for what it says beside that. */
function keyRoom(rows: readonly Row[], width: number, unicode: boolean): number {
  const widest = Math.max(keyColumns, ...rows.map((row) => textWidth(labelOf(row, unicode)) + 2));
  return rows.every(({ says }) => widest + textWidth(says) <= width) ? widest : keyColumns;
}

function labelOf({ keys }: Row, unicode: boolean): string {
  return keys.map((key) => keyLabel(key, unicode)).join(' ');
}

function rowLines(
  row: Row,
  width: number,
  columns: number,
  unicode: boolean,
  isCut: boolean,
): readonly Line[] {
  const { says } = row;
  const label = labelOf(row, unicode);
  const room = Math.max(columns, textWidth(label) + 2);
  const texts = isCut ? [fitText(says, width - room)] : wrapWords(says, width - room);
  return texts.map((text, index) => [
    piece(padText(index === 0 ? ` ${label}` : '', room), 'key'),
    piece(text),
  ]);
}

interface Row {
  readonly keys: readonly string[];
  readonly says: string;
}

/** One row for each thing: figures that do alike, and what belongs together, on one. */
function rowsOf(here: readonly Binding[]): readonly Row[] {
  const done = new Set<Binding>();
  return here.flatMap((binding): Row[] => {
    if (done.has(binding)) return [];
    const { action, keys, help } = binding;
    const figures = figuresWith(binding, here);
    const pair = together.find(({ actions }) => actions.includes(action));
    const all =
      figures?.bindings ?? pair?.actions.flatMap((one) => here.find((other) => other.action === one) ?? []);
    if (figures && all && all.length > 1) {
      for (const one of all) done.add(one);
      return [{ keys: [`${all[0]?.keys[0]}–${all.at(-1)?.keys[0]}`], says: figures.says }];
    }
    if (pair && all?.length === pair.actions.length) {
      for (const one of all) done.add(one);
      return [{ keys: all.flatMap((one) => one.keys.slice(0, 1)), says: pair.says }];
    }
    return [{ keys: keys.slice(0, 2), says: brief[action] ?? help }];
  });
}

/** The figures that do the same with what they say. */
function figuresWith(
  { action }: Binding,
  here: readonly Binding[],
): { readonly bindings: readonly Binding[]; readonly says: string } | null {
  if (/^share-\d/.test(action))
    return {
      bindings: here.filter((one) => /^share-\d/.test(one.action)),
      says: '5 half the tempo, 0 all',
    };
  if (action.startsWith('degree-'))
    return { bindings: here.filter((one) => one.action.startsWith('degree-')), says: 'that number' };
  return null;
}
