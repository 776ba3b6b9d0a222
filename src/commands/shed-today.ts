import { jsonText } from '../base/json.js';
import { mandolin } from '../hand/instrument.js';
import type { DiaryEntry } from '../shed/diary.js';
import type { Drill } from '../shed/drill.js';
import { strainCaution } from '../shed/drill.js';
import { minutesOf, type SittingItem } from '../shed/sitting-item.js';
import { dayOf } from '../shed/summary.js';
import { sitting } from '../shed/today.js';
import { keyName } from '../theory/key.js';
import { usualClick } from '../time/click.js';
import { exit, print, printDocument, say } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { screenLack } from './screen.js';
import { planOf, settingsOf } from './settings.js';
import { diaryOf, markedCharts, pathMarks, practiceCharts, standFlags, whoFlag } from './shed-common.js';

/** What `shed today` and `shed plan` can be told. */
export interface TodayFlags {
  readonly minutes?: number;
  readonly set?: string;
  readonly who?: string;
  readonly json?: boolean;
  readonly unicode?: boolean;
  readonly out?: readonly string[] | string;
}

/** What to practise today, and for how long: on the stand, or as text where there is no terminal or JSON is asked for. */
export async function shedToday(flags: TodayFlags): Promise<number> {
  const items = plannedAt(flags, Date.now());
  if (flags.json) {
    printDocument(jsonText({ minutes: minutesOf(items), items: items.map(itemJson) }));
    return exit.done;
  }
  if (screenLack() !== null) {
    print(...sittingText(items));
    return exit.done;
  }
  const first = items.find((item) => item.kind === 'drill');
  if (first?.kind !== 'drill') {
    say('there is no chart to practise with');
    return exit.input;
  }
  const { openStand } = await import('./stand.js');
  const { standStart } = await import('./stand-start.js');
  return openStand({
    flags: standFlags(flags),
    who: whoFlag(flags.who),
    first: ({ settings }) => ({
      kind: 'sitting',
      items,
      start: { ...standStart(first.drill.chart, null, {}, settings), click: usualClick },
      at: Number(process.hrtime.bigint()) / 1e6,
    }),
  });
}

/** A sitting at a time, from somebody's diary. */
function plannedAt(flags: TodayFlags, now: number, entries?: readonly DiaryEntry[]): readonly SittingItem[] {
  const who = whoFlag(flags.who);
  const settings = settingsOf(who);
  const known = practiceCharts(flags.set);
  const diary = entries ?? diaryOf(who).entries;
  const charts = [...known, ...markedCharts(diary, known)];
  return sitting({
    entries: diary,
    marks: pathMarks(who),
    charts,
    minutes: flags.minutes ?? 20,
    now,
    instrument: charts[0] ? instrumentOf(charts[0].chart) : mandolin,
    plan: planOf(settings),
    target: settings.target,
  });
}

function tempoText({ chart, start }: Drill): string {
  const { bpm } = chart.tempo;
  const first = Math.round(bpm * start.share);
  return start.ladder || start.ramp
    ? `from ${first} toward ${Math.round(bpm * (start.ramp?.to ?? 1))}`
    : `at ${first}`;
}

/** A sitting as lines of text: what, for how long, from which tempo, and why. */
function sittingText(items: readonly SittingItem[]): string[] {
  const lines = items.flatMap((item, index) => {
    const place = String(index + 1).padStart(2);
    if (item.kind === 'rest') return [`${place}  rest ${item.seconds} s: ${item.says}`];
    const { drill, minutes, why } = item;
    return [
      `${place}  ${minutes} min  ${drill.title}, key ${keyName(drill.chart.key)}, ${tempoText(drill)}`,
      `      ${drill.says}`,
      `      why: ${why}`,
    ];
  });
  return [...lines, '', strainCaution];
}

function itemJson(item: SittingItem): object {
  if (item.kind === 'rest') return { kind: 'rest', seconds: item.seconds, says: item.says };
  const { drill, minutes, why } = item;
  return {
    kind: 'drill',
    drill: drill.kind,
    title: drill.title,
    key: keyName(drill.chart.key),
    from: Math.round(drill.chart.tempo.bpm * drill.start.share),
    target: drill.chart.tempo.bpm,
    minutes,
    why,
  };
}

/** A week of sittings for somebody, as text to be handed over. */
export function shedPlan(name: string, flags: TodayFlags): number {
  const who = whoFlag(name);
  const { entries } = diaryOf(who);
  const now = Date.now();
  print(`Practice for ${name}, the week from ${dayOf(now)}`);
  for (let day = 0; day < 7; day += 1) {
    const at = new Date(now);
    at.setDate(at.getDate() + day);
    print('');
    // The seventh day is for rest, and for playing what one likes.
    if (day === 6) {
      print(`${dayOf(at.getTime())}  no drills: play something for joy, or nothing`);
      continue;
    }
    const items = plannedAt({ ...flags, who: name }, at.getTime(), entries);
    print(`${dayOf(at.getTime())}  about ${Math.round(minutesOf(items))} minutes`);
    print(...sittingText(items).slice(0, -2));
  }
  print('');
  print(strainCaution);
  return exit.done;
}
