import { basename, dirname, resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { meterText } from '../chart/chart.js';
import { shortTempo } from '../chart/label.js';
import { recallChoices } from '../config/choices.js';
import { chartFiles, subfolders } from '../config/files.js';
import { folders } from '../config/folders.js';
import { allTranscripts, type KeptTranscript } from '../config/transcript-file.js';
import { playedSong } from '../setlist/running-order.js';
import type { SetList } from '../setlist/set.js';
import { dayOf } from '../shed/summary.js';
import { keyName, withSigns } from '../theory/key.js';
import type { Library, LibraryItem, SongWishes } from '../ui/state/library.js';
import type { Look } from '../ui/state/look.js';
import { brokenOff } from './broken-off.js';
import { Stop } from './exit.js';
import { firstFault, type Loaded, load, songPath } from './load.js';

/** Nothing is asked of a chart by a set. */
export const noWishes: SongWishes = { key: null, bpm: null };

const takeDown: LibraryItem = {
  file: '',
  kind: 'new',
  title: 'write down a new chart',
  detail: 'enter the chords while somebody calls them',
  wishes: noWishes,
};

/** A chart that was being taken down when the program ended: it comes first, since nothing else has it. */
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

/** The list shown first: the given folder's, else the user's own charts and the demo ones; what was played last comes first, then the user's own, then the demo ones in their order. */
export function firstLibrary(folder: string | undefined, look: Look): Library {
  const library =
    folder === undefined
      ? listOf('Charts and sets', [folders.charts, folders.demo], look, true)
      : listOf(`Charts and sets in ${safeText(folder)}`, [folder], look, true);
  if (library.items.every(({ kind }) => kind === 'new' || kind === 'transcript'))
    throw new Stop(
      2,
      `there is no chart in ${safeText(folder ?? folders.charts)}`,
      'a chart is a .yaml file; the demo charts show how one is written',
    );
  return library;
}

/** The list of a folder within another. */
export function folderLibrary(folder: string, look: Look): Library {
  return listOf(safeText(basename(folder)), [folder], look, false);
}

function listOf(title: string, from: readonly string[], look: Look, withNew: boolean): Library {
  const charts = from
    .flatMap((folder) =>
      chartFiles(folder).map((file) => ({ file: resolve(file), isDemo: folder === folders.demo })),
    )
    .map(({ file, isDemo }) => ({
      item: fileItem(file, look),
      played: recallChoices(file).played,
      rank: isDemo ? 1 + demoRank(file) : 0,
    }));
  charts.sort(
    (one, other) =>
      other.played - one.played ||
      one.rank - other.rank ||
      one.item.title.localeCompare(other.item.title, 'en'),
  );
  // Who has played something needs no hint where to begin.
  const isNew = charts.every(({ played }) => played === 0);
  const inner = from.flatMap((folder) => subfolders(folder)).map(folderItem);
  return {
    title,
    items: [
      ...(withNew ? allTranscripts().map(transcriptItem) : []),
      ...charts.map(({ item, rank }) => (isNew && rank === 1 ? hinted(item) : item)),
      ...inner,
      ...(withNew ? [takeDown] : []),
    ],
    index: 0,
    from: null,
    query: '',
  };
}

/** The demo charts as one meets them best: three chords in 4/4 first, then more chords and other meters, faster ones last. */
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
  return { ...item, detail: `${item.detail}   start here` };
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
export function requestLibrary(setFile: string | undefined, look: Look): Library {
  const beside = setFile === undefined ? [] : [dirname(resolve(setFile))];
  const from = [...new Set([...beside, folders.charts, folders.demo])];
  return listOf('Requests', from, look, false);
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
  return { title: safeText(set.title), items: [run, ...items], index: 0, from: null, query: '' };
}

/** A file as a line of the list; one with faults is listed with the first of them. */
export function fileItem(file: string, look: Look, wishes: SongWishes = noWishes): LibraryItem {
  const faulty = (title: string, detail: string): LibraryItem => ({
    file,
    kind: 'faulty',
    title: safeText(title),
    detail,
    wishes,
  });
  let loaded: Loaded;
  try {
    loaded = load(file);
  } catch (error) {
    if (error instanceof Stop) return faulty(basename(file), error.what);
    throw error;
  }
  const { content } = loaded;
  if (!content) return faulty(basename(file), firstFault(loaded));
  switch (content.kind) {
    case 'set':
      return {
        file,
        kind: 'set',
        title: safeText(content.set.title),
        detail: `${content.set.entries.length} songs`,
        wishes,
      };
    case 'instrument':
      return faulty(content.instrument.name, 'an instrument, not a chart');
    case 'pattern':
      return faulty(content.pattern.name, 'a pattern, not a chart');
    case 'chart': {
      const { chart } = content;
      const key = keyName(wishes.key ?? chart.key);
      const tempo = shortTempo({ ...chart.tempo, bpm: wishes.bpm ?? chart.tempo.bpm }, look.unicode);
      const detail = `${(look.unicode ? withSigns(key) : key).padEnd(4)} ${tempo.padEnd(12)} ${meterText(chart.meter)}`;
      return { file, kind: 'chart', title: safeText(chart.title), detail, wishes };
    }
  }
}
