import { didYouMean } from '../../../base/nearest.js';
import { safeText } from '../../../base/safe-text.js';
import type { Action } from '../../keys/actions.js';
import type { Ask } from '../../state/asks.js';
import { type Library, type LibraryItem, listOrders } from '../../state/library.js';
import { found } from '../../state/library-found.js';
import type { Model } from '../../state/model.js';
import { overlayOf, songKey } from '../../state/select.js';
import { headWords } from '../bar-words.js';
import { nextWords, whereIn } from '../from-model.js';
import {
  alone,
  asking,
  fill,
  type Order,
  type OrderStep,
  press,
  pressing,
  telling,
  type Word,
  wholeOf,
} from '../order.js';
import { counted, spokenLetters, spokenNote, withoutKeys } from '../spoken.js';

/** The most lines of a list that are printed; words after `list` make it shorter. */
const mostListed = 40;

function itemText({ title, detail, kind }: LibraryItem): string {
  const said = safeText(detail)
    .replace(/ {2,}/g, ', ')
    .replace(/(quarters|halves|dotted) (?=\d)/, '$1, ');
  return `${safeText(title)}${kind === 'set' ? ', a set' : kind === 'folder' ? ', a folder' : ''}, ${spokenDetail(said)}`;
}

/** Key, tempo and meter of an item in words. */
function spokenDetail(detail: string): string {
  return detail.replace(/^([A-G])(#|b)?(m)?(?=,|$)/, (_, tonic, sign = '', minor = '') =>
    spokenLetters(`${tonic}${sign}${minor}`),
  );
}

function searched(library: Library, query: string): readonly LibraryItem[] {
  return found({ ...library, query });
}

/** The list of charts, or those in which words are found. The numbers are those of the whole list, however it is sorted. */
function list(rest: string): Order {
  return {
    steps: [],
    lists: true,
    answer: (_, { library }) => {
      if (!library) return 'there is no list';
      const items = searched(library, rest);
      if (items.length === 0) return `nothing in the list has “${safeText(rest)}”`;
      const more =
        items.length > mostListed ? `; the first ${mostListed} of them, list WORDS prints fewer` : '';
      return [
        `${safeText(library.title)}, ${items.length}${more}:`,
        ...items.slice(0, mostListed).map((item) => `${placeIn(library, item)} ${itemText(item)}`),
      ];
    },
  };
}

/** The list in its usual order, by which everything in it has its number: what was heard before it was sorted holds still. */
function numbered(library: Library): readonly LibraryItem[] {
  return found({ ...library, query: '', order: 'usual' });
}

/** The number of an item of the list, from 1. */
function placeIn(library: Library, item: LibraryItem): number {
  return numbered(library).indexOf(item) + 1;
}

/** Sorts the list otherwise: by what is named, else by the next. */
function sort(rest: string): Order | string {
  const low = rest.toLowerCase();
  const wanted = low === '' ? null : listOrders.find((order) => order === low);
  if (wanted === undefined) {
    const near = didYouMean(rest, listOrders) || `; it is one of ${listOrders.join(', ')}`;
    return `“${safeText(rest)}” is not an order${near}`;
  }
  const answer = (_: Model, { library }: Model): string =>
    library ? `sorted by: ${library.order ?? 'usual'}; each keeps its number` : 'there is no list';
  if (wanted === null) return { ...pressing('list-order', answer), lists: true };
  const next: OrderStep = {
    send: ({ library }, at) =>
      library && (library.order ?? 'usual') !== wanted ? [{ kind: 'action', action: 'list-order', at }] : [],
  };
  return { lists: true, steps: listOrders.map(() => next), answer };
}

/** The item that is named: by its number in the list, its title, or words that only it has; a text for what is wrong. */
export function itemNamed(library: Library | null, rest: string): LibraryItem | string {
  if (!library) return 'there is no list';
  const place = wholeOf(rest);
  if (place !== null)
    return numbered(library)[place - 1] ?? `the list has 1 to ${library.items.length}; list prints it`;
  const items = searched(library, rest);
  const [first] = items;
  if (!first) return `nothing in the list has “${safeText(rest)}”; list prints it`;
  const exact = items.find(({ title }) => title.toLowerCase() === rest.toLowerCase());
  if (exact ?? items.length === 1) return exact ?? first;
  const some = items.slice(0, 4).map((item) => `${placeIn(library, item)} ${safeText(item.title)}`);
  return `${items.length} have “${safeText(rest)}”: ${some.join('; ')}${items.length > 4 ? '; and more' : ''}; open NUMBER opens one`;
}

/** Opens a chart, a folder or a set of the list. */
function open(rest: string): Order | string {
  if (rest === '') return 'say what: open 3, or open part of a title; list prints the charts';
  return {
    lists: true,
    steps: [
      {
        send: ({ library }, at) => {
          const item = itemNamed(library, rest);
          return typeof item === 'string' || item.kind === 'faulty'
            ? []
            : [{ kind: 'asked', ask: { kind: 'open', item }, at }];
        },
      },
    ],
    answer: (before, after, said) => {
      const item = itemNamed(before.library, rest);
      if (typeof item === 'string') return item;
      if (item.kind === 'faulty') return `${safeText(item.title)}: ${safeText(item.detail)}`;
      if (said !== '') return said;
      return openedWords(before, after);
    },
  };
}

function openedWords(before: Model, after: Model): string {
  const { mode, session, library } = after;
  if (mode.kind === 'library')
    return library && library !== before.library
      ? `${safeText(library.title)}, ${library.items.length} in it; list prints them`
      : 'nothing was opened';
  if (mode.kind === 'transcribe')
    return 'a count for what is called: play, then 1 to 7, minor, seventh, done TITLE';
  if (mode.kind === 'set') return whereIn(after);
  return session.performance ? `${headWords(session.performance.setup)}; play begins` : whereIn(after);
}

/** The song that is named in the order: by number or title; its place, or a text for what is wrong. */
function placeNamed({ mode }: Model, text: string): number | string {
  if (mode.kind !== 'set') return 'that is for a set that is run';
  const { songs } = mode.run;
  const number = wholeOf(text);
  if (number !== null)
    return number >= 1 && number <= songs.length ? number - 1 : `the set has songs 1 to ${songs.length}`;
  const at = songs.findIndex(({ title }) => title.toLowerCase().includes(text.toLowerCase()));
  return at < 0 ? `no song of the set has “${safeText(text)}”; order lists them` : at;
}

type Does = Extract<Ask, { kind: 'song' }>['does'];

function songs(text: string, does: Does, says: (title: string, after: Model) => string): Order {
  return asking(
    (model) => {
      const place = placeNamed(model, text);
      return typeof place === 'string' ? null : { kind: 'song', place, does };
    },
    (before, after, said) => {
      const place = placeNamed(before, text);
      if (typeof place === 'string') return place;
      if (before.mode.kind !== 'set' || after.mode.kind !== 'set') return said;
      const { run } = before.mode;
      if (said === '' && run === after.mode.run && does !== 'order-jump')
        return 'only songs that are still to come are moved or left out';
      return said || says(safeText(run.songs[place]?.title ?? ''), after);
    },
  );
}

function orderText({ mode }: Model): string | readonly string[] {
  if (mode.kind !== 'set') return 'that is for a set that is run';
  const { run } = mode;
  return [
    `${safeText(run.title)}, ${counted(run.songs.length, 'song')}; ${nextWords(mode)}:`,
    ...run.songs.map((song, index) => {
      const state =
        index === run.at ? ', this one' : run.played.some(({ id }) => id === song.id) ? ', played' : '';
      return `${index + 1} ${safeText(song.title)}, ${song.problem === null ? spokenNote(songKey(song)) : safeText(song.problem)}${state}`;
    }),
  ];
}

/** A request: found among the charts, put into its key, next in the order. */
function request(rest: string): Order | string {
  const [, title, key] = /^(.+?)(?: in (.+))?$/i.exec(rest) ?? [];
  if (title === undefined) return 'say which song: request weir, or request weir in D';
  const requests = (model: Model) => overlayOf(model, 'requests');
  return {
    steps: [
      press('order'),
      press('request'),
      {
        send: (model) => (requests(model) ? [{ kind: 'typed', text: title }] : []),
      },
      {
        send: (model, at) => {
          const list = requests(model)?.library;
          return list && found(list).length > 0 ? [{ kind: 'action', action: 'order-jump', at }] : [];
        },
      },
      ...(key === undefined ? [] : [fill(key)[0] as Order['steps'][number]]),
      {
        send: ({ overlay }, at) =>
          overlay?.kind === 'line' ? [{ kind: 'action', action: 'line-done', at }] : [],
      },
    ],
    answer: (before, after, said) => {
      if (before.mode.kind !== 'set') return 'that is for a set that is run';
      if (after.overlay?.kind === 'line' && after.overlay.fault !== '') return after.overlay.fault;
      if (after.overlay?.kind === 'requests') return `no chart has “${safeText(title)}”`;
      return said || nextWords(before.mode);
    },
  };
}

function ofSet(name: string, action: Action, says: string, answer?: (after: Model) => string): Word {
  return {
    name,
    says,
    group: 'charts and sets',
    actions: [action],
    read: alone(() => pressing(action, (_, after, said) => said || (answer ?? whereIn)(after))),
  };
}

/** Lists of charts, and sets that are run. */
export const setWords: readonly Word[] = [
  {
    name: 'list',
    takes: 'words, or nothing',
    says: 'the charts and sets; with words those that have them',
    group: 'charts and sets',
    actions: [],
    anywhere: true,
    read: list,
  },
  {
    name: 'sort',
    takes: 'title, key, tempo, played, weakest, or usual',
    says: 'the list by what is named; alone: by the next of these',
    group: 'charts and sets',
    actions: ['list-order'],
    read: sort,
  },
  {
    name: 'open',
    takes: '3, or weir',
    says: 'a chart or a set of the list, by its number or part of its title',
    group: 'charts and sets',
    actions: ['list-open'],
    anywhere: true,
    read: open,
  },
  {
    name: 'run',
    says: 'the set whose list is open, one song after the other',
    group: 'charts and sets',
    actions: ['list-open'],
    anywhere: true,
    read: alone(() => ({
      steps: [
        {
          send: ({ library }, at) => {
            const item = library?.items.find(({ kind }) => kind === 'run');
            return item ? [{ kind: 'asked', ask: { kind: 'open', item }, at }] : [];
          },
        },
      ],
      answer: (before, after, said) =>
        said !== ''
          ? said
          : before.library?.items.some(({ kind }) => kind === 'run')
            ? whereIn(after)
            : 'no set is open; open a set of the list first',
    })),
  },
  {
    name: 'leave',
    also: ['close'],
    says: 'back to the chart, the list, or out of the program',
    group: 'charts and sets',
    actions: ['back'],
    read: alone(() => ({
      steps: [press('back')],
      answer: (before, after, said) =>
        said !== '' && before.mode === after.mode ? withoutKeys(said) : whereIn(after),
    })),
  },
  {
    name: 'order',
    says: 'the running order of the set: a list',
    group: 'charts and sets',
    actions: ['order'],
    read: alone(() => telling((_, after) => orderText(after))),
  },
  {
    name: 'song',
    also: ['jump'],
    takes: '3, or weir',
    says: 'to a song of the set: its card now, or after the song that plays',
    group: 'charts and sets',
    actions: ['order', 'order-jump'],
    read: (rest) =>
      rest === ''
        ? telling((_, after) => whereIn(after))
        : songs(rest, 'order-jump', (_, after) => whereIn(after)),
  },
  {
    name: 'earlier',
    takes: '3, or weir',
    says: 'a song of the set one place earlier',
    group: 'charts and sets',
    actions: ['order', 'order-earlier'],
    read: (rest) => songs(rest, 'order-earlier', (title) => `${title} is one place earlier`),
  },
  {
    name: 'put later',
    takes: '3, or weir',
    says: 'a song of the set one place later',
    group: 'charts and sets',
    actions: ['order', 'order-later'],
    read: (rest) => songs(rest, 'order-later', (title) => `${title} is one place later`),
  },
  {
    name: 'leave out',
    takes: '3, or weir',
    says: 'a song of the set is not played',
    group: 'charts and sets',
    actions: ['order', 'order-out'],
    read: (rest) => songs(rest, 'order-out', (title) => `${title} is left out`),
  },
  {
    name: 'request',
    takes: 'weir in D',
    says: 'a chart comes next in the set',
    group: 'charts and sets',
    actions: ['request', 'order'],
    read: request,
  },
  ofSet('again', 'song-again', 'the song once more when it is over, or the one before again', (after) =>
    after.mode.kind === 'set' && after.mode.run.phase === 'song'
      ? 'this song once more when it is over'
      : whereIn(after),
  ),
  ofSet('wait', 'card-holds', 'the gap of a card waits for play'),
  ofSet('anew', 'run-anew', 'forget a run that was broken off, and begin with the first song'),
];
