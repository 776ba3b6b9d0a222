import { withArticle } from '../base/article.js';
import { didYouMean } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import { tempoLimits } from '../chart/change.js';
import type { Place } from '../chart/chart.js';
import { Faults, type Reading } from '../chart/fault.js';
import { YamlFields } from '../chart/yaml-fields.js';
import { type Entry, parseYaml, type Value } from '../chart/yaml-source.js';
import { keyName, parseKey } from '../theory/key.js';
import { type DayKind, dayKinds } from './day-kind.js';
import { type DictationKind, dictationKinds } from './dictation/figures.js';
import { pathSongs } from './path-songs.js';
import { pathSteps, stepNamed } from './path-steps.js';
import { chartWays, type TaskWish } from './task.js';
import { twoNumbers } from './way-drill.js';

/** Something to do in a plan, where it is in its file, or a rest of some seconds. */
export type PlanEntry =
  | (TaskWish & { readonly kind: 'task'; readonly place: Place })
  | { readonly kind: 'rest'; readonly seconds: number; readonly place: Place };

/** A day of a plan. */
export interface PlanDay {
  /** `2026-11-30`; `null` for any day. */
  readonly date: string | null;
  readonly kind: DayKind | null;
  readonly entries: readonly PlanEntry[];
}

/** Sittings laid out as text: of a day, or of a week. */
export interface PracticePlan {
  readonly title: string;
  readonly who: string | null;
  readonly notes: string | null;
  readonly days: readonly PlanDay[];
}

const planNames = ['plan', 'for', 'notes', 'days', 'do'];
const dayNames = ['day', 'kind', 'do'];
const whatNames = ['step', 'song', 'chart', 'chords', 'ear', 'rest'];
const doNames = [...whatNames, 'tune', 'drill', 'numbers', 'bar', 'key', 'minutes', 'tempo', 'why'];
/** The longest an item lasts, minutes, and a rest, seconds. */
const mostMinutes = 60;
const mostRest = 900;
/** The most days of a plan and things of a day. */
const mostDays = 366;
const mostThings = 200;

/** Whether a file's text is a plan: it says so on a line of its own. */
export function isPlanText(bytes: Uint8Array): boolean {
  return /^plan:/m.test(new TextDecoder('latin1').decode(bytes.subarray(0, 4096)));
}

/** Reads a plan's file. Never throws, whatever the bytes are. */
export function readPlan(bytes: Uint8Array): Reading<PracticePlan> {
  const faults = new Faults();
  const source = parseYaml(bytes, faults);
  if (!source) return faults.refused();
  const fields = new YamlFields(source.entries, faults, true);
  fields.warnUnknown('a plan', planNames);
  const title = fields.text('plan') ?? '';
  if (title === '') fields.fault('plan', 'the plan has no title; write “plan: Ansa, first week”');
  const days = daysOf(fields, source.entries, faults);
  return faults.with({ title, who: fields.text('for'), notes: fields.text('notes'), days });
}

function daysOf(fields: YamlFields, entries: readonly Entry[], faults: Faults): readonly PlanDay[] {
  const days = fields.value('days');
  if (!days) return [dayOfEntries(entries, faults)];
  if (fields.value('do')) fields.fault('do', 'a plan has days, or is one day with “do:”, not both');
  if (days.kind !== 'list' || days.values.length === 0 || days.values.length > mostDays) {
    faults.error(
      days.place,
      `days are a list of at most ${mostDays}: “- day: 2026-11-30” and below it “do:”`,
    );
    return [];
  }
  const dates = new Set<string>();
  return days.values.flatMap((value): PlanDay[] => {
    if (value.kind === 'map') {
      const day = new YamlFields(value.entries, faults, true);
      day.warnUnknown('a day of a plan', dayNames);
      const made = dayOfEntries(value.entries, faults);
      if (made.date !== null && dates.has(made.date))
        day.fault('day', `${made.date} is there twice; only the first would be played`);
      if (made.date !== null) dates.add(made.date);
      return [made];
    }
    faults.error(value.place, 'a day of a plan has lines of its own: “day: 2026-11-30”, “do:”');
    return [];
  });
}

