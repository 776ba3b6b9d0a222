import { safeText } from '../../base/safe-text.js';
import { shortTempo } from '../../chart/label.js';
import { clockText } from '../../setlist/running-order.js';
import { withSigns } from '../../theory/key.js';
import type { Library, LibraryItem } from '../state/library.js';
import { found } from '../state/library-found.js';
import type { Model } from '../state/model.js';
import type { SetMode, StandSong } from '../state/modes.js';
import type { OrderOverlay, RequestsOverlay } from '../state/overlays.js';
import { ordered, overlayOf, songKey } from '../state/select.js';
import { moreText } from './library-item.js';
import { nothingLines, orderWords, searchHint } from './library-search.js';
import { fitLine, fitText, type Line, padText, piece, textWidth } from './line.js';
import { namedKeys } from './named-keys.js';
import { noticeStyle, typedLine } from './notice.js';

/** Lines of the screen that are not the list's own. */
const frame = 6;

/** One line of the list: what is marked while it is the chosen one, and what comes after that. */
interface Drawn {
  readonly text: string;
  readonly more: string;
  readonly dim: boolean;
}

/** A list that is searched: what it is, what was typed, its lines and the chosen one, its keys. */
interface Searched {
  readonly title: string;
  readonly query: string;
  readonly list: readonly Drawn[];
  readonly chosen: number;
  readonly foot: string;
  /** What can be typed, or how it was understood; by what it is sorted; what is said where nothing is found. */
  readonly hint: string;
  readonly order: string;
  readonly nothing: readonly Line[];
}

/** The running order as it stands now: what was played, what is, what comes. */
export function orderLines(model: Model, set: SetMode, order: OrderOverlay): Line[] {
  const list = ordered(set, order).map((song) => songLine(song, set, model));
  const arrows = model.look.unicode ? '← →' : 'Left Right';
  return searchedLines(model, {
    title: `${safeText(set.run.title)}: running order`,
    query: order.query,
    list,
    chosen: Math.min(order.chosen, Math.max(0, list.length - 1)),
    foot: orderFoot(model.size.columns, arrows),
    hint: searchHint(order.query),
    order: '',
    nothing: nothingLines({ query: order.query, items: [] }, model.size.columns),
  });
}

/** The keys of the running order, with as much between them as there is room for. */
function orderFoot(columns: number, arrows: string): string {
  const keys = [
    'type to search',
    'Enter goes',
    `${arrows} moves`,
    'Tab request',
    'End removes it',
    'Esc back',
  ];
  const room = columns - 1 - keys.reduce((sum, one) => sum + textWidth(one), 0);
  const gap = Math.max(1, Math.min(3, Math.floor(room / (keys.length - 1))));
  const line = ` ${keys.join(' '.repeat(gap))}`;
  // Below that, letters search all the same.
  return textWidth(line) <= columns ? line : ` ${keys.slice(1).join('  ')}`;
}

/** The charts among which a request is looked for. */
export function requestLines(model: Model, { library }: RequestsOverlay): Line[] {
  return searchedLines(model, {
    title: 'A request: which chart?',
    query: library.query,
    list: found(library).map((item) => requestLine(item, library, model)),
    chosen: library.index,
    foot: ' type to search   Enter takes it   Tab sorts   Esc back',
    hint: searchHint(library.query),
    order: orderWords(library),
    nothing: nothingLines(library, model.size.columns),
  });
}

function searchedLines(
  model: Model,
  { title, query, list, chosen, foot, hint, order, nothing }: Searched,
): Line[] {
  const { columns, rows } = model.size;
  const room = Math.max(3, rows - frame);
  const first = Math.max(0, Math.min(list.length - room, chosen - Math.floor(room / 2)));
  const lines: Line[] = [
    [
      piece(` ${fitText(title, Math.max(10, columns - 30))}`, 'title'),
      ...(query === '' ? [] : [piece('   search: ', 'dim'), piece(query)]),
    ],
    [
      ...fitLine([piece(' '), piece(hint, 'dim')], columns - textWidth(order) - 2),
      piece(order === '' ? '' : ` ${order}`, 'dim'),
    ],
    ...list.slice(first, first + room).map((line, place): Line => {
      const isChosen = first + place === chosen;
      const style = line.dim ? 'dim' : 'plain';
      const text = fitText(line.text, columns - 4);
      return [
        piece(isChosen ? (model.look.unicode ? ' ▸ ' : ' > ') : '   ', 'count'),
        piece(text, isChosen ? 'here' : style),
        piece(fitText(line.more, Math.max(0, columns - 4 - textWidth(text))), style),
      ];
    }),
  ];
  if (list.length === 0) lines.push(...nothing);
  while (lines.length < rows - 3) lines.push([]);
  const typed = overlayOf(model, 'line');
  const notice: Line = typed
    ? typedLine(model, typed, columns)
    : [piece(' '), piece(fitText(model.notice, columns - 2), noticeStyle(model))];
  return [...lines, notice, namedKeys(fitText(foot, columns))];
}

function songLine(song: StandSong, { run }: SetMode, { look, size }: Model): Drawn {
  const index = run.songs.indexOf(song);
  const played = run.played.some(({ id }) => id === song.id);
  const here = index === run.at && run.phase !== 'over';
  const [now, done, wanted] = look.unicode ? ['♪', '✓', '»'] : ['=', '+', '>'];
  const mark = here ? now : song.id === run.wanted ? wanted : played ? done : ' ';
  const key = songKey(song);
  const tempo =
    song.chart && song.start
      ? shortTempo({ ...song.chart.tempo, bpm: Math.round(song.start.bpm) }, look.unicode)
      : '';
  const room = Math.max(16, Math.min(44, size.columns - 40));
  const goesTo = song.goesTo
    ? `  goes to ${song.goesTo.map((name) => (look.unicode ? withSigns(name) : name)).join(', ')}`
    : '';
  const pause = song.breakBefore > 0 ? `  break ${song.breakBefore} min` : '';
  const details =
    song.problem === null
      ? `${(look.unicode ? withSigns(key) : key).padEnd(3)} ${tempo.padEnd(10)} ${clockText(song.seconds).padStart(5)}${pause}${goesTo}`
      : `faulty: ${song.problem}`;
  const text = `${mark} ${String(index + 1).padStart(2)}  ${padText(safeText(song.title), room)}`;
  return { text, more: `  ${details}`, dim: (played && !here) || song.problem !== null };
}

function requestLine(item: LibraryItem, library: Library, { size }: Model): Drawn {
  const title = padText(item.title, Math.max(16, Math.min(44, size.columns - 40)));
  const more = item.facts ? moreText(item, library) : '';
  return {
    text: title,
    more: `  ${[item.detail, more].filter((one) => one !== '').join('   ')}`,
    dim: false,
  };
}
