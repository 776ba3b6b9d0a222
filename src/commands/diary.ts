import { existsSync } from 'node:fs';
import { csvLine } from '../base/csv.js';
import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import { diaryPath } from '../config/diary-file.js';
import { type DiaryEntry, readDiaryLine } from '../shed/diary.js';
import { openMarks } from '../shed/later.js';
import { barPlot, curve } from '../shed/plot.js';
import {
  changeProgress,
  chartProgress,
  dayOf,
  minutesByDay,
  type Progress,
  setsPlayed,
  stepProgress,
} from '../shed/summary.js';
import { earJson, printEar } from './diary-ear.js';
import { heardCells, heardColumns, heardJson, printHeard } from './diary-heard.js';
import { exit, print, printDocument, say } from './exit.js';
import { goodPlan } from './load-plan.js';
import { diaryOf, linesOf, mostAside, whoFlag } from './shed-common.js';
import { pathLines } from './shed-path.js';
import { dateFlag } from './shed-wishes.js';

/** The options of `diary`. */
export interface DiaryFlags {
  readonly who?: string;
  readonly days?: number;
  readonly json?: boolean;
  readonly csv?: boolean;
  readonly since?: string;
  readonly plan?: string;
  readonly unicode?: boolean;
}

/** The most changes and charts that are drawn. */
const mostDrawn = 6;

/** What was practised, how it went, and which tempos hold. */
export function showDiary(flags: DiaryFlags): number {
  const who = whoFlag(flags.who);
  const { days = 7 } = flags;
  if (flags.csv) {
    printCsv(diaryPath(who), filterOf(flags));
    return exit.done;
  }
  const { entries: all, aside } = diaryOf(who);
  const entries = all.filter(filterOf(flags));
  const now = Date.now();
  const byDay = minutesByDay(entries, now, days);
  const changes = changeProgress(entries);
  const passes = entries.filter(({ what }) => what !== 'later').length;
  const charts = chartProgress(entries);
  if (flags.json) {
    const sets = setsPlayed(entries);
    printDocument(
      jsonText({
        passes,
        setAside: aside,
        days: byDay,
        changes,
        charts,
        sets,
        later: openMarks(entries),
        steps: stepProgress(entries),
        heard: heardJson(entries),
        ear: earJson(entries),
        ...(flags.plan === undefined ? {} : { results: entries.map(resultJson) }),
      }),
    );
    return exit.done;
  }
  if (entries.length === 0 && all.length > 0) {
    print('The diary has nothing for this plan or since that day.');
    return exit.done;
  }
  if (entries.length === 0) {
    print('The diary is empty. Play a chart, then press j if the pass was clean or m if it was not.');
    return exit.done;
  }
  const unicode = flags.unicode !== false;
  const width = Math.max(40, Math.min(100, process.stdout.columns ?? 78));
  print(`Minutes by day (${passes} ${passes === 1 ? 'pass' : 'passes'} in all)`);
  for (const line of barPlot(
    byDay.map(({ day, minutes }) => ({
      label: day,
      value: minutes,
      says: minutes.toFixed(minutes < 10 ? 1 : 0),
    })),
    width,
    unicode,
  ))
    print(line);
  printWeek(entries, now, days);
  printSets(entries);
  printLater(entries);
  const path = pathLines(who, all);
  if (path.length > 0) print('', ...path);
  printProgress('Changes', changes, width, unicode);
  printProgress('Charts', charts, width, unicode);
  printHeard(entries, width, unicode);
  printEar(entries);
  return exit.done;
}

/** Which entries are asked for: those of a plan, those from a day on. */
function filterOf({ plan, since }: DiaryFlags): (entry: DiaryEntry) => boolean {
  const title = plan === undefined ? null : planTitle(plan);
  const from = since === undefined ? null : dayOf(dateFlag('since', since));
  return (entry) => (title === null || entry.plan === title) && (from === null || dayOf(entry.at) >= from);
}

/** The title of a plan that was named by its file, or by its title. */
function planTitle(plan: string): string {
  return existsSync(plan) ? goodPlan(plan).title : plan;
}