function dayOfEntries(entries: readonly Entry[], faults: Faults): PlanDay {
  const fields = new YamlFields(entries, faults, true);
  const date = fields.text('day');
  if (date !== null && !isDate(date))
    fields.fault('day', `day ${quoted(date)} is not a date; write it as 2026-11-30`);
  const kind = fields.text('kind');
  const known = Object.keys(dayKinds) as DayKind[];
  const found = known.find((one) => one === kind) ?? null;
  if (kind !== null && !found)
    fields.fault(
      'kind',
      `${quoted(kind)} is not a kind of day${didYouMean(kind, known)}; there are ${known.join(', ')}`,
    );
  const list = fields.value('do');
  if (list?.kind === 'list' && list.values.length > 0) {
    if (list.values.length > mostThings)
      faults.error(list.place, `a day has at most ${mostThings} things; make two days of it`);
    const values = list.values.slice(0, mostThings);
    return { date, kind: found, entries: values.flatMap((value) => entryOf(value, faults)) };
  }
  if (found !== 'rest' && (kind === null || found))
    faults.error(
      list?.place ?? entries[0]?.place ?? { line: 1, column: 1 },
      'there is nothing to do; write “do:” and below it “  - step: one-shape”, or “kind: rest”',
    );
  return { date, kind: found, entries: [] };
}

function isDate(text: string): boolean {
  const time = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(text) : Number.NaN;
  // The 31st of a month of thirty days would be read as the first of the next.
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text);
}

function entryOf(value: Value, faults: Faults): readonly PlanEntry[] {
  if (value.kind !== 'map') {
    faults.error(value.place, 'a thing to do has a name and a value: “- step: one-shape”, “- rest: 45”');
    return [];
  }
  const fields = new YamlFields(value.entries, faults, true);
  fields.warnUnknown('a thing to do', doNames);
  const whats = whatNames.filter((name) => fields.value(name));
  const [what] = whats;
  if (what === undefined || whats.length > 1) {
    const found =
      whats.length > 1 ? `it is ${whats.join(' and ')} at the same time` : 'it does not say what to do';
    faults.error(value.place, `${found}; write one of ${whatNames.join(', ')}`);
    return [];
  }
  const minutes = minutesOf(fields);
  if (what === 'rest')
    return [{ kind: 'rest', seconds: fields.whole('rest', 1, mostRest) ?? 45, place: value.place }];
  const key = fields.parsed('key', parseKey);
  const task = taskOf(what, fields);
  if (!task) return [];
  if ('way' in task && task.way === 'lift' && fields.text('tempo') !== null)
    fields.fault('tempo', 'lift and land has tempos of its own; leave “tempo” out');
  return [
    {
      kind: 'task',
      task,
      key: key && keyName(key),
      tempo: tempoOf(fields),
      minutes,
      why: fields.text('why') ?? 'as it was laid out',
      place: value.place,
    },
  ];
}

