import { keyName } from '../theory/key.js';
import type { SittingItem } from './sitting-item.js';
import { dayOf } from './summary.js';
import type { Task } from './task.js';
import type { PlannedDay } from './week-plan.js';

/** A value that YAML and the program read as the text it is: in quotes where it has signs that mean something. */
function quotedValue(text: string): string {
  return /^[\p{L}\p{N}/][\p{L}\p{N} ,;./_+^'()-]*$/u.test(text) && !/\s$/.test(text)
    ? text
    : `"${text.replace(/[\\"]/g, '\\$&').replace(/\p{Cc}/gu, ' ')}"`;
}

/** A week as the text of a plan's file, which a teacher can change; it reads back as the same sittings. */
export function planText(title: string, who: string, days: readonly PlannedDay[]): string {
  return [
    '# A week of practice. Change what you like; barkline check FILE tells you what is wrong,',
    `# barkline shed today --plan FILE --who "${who}" runs the day.`,
    `plan: ${quotedValue(title)}`,
    `for: ${quotedValue(who)}`,
    'days:',
    ...days.flatMap(({ at, kind, items }) => [
      `  - day: ${dayOf(at)}`,
      `    kind: ${kind}`,
      ...(items.length === 0 ? [] : ['    do:', ...items.flatMap(itemLines)]),
    ]),
    '',
  ].join('\n');
}

function itemLines(item: SittingItem): readonly string[] {
  if (item.kind === 'rest') return [`      - rest: ${item.seconds}`];
  const { task, drill, minutes, why } = item;
  if (!task) return [];
  const { bpm } = drill.chart.tempo;
  const from = Math.min(bpm, Math.max(20, Math.round(bpm * drill.start.share)));
  const [first = '', ...more] = taskLines(task);
  const lines = [
    ...more,
    // What is named by ear is in another key each time, and has the tempo of its level.
    ...(drill.dictation ? [] : [`key: ${keyName(drill.chart.key)}`]),
    `minutes: ${minutes}`,
    ...(drill.kind === 'lift' || drill.dictation
      ? []
      : [`tempo: ${from === bpm ? bpm : `${from} to ${bpm}`}`]),
    `why: ${quotedValue(why)}`,
  ];
  return [`      - ${first}`, ...lines.map((line) => `        ${line}`)];
}

function taskLines(task: Task): readonly string[] {
  const drill = 'way' in task && task.way !== null ? [`drill: ${task.way}`] : [];
  switch (task.kind) {
    case 'step':
      return [`step: ${task.step}`, ...drill];
    case 'song':
      return [`song: ${task.song}`, ...drill];
    case 'chords':
      return [`chords: ${task.chords}`];
    case 'ear':
      return [`ear: ${task.asks}`, ...(task.tune === null ? [] : [`tune: ${task.tune ? 'yes' : 'no'}`])];
    case 'chart':
      return [
        `chart: ${quotedValue(task.file)}`,
        ...drill,
        ...(task.chords === null ? [] : [`numbers: ${task.chords}`]),
        ...(task.bar === null ? [] : [`bar: ${task.bar}`]),
      ];
  }
}