/** A pass for anybody who laid out the plan. */
function resultJson({ at, drill, title, key, bpm, target, result, ms, step, heard }: DiaryEntry): object {
  return {
    at: new Date(at).toISOString(),
    drill,
    title,
    key,
    bpm,
    target,
    result,
    seconds: ms / 1000,
    step: step ?? null,
    heard: heard ?? null,
  };
}

function printWeek(entries: readonly DiaryEntry[], now: number, days: number): void {
  const since = now - days * 86_400_000;
  const practised = new Map<string, number>();
  for (const { at, title, ms, what } of entries)
    if (at >= since) {
      const name = what === 'numbers' ? 'questions about numbers' : title;
      practised.set(name, (practised.get(name) ?? 0) + ms / 60_000);
    }
  if (practised.size === 0) return;
  print('', `Practised in ${days} days`);
  const list = [...practised].sort(([, one], [, other]) => other - one).slice(0, 12);
  for (const [title, minutes] of list) print(`${minutes.toFixed(1).padStart(6)} min  ${title}`);
}

/** The sets that were played last, with what was played of them. */
function printSets(entries: readonly DiaryEntry[]): void {
  for (const { set, day, songs, minutes } of setsPlayed(entries).slice(-3)) {
    print(
      '',
      `${day}  ${safeText(set)}: ${songs.length} ${songs.length === 1 ? 'song' : 'songs'}, ${minutes.toFixed(0)} minutes of music`,
    );
    for (const { title, key, bpm } of songs)
      print(`    ${safeText(title)}, ${key}, ${Math.round(bpm)} quarters a minute`);
  }
}

/** What was marked to be looked at, and has not been. */
function printLater(entries: readonly DiaryEntry[]): void {
  const marks = openMarks(entries);
  if (marks.length === 0) return;
  print('', 'Marked for later; barkline shed today begins with it:');
  for (const { title, bar, key, at } of marks.slice(0, 12))
    print(`    bar ${bar} of ${safeText(title)}, ${key}, marked on ${dayOf(at)}`);
}

function printProgress(head: string, list: readonly Progress[], width: number, unicode: boolean): void {
  const shown = list
    .filter(({ days }) => days.length > 0)
    .sort((one, other) => ((one.days.at(-1)?.day ?? '') < (other.days.at(-1)?.day ?? '') ? 1 : -1))
    .slice(0, mostDrawn);
  if (shown.length === 0) return;
  print('', `${head}: the fastest clean pass of each day; the line is the target`);
  for (const { label, days, holds, target, clean, missed, unmarked } of shown) {
    const held = holds === null ? 'nothing clean yet' : `${Math.round(holds)} holds`;
    print(
      `${label}: ${held} of ${Math.round(target)}; ${clean} clean, ${missed} missed, ${unmarked} unmarked; since ${days[0]?.day}`,
    );
    const points = days.map(({ bpm }) => ({
      value: bpm,
      mark: bpm > 0 ? (unicode ? '●' : 'o') : unicode ? '×' : 'x',
    }));
    for (const line of curve(points, { height: 5, width, target: target > 0 ? target : null, unicode }))
      print(line);
  }
}

const passColumns = 'day,time,what,drill,title,key,bpm,target,pattern,result,seconds,step,plan'.split(',');

/** Every pass there is, a line at a time: nothing of a long diary is kept in memory. */
function printCsv(path: string, wanted: (entry: DiaryEntry) => boolean): void {
  print(csvLine([...passColumns, ...heardColumns]));
  let aside = 0;
  for (const { number, text } of linesOf(path)) {
    const entry = readDiaryLine(text);
    if (typeof entry === 'string') {
      aside += 1;
      if (aside <= mostAside) say(`${path}:${number}: set aside: ${entry}`);
    }
    if (entry === null || typeof entry === 'string' || !wanted(entry)) continue;
    const time = new Date(entry.at).toTimeString().slice(0, 8);
    const { what, drill, title, key, bpm, target, pattern, result, ms, step, plan } = entry;
    const seconds = Number((ms / 1000).toFixed(1));
    printDocument(
      csvLine([
        dayOf(entry.at),
        time,
        what,
        drill,
        title,
        key,
        bpm,
        target,
        pattern,
        result,
        seconds,
        step ?? null,
        plan ?? null,
        ...heardCells(entry),
      ]),
    );
  }
  if (aside > mostAside) say(`${path}: ${aside - mostAside} more unreadable lines were ignored`);
}
