import { basename, dirname, resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { playedTimes } from '../config/choices.js';
import { chartFiles, subfolders } from '../config/files.js';
import { folders } from '../config/folders.js';
import { recall } from '../config/remembered.js';
import { allTranscripts, type KeptTranscript } from '../config/transcript-file.js';
import { playedSong } from '../setlist/running-order.js';
import type { SetList } from '../setlist/set.js';
import { dayOf } from '../shed/summary.js';
import { type Library, type LibraryItem, type ListOrder, listOrders } from '../ui/state/library.js';
import type { Look } from '../ui/state/look.js';
import { brokenOff } from './broken-off.js';
import { Stop } from './exit.js';
import { load, songPath } from './load.js';
import { fileItem, noWishes, type SongFiles } from './song-files.js';

const writeDown: LibraryItem = {
  file: '',
  kind: 'new',
  title: 'write down a new chart',
  detail: 'enter the chords while somebody calls them',
  wishes: noWishes,
};

/** A song that was being written down when the program ended: it comes first, since nothing else has it. */
function transcriptItem({ name, transcript }: { name: string; transcript: KeptTranscript }): LibraryItem {
  const bars = transcript.transcript.bars.length;
  const at = new Date(transcript.at);
  const when = `${dayOf(transcript.at)} ${at.toTimeString().slice(0, 5)}`;
  return {
    file: name,
    kind: 'transcript',
    title: 'continue the chart you were writing down',
    detail: safeText(`${bars} ${bars === 1 ? 'bar' : 'bars'} in ${transcript.key}, ${when}`),
    wishes: noWishes,
  };
}

/** What lists are made with: how they look, what is known of their files, in which order they are shown. */
export interface Listing {
  readonly look: Look;
  readonly songs: SongFiles;
}

/** The list shown first: the given folder's, else the user's own charts and the demo ones; in the usual order what was played last comes first, then the user's own, then the demo ones in their order. */
export function firstLibrary(folder: string | undefined, listing: Listing): Library {
  const library =
    folder === undefined
      ? listOf('Charts and sets', [folders.charts, folders.demo], listing, true)
      : listOf(`Charts and sets in ${safeText(folder)}`, [folder], listing, true);
  if (library.items.every(({ kind }) => kind === 'new' || kind === 'transcript'))
    throw new Stop(
      2,
      `there is no chart in ${safeText(folder ?? folders.charts)}`,
      'a chart is a .yaml file; the demo charts show how one is written',
    );
  return library;
}

/** The list of a folder within another. */
export function folderLibrary(folder: string, listing: Listing): Library {
  return listOf(safeText(basename(folder)), [folder], listing, false);
}

/** This many files are read before a list is shown, and more as long as it takes no longer than this time, ms; the others follow. */
const readAtOnce = 24;
const readAtOnceMs = 60;

function listOf(title: string, from: readonly string[], { look, songs }: Listing, withNew: boolean): Library {
  const files = from.flatMap((folder) =>
    chartFiles(folder).map((file) => ({ file: resolve(file), isDemo: folder === folders.demo })),
  );
  const times = playedTimes(files.map(({ file }) => file));
  // A player who has played something needs no hint about where to begin.
  const isNew = times.size === 0;
  const begun = performance.now();
  let read = 0;
  const itemOf = (file: string): LibraryItem => {
    const known = songs.known(file, look);
    if (known) return known;
    read += 1;
    return read <= readAtOnce || performance.now() - begun < readAtOnceMs
      ? songs.read(file, look)
      : { file, kind: 'unread', title: safeText(basename(file)), detail: 'not read yet', wishes: noWishes };
  };
  const charts = files.map(({ file, isDemo }): LibraryItem => {
    const rank = isDemo ? 1 + demoRank(file) : 0;
    const item = itemOf(file);
    return withPlace(isNew && rank === 1 ? hinted(item) : item, times.get(file) ?? 0, rank);
  });
  if (read > 0 && charts.every(({ kind }) => kind !== 'unread')) songs.keep();
  const inner = from.flatMap((folder) => subfolders(folder)).map(folderItem);
  return {
    title,
    items: [
      ...(withNew ? allTranscripts().map(transcriptItem) : []),
      ...charts,
      ...inner,
      ...(withNew ? [writeDown] : []),
    ],
    index: 0,
    from: null,
    query: '',
    order: keptOrder(),
  };
}

/** A file that a list showed before it was read; its place in the usual order stays as it was. */
export function readLater(file: string, { look, songs }: Listing): LibraryItem {
  const played = playedTimes([file]).get(file) ?? 0;
  return withPlace(songs.read(file, look), played, dirname(file) === folders.demo ? 1 + demoRank(file) : 0);
}

function withPlace(item: LibraryItem, played: number, rank: number): LibraryItem {
  return { ...item, place: [played, rank], ...(played > 0 ? { played } : {}) };
}

/** The order in which lists were shown last. */
function keptOrder(): ListOrder {
  const { order } = recall();
  return listOrders.find((one) => one === order) ?? 'usual';
}

/** The demo charts in the best order to meet them: three chords in 4/4 first, then more chords and other meters, faster ones last. */
const demoOrder: readonly string[] = [
  'ropewalk-penny',
  'sluice-gate-morning',
  'half-a-mile-of-fog',
  'third-lantern-down',
  'osier-and-twine',
  'tollhouse-kettle',
  'copperwort-lane',
  'lockkeepers-candle',
  'nine-barges-late',
  'weir-hands',
  'osier-lock-gathering',
];

/** The place of a demo chart in their order, from 0; those that are not named there come last. */
function demoRank(file: string): number {
  const at = demoOrder.indexOf(basename(file, '.yaml'));
  return at < 0 ? demoOrder.length : at;
}

function hinted(item: LibraryItem): LibraryItem {
  return { ...item, hint: 'start here' };
}

function folderItem(folder: string): LibraryItem {
  const count = chartFiles(folder).length;
  return {
    file: resolve(folder),
    kind: 'folder',
    title: safeText(basename(folder)),
    detail: `${count} ${count === 1 ? 'file' : 'files'}`,
    wishes: noWishes,
  };
}

/** All charts that somebody might ask for: those beside the set, the user's own and the demo ones. */
export function requestLibrary(setFile: string | undefined, listing: Listing): Library {
  const beside = setFile === undefined ? [] : [dirname(resolve(setFile))];
  const from = [...new Set([...beside, folders.charts, folders.demo])];
  return listOf('Requests', from, listing, false);
}

/** A set's songs as a list, each with the key and tempo that the set wants. */
export function setLibrary(file: string, set: SetList, look: Look): Library {
  const items = set.entries.map((entry, index) => {
    const item = fileItem(songPath(file, set, index), look);
    if (item.kind !== 'chart') return item;
    const { content } = load(item.file);
    if (content?.kind !== 'chart') return item;
    const song = playedSong(content.chart, entry);
    const moved = entry.key !== null || entry.singer !== null;
    return fileItem(item.file, look, {
      key: moved ? song.key : null,
      bpm: entry.tempo === null ? null : song.bpm,
    });
  });
  const count = set.entries.length;
  const broken = brokenOff(file, set);
  const run: LibraryItem = {
    file,
    kind: 'run',
    title: 'run the whole set',
    detail: broken
      ? `interrupted at song ${broken.song} of ${broken.of}`
      : `${count} ${count === 1 ? 'song' : 'songs'}, one after the other`,
    wishes: noWishes,
  };
  return { title: safeText(set.title), items: [run, ...items], index: 0, from: null, query: '', isSet: true };
}
