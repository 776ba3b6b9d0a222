import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { recallChoices } from '../config/choices.js';
import { diaryPath, isPersonName, type Who } from '../config/diary-file.js';
import { chartFiles } from '../config/files.js';
import { folders } from '../config/folders.js';
import { type FileLine, fileLines, type LineOptions } from '../config/lines.js';
import { pathFile } from '../config/path-file.js';
import { notWritten } from '../config/why-not.js';
import { playedSong } from '../setlist/running-order.js';
import { type Diary, type DiaryEntry, diaryOfLines } from '../shed/diary.js';
import { openMarks } from '../shed/later.js';
import { noMarks, type PathMarks } from '../shed/path-state.js';
import type { PracticeChart } from '../shed/wanted.js';
import { type Key, parseKey } from '../theory/key.js';
import { exit, Stop, say } from './exit.js';
import { chartOf, loadGood, songPath } from './load.js';
import type { PlayFlags } from './play-options.js';

/** Reads `--who`. */
export function whoFlag(name: string | undefined): Who {
  if (name === undefined || isPersonName(name)) return name ?? null;
  throw new Stop(
    exit.call,
    `--who “${safeText(name)}” is not a name`,
    'use letters, figures, spaces and dashes: --who Ansa',
  );
}

/** How many lines of a diary are used, the last ones: a pass a minute, an hour a day, for nine years. */
const mostLines = 200_000;

/** How many lines that cannot be read are reported one by one. */
export const mostAside = 5;

/** A player's diary; what in it cannot be read is told on stderr, and stays in the file. */
export function diaryOf(who: Who): Diary {
  const path = diaryPath(who);
  const diary = diaryOfLines(recentLines(path));
  for (const { line, why } of diary.aside.slice(0, mostAside))
    say(`${safeText(path)}:${line}: set aside: ${why}`);
  if (diary.asideCount > mostAside)
    say(`${safeText(path)}: ${diary.asideCount - mostAside} more unreadable lines were ignored`);
  return diary;
}

/** How many lines are used to find weak songs: more than a year of an hour a day. */
const practiceLines = 20_000;

/** What was practised lately. Lines that cannot be read are skipped without a message. */
export function recentPractice(who: Who): readonly DiaryEntry[] {
  try {
    return diaryOfLines(fileLines(diaryPath(who), { last: practiceLines })).entries;
  } catch {
    return [];
  }
}

function* recentLines(path: string): Generator<FileLine> {
  let first = true;
  for (const line of linesOf(path, { last: mostLines })) {
    if (first && line.number > 1)
      say(`${safeText(path)}: only the last ${mostLines} lines are used, from line ${line.number} on`);
    first = false;
    yield line;
  }
}

/** The lines of a diary, one after the other; a diary that cannot be read is told on stderr, and has none. */
export function* linesOf(path: string, options: LineOptions = {}): Generator<FileLine> {
  try {
    yield* fileLines(path, options);
  } catch (error) {
    say(`the diary ${safeText(path)} cannot be read: ${notWritten(error).message}`);
  }
}

/** The key in which a chart stands on the stand: the one that was chosen there last, else its own. */
export function keptKey(file: string, chart: Pick<Chart, 'key'>): Key {
  const { key } = recallChoices(file).choices;
  const read = parseKey(typeof key === 'string' ? key : '');
  return read.ok && read.value.mode === chart.key.mode ? read.value : chart.key;
}

/** What was said of a player's way along the path. A step that is not known is passed over. */
export function pathMarks(who: Who): PathMarks {
  return pathFile(who).read() ?? noMarks;
}

/** Charts to practise with, each in the key in which it is played: those of a set first, then the player's own and the demo ones, what was played last first. */
export function practiceCharts(setFile: string | undefined): readonly PracticeChart[] {
  const inSet = setFile === undefined ? [] : chartsOfSet(setFile);
  const others = [...chartFiles(folders.charts), ...chartFiles(folders.demo)]
    .map((file) => ({ file, played: recallChoices(file).played }))
    .sort((one, other) => other.played - one.played)
    .flatMap(({ file }) => {
      const read = chartOf(file);
      if (!read.ok) return [];
      const { chart } = read.value;
      return [{ chart: { ...chart, key: keptKey(file, chart) }, file, inSet: false }];
    });
  const titles = new Set(inSet.map(({ chart }) => chart.title));
  return [...inSet, ...others.filter(({ chart }) => !titles.has(chart.title))];
}

/** Charts in which something was marked to be looked at later, where they are not among those that are known. */
export function markedCharts(
  entries: readonly DiaryEntry[],
  known: readonly Pick<PracticeChart, 'chart'>[],
): readonly PracticeChart[] {
  const titles = new Set(known.map(({ chart }) => chart.title));
  const files = new Set(
    openMarks(entries).flatMap(({ title, file }) => (file !== null && !titles.has(title) ? [file] : [])),
  );
  return [...files].flatMap((file) => {
    const read = chartOf(file);
    // A file that has since gone does no harm: its mark stays in the diary.
    return read.ok ? [{ chart: read.value.chart, file, inSet: false }] : [];
  });
}

function chartsOfSet(file: string): PracticeChart[] {
  const content = loadGood(file);
  if (content.kind !== 'set')
    throw new Stop(exit.call, `${safeText(file)} is not a set`, 'name a set file: --set SET.yaml');
  return content.set.entries.flatMap((entry, index) => {
    const path = songPath(file, content.set, index);
    const read = chartOf(path);
    if (read.ok) {
      const { chart } = read.value;
      const { key, bpm } = playedSong(chart, entry);
      return [{ chart: { ...chart, key, tempo: { ...chart.tempo, bpm } }, file: path, inSet: true }];
    }
    say(`song ${index + 1}, ${safeText(entry.file)}: ${read.fault.message}; it is left out`);
    return [];
  });
}

/** The flags of a practice command that the stand is opened with. */
export type StandFlags = Pick<PlayFlags, 'unicode' | 'out' | 'listen' | 'microphone' | 'keep' | 'plain'>;

/** The same, without what the command has beside. */
export function standFlags(flags: StandFlags): PlayFlags {
  const names = ['unicode', 'out', 'listen', 'microphone', 'keep'] as const;
  return Object.fromEntries(
    names.flatMap((name) => (flags[name] === undefined ? [] : [[name, flags[name]]])),
  );
}
