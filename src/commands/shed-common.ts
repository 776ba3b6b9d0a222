import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { recallChoices } from '../config/choices.js';
import { diaryPath, isPersonName, readDiaryText, settingsFolder, type Who } from '../config/diary-file.js';
import { chartFiles } from '../config/files.js';
import { folders } from '../config/folders.js';
import { readSettings, type Settings } from '../config/settings.js';
import { type Diary, type DiaryEntry, readDiary } from '../shed/diary.js';
import { openMarks } from '../shed/later.js';
import { exit, Stop, say } from './exit.js';
import { chartOrFault, load, loadGood, songPath } from './load.js';
import type { PlayFlags } from './play-options.js';

/** Reads `--who`. */
export function whoFlag(name: string | undefined): Who {
  if (name === undefined || isPersonName(name)) return name ?? null;
  throw new Stop(
    exit.call,
    `--who “${safeText(name)}” is no name`,
    'a name has letters, figures, spaces and dashes: --who Ansa',
  );
}

/** Somebody's diary; what in it cannot be read is told on stderr, and stays in the file. */
export function diaryOf(who: Who): Diary {
  const path = diaryPath(who);
  const diary = readDiary(readDiaryText(path));
  for (const { line, why } of diary.aside.slice(0, 5)) say(`${safeText(path)}:${line}: set aside: ${why}`);
  if (diary.aside.length > 5) say(`${safeText(path)}: ${diary.aside.length - 5} more lines set aside`);
  return diary;
}

/** Somebody's settings; faults are told on stderr. */
export function settingsOf(who: Who): Settings {
  const { settings, faults } = readSettings(settingsFolder(who));
  for (const fault of faults) say(safeText(fault));
  return settings;
}

/** Charts to practise with: those of a set first, then the player's own and the demo ones, what was played last first. */
export function practiceCharts(
  setFile: string | undefined,
): readonly { readonly chart: Chart; readonly inSet: boolean }[] {
  const inSet = setFile === undefined ? [] : chartsOfSet(setFile);
  const others = [...chartFiles(folders.charts), ...chartFiles(folders.demo)]
    .map((file) => ({ file, played: recallChoices(file).played }))
    .sort((one, other) => other.played - one.played)
    .flatMap(({ file }) => {
      const { content } = load(file);
      return content?.kind === 'chart' ? [content.chart] : [];
    });
  const titles = new Set(inSet.map(({ title }) => title));
  return [
    ...inSet.map((chart) => ({ chart, inSet: true })),
    ...others.filter(({ title }) => !titles.has(title)).map((chart) => ({ chart, inSet: false })),
  ];
}

/** Charts in which something was marked to be looked at later, where they are not among those that are known. */
export function markedCharts(
  entries: readonly DiaryEntry[],
  known: readonly { readonly chart: Chart }[],
): readonly { readonly chart: Chart; readonly inSet: boolean }[] {
  const titles = new Set(known.map(({ chart }) => chart.title));
  const files = new Set(
    openMarks(entries).flatMap(({ title, file }) => (file !== null && !titles.has(title) ? [file] : [])),
  );
  return [...files].flatMap((file) => {
    const chart = chartOrFault(file);
    // A file that has gone since is no matter: its mark stays in the diary.
    return typeof chart === 'string' ? [] : [{ chart, inSet: false }];
  });
}

function chartsOfSet(file: string): Chart[] {
  const content = loadGood(file);
  if (content.kind !== 'set')
    throw new Stop(exit.call, `${safeText(file)} is no set`, 'name a set file: --set SET.yaml');
  return content.set.entries.flatMap((entry, index) => {
    const song = load(songPath(file, content.set, index)).content;
    return song?.kind === 'chart' ? [{ ...song.chart, key: entry.key ?? song.chart.key }] : [];
  });
}

/** What of a practice command's flags the stand is opened with. */
export function standFlags({ unicode, out }: Pick<PlayFlags, 'unicode' | 'out'>): PlayFlags {
  return { ...(unicode === undefined ? {} : { unicode }), ...(out === undefined ? {} : { out }) };
}
