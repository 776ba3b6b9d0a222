import type { Binding, KeyPlace } from '../keys/bindings.js';
import type { HelpGroup } from '../keys/key-line.js';
import { keyLabel } from '../keys/names.js';
import { helpHerePages } from './help-here.js';
import { legend } from './legend.js';
import { fitLine, fitText, type Line, padText, piece, textWidth } from './line.js';
import { wrapWords } from './words.js';

/** The headings in the order in which they stand. */
const groups: readonly HelpGroup[] = [
  'playing',
  'place',
  'tempo',
  'key and sound',
  'what is shown',
  'the chart',
  'the shed',
  'a set, between songs',
  'a set, in a song',
  'a set, its order',
  'writing down',
  'by ear',
  'a band',
  'list',
  'everywhere',
];

/** Columns the keys take beside what they do. */
const keyRoom = 17;
/** A column of the help is at least this wide. */
const leastColumn = 50;

/**
 * The help screen, made from the key table: first the keys of this place, then all of them. Pages are turned by the help key.
 *
 * @param here where the keys are asked for
 */
export function helpScreen(
  { bindings, unicode, page }: HelpAsked,
  size: { readonly columns: number; readonly height: number },
  here: { readonly place: KeyPlace; readonly group: HelpGroup | null },
): Line[] {
  const { columns, height } = size;
  const own = helpHerePages(bindings, here.place, columns, height - 2, unicode);
  const all = helpPages(bindings, columns, height, unicode, here.group);
  const count = own.length + all.length;
  const at = page % count;
  const what = at < own.length ? 'the keys of this place' : 'all keys';
  const title = ` Keys, page ${at + 1} of ${count}: ${what}; ? next, Esc goes back`;
  const shown = own[at] ?? all[at - own.length] ?? [];
  return [[piece(fitText(title, columns), 'title')], [], ...shown].slice(0, height);
}

interface HelpAsked {
  readonly bindings: readonly Binding[];
  readonly unicode: boolean;
  readonly page: number;
}

/**
 * All keys, page by page: under headings, in as many columns as the screen has room for; what does not
 * fit is on the next page. The group of where the player is can be made the first.
 */
export function helpPages(
  bindings: readonly Binding[],
  columns: number,
  height: number,
  unicode: boolean,
  first: HelpGroup | null = null,
): readonly (readonly Line[])[] {
  const across = Math.max(1, Math.floor(columns / leastColumn));
  const width = Math.floor(columns / across);
  const inOrder = first === null ? groups : [first, ...groups.filter((group) => group !== first)];
  const entries = inOrder.flatMap((group) => groupEntries(group, bindings, width - 1, unicode));
  const all = inColumns([...entries, ...legendEntries(unicode, width - 1)], height - 2);
  return Array.from({ length: Math.ceil(all.length / across) }, (_, page) => {
    const shown = all.slice(page * across, (page + 1) * across);
    const tall = Math.max(...shown.map((column) => column.length));
    return Array.from({ length: tall }, (_, row) =>
      Array.from({ length: across }, (_, column) => fitLine(shown[column]?.[row] ?? [], width)).flat(),
    );
  });
}

/** Lines that stand together: a key and all of what it does; of the first of a group below an empty line and its heading, which is as strong as the keys are. */
type Entry = readonly Line[];

/** Entries in columns of at most so many lines: none goes on at the top of the next column. */
function inColumns(entries: readonly Entry[], room: number): readonly (readonly Line[])[] {
  const columns: Line[][] = [];
  for (const entry of entries) {
    const last = columns.at(-1);
    if (last && last.length + entry.length <= room) last.push(...entry);
    else columns.push(entry.slice(entry.findIndex((line) => line.length > 0)));
  }
  return columns;
}

function headed(heading: string, entries: readonly Entry[]): readonly Entry[] {
  const [first, ...rest] = entries;
  return first ? [[[], [piece(` ${heading}`, 'title')], ...first], ...rest] : [];
}

function groupEntries(
  group: HelpGroup,
  bindings: readonly Binding[],
  width: number,
  unicode: boolean,
): readonly Entry[] {
  const lines = joined(
    once(bindings.filter((binding) => binding.group === group && binding.keys.length > 0)),
  );
  const rows = lines.map(({ keys, help }) =>
    rowLines(keys.map((key) => keyLabel(key, unicode)).join('  '), help, width),
  );
  return headed(group, rows);
}

/** A label, and beside it what it means, on as many lines as that takes. */
function rowLines(label: string, says: string, width: number): Line[] {
  const room = Math.max(keyRoom, textWidth(label) + 2);
  return wrapWords(says, width - room).map(
    (text, at): Line => [piece(padText(at === 0 ? ` ${label}` : '', room), 'key'), piece(text)],
  );
}

/** What the same keys do in several places is listed once. */
function once(bindings: readonly Binding[]): readonly Binding[] {
  const shown = new Map<string, Binding>();
  for (const binding of bindings) {
    const says = `${binding.keys.join(' ')} ${binding.help}`;
    if (!shown.has(says)) shown.set(says, binding);
  }
  return [...shown.values()];
}

/** What seven figures do together. */
const figureHelp: Readonly<Record<string, string>> = {
  transcribe: 'write that number into the bar',
  dictation: 'it went to that number; again: its other chord',
};
const shareHelp = 'that share of the chart’s tempo: 5 half, 7 seventy percent; 0 all';

/** The seven figures for writing down a song are one line, and so are those that name changes and those that set the tempo. */
function joined(bindings: readonly Binding[]): readonly Pick<Binding, 'keys' | 'help'>[] {
  const shares = bindings.filter(({ action }) => /^share-\d/.test(action));
  if (shares.length > 0) {
    const [first, last] = [shares[0]?.keys[0], shares.at(-1)?.keys[0]];
    const one = { keys: [`${first}–${shares.at(-2)?.keys[0]}`, `${last}`], help: shareHelp };
    const at = bindings.indexOf(shares[0] as Binding);
    const rest = bindings.filter((binding) => !shares.includes(binding));
    return shares.length < 10 ? bindings : [...joined(rest.slice(0, at)), one, ...joined(rest.slice(at))];
  }
  const figures = bindings.filter((binding) => binding.action.startsWith('degree-'));
  const others = bindings.filter((binding) => !figures.includes(binding));
  const [first] = figures;
  const last = figures.at(-1);
  if (!first || !last) return others;
  return [
    { keys: figures.flatMap((binding) => binding.keys), help: figureHelp[first.place] ?? first.help },
    ...others,
  ];
}

/** What the signs on the stand mean. */
function legendEntries(unicode: boolean, width: number): readonly Entry[] {
  return headed(
    'signs',
    legend(unicode).map(([sign, says]) => rowLines(sign, says, width)),
  );
}