function taskOf(what: string, fields: YamlFields): TaskWish['task'] | null {
  const text = fields.text(what) ?? '';
  const drill = fields.text('drill');
  const way = chartWays.find((one) => one === drill) ?? null;
  if (drill !== null && !way)
    fields.fault(
      'drill',
      `${quoted(drill)} is not a drill of a plan${didYouMean(drill, chartWays)}; there are ${chartWays.join(', ')}`,
    );
  if (what !== 'ear' && fields.text('tune') !== null)
    fields.fault('tune', 'only drills by ear have a tune; leave “tune” out');
  const stepWay = way === 'pair' || way === 'phrase' || way === 'chain' ? null : way;
  if (way !== stepWay && (what === 'step' || what === 'song'))
    fields.fault(
      'drill',
      `${way} is made from a chart; a ${what} has ${chartWays.filter((one) => !['pair', 'phrase', 'chain'].includes(one)).join(', ')}`,
    );
  switch (what) {
    case 'step': {
      const ids = pathSteps.map(({ id }) => id);
      if (!ids.includes(text)) fields.fault('step', unknownName(text, 'step of the path', ids));
      else if (stepWay !== null && stepNamed(text)?.chart === null)
        fields.fault('drill', `${text} is a different song each time, so it has no drills`);
      return { kind: 'step', step: text, way: stepWay };
    }
    case 'song': {
      const ids = pathSongs.map(({ id }) => id);
      if (!ids.includes(text)) fields.fault('song', unknownName(text, 'song of the path', ids));
      return { kind: 'song', song: text, way: stepWay };
    }
    case 'chords':
      if (!twoNumbers(text))
        fields.fault('chords', `chords ${quoted(text)} are not two numbers; write “chords: 1 4”`);
      return { kind: 'chords', chords: text };
    case 'ear': {
      const asks = dictationKinds.find((one) => one === text);
      if (!asks) fields.fault('ear', unknownName(text, 'kind of ear drill', dictationKinds));
      if (drill !== null) fields.fault('drill', 'ear drills have no other drills; leave “drill” out');
      return { kind: 'ear', asks: asks ?? 'changes', tune: tuneOf(asks ?? 'changes', fields) };
    }
    default: {
      const chords = pairOf(way, fields);
      return { kind: 'chart', file: text, way, chords, bar: fields.whole('bar', 1, 10_000) };
    }
  }
}

/** Whether a tune is played over changes that are named by ear; `null` where the plan does not say so. */
function tuneOf(asks: DictationKind, fields: YamlFields): boolean | null {
  const text = fields.text('tune');
  if (text === null) return null;
  if (asks !== 'changes')
    fields.fault('tune', `only changes by ear have a tune; leave “tune” out of ${asks}`);
  else if (text !== 'yes' && text !== 'no')
    fields.fault('tune', `tune ${quoted(text)} is neither yes nor no`);
  return asks === 'changes' && (text === 'yes' || text === 'no') ? text === 'yes' : null;
}

/** The two numbers of a chart that a pair is made of. */
function pairOf(way: string | null, fields: YamlFields): string | null {
  const text = fields.text('numbers');
  if (way === 'pair' && (text === null || !twoNumbers(text)))
    fields.fault('drill', 'a pair has two numbers; write “numbers: 1 4” below it');
  return text;
}

function unknownName(text: string, noun: string, known: readonly string[]): string {
  return `${quoted(text)} is not ${withArticle(noun)}${didYouMean(text, known)}; there are ${known.join(', ')}`;
}

function minutesOf(fields: YamlFields): number {
  const text = fields.text('minutes');
  if (text === null) return 2;
  const minutes = Number(text);
  if (/^\d+(\.5)?$/.test(text) && minutes > 0 && minutes <= mostMinutes) return minutes;
  fields.fault('minutes', `minutes ${quoted(text)} is not a number from 0.5 to ${mostMinutes} in halves`);
  return 2;
}

function tempoOf(fields: YamlFields): TaskWish['tempo'] {
  const text = fields.text('tempo');
  if (text === null) return null;
  const [, from = '', to = from] = /^(\d{1,3})(?:\s*to\s*(\d{1,3}))?$/.exec(text) ?? [];
  const tempo = { from: Number(from), to: Number(to) };
  const { least, most } = tempoLimits;
  if (from !== '' && tempo.from <= tempo.to && tempo.from >= least && tempo.to <= most) return tempo;
  fields.fault(
    'tempo',
    `tempo ${quoted(text)} is not a tempo from ${least} to ${most}; write “tempo: 60 to 80”, or “tempo: 80”`,
  );
  return null;
}
