import { type Drill, strainCaution } from '../shed/drill.js';
import type { SittingItem } from '../shed/sitting-item.js';
import { type Key, keyName } from '../theory/key.js';
import { spokenKey, spokenWritten } from '../ui/typed/spoken.js';

function tempoText({ chart, start }: Drill): string {
  const { bpm } = chart.tempo;
  const first = Math.round(bpm * start.share);
  return (start.ladder || start.ramp) && first < bpm
    ? `from ${first} toward ${Math.round(bpm * (start.ramp?.to ?? 1))}`
    : `at ${first}`;
}

/** Whether each phrase of it is in another key. */
function isAnyKey({ dictation }: Drill): boolean {
  return dictation !== undefined && dictation.key === null;
}

/** How keys and numbers are told in a sitting's text: by their signs, or in words for whoever hears it. */
export type SittingSigns = 'signs' | 'words';

/** A sitting as lines of text: what, for how long, from which tempo, and why; what comes again is reported once. */
export function sittingText(items: readonly SittingItem[], signs: SittingSigns = 'signs'): string[] {
  const text = (said: string): string => (signs === 'words' ? spokenWritten(said) : said);
  const nameOf = (key: Key): string => (signs === 'words' ? spokenKey(key) : keyName(key));
  const told = new Map<string, number>();
  return items.flatMap((item, index) => {
    const place = String(index + 1).padStart(2);
    if (item.kind === 'rest') return [`${place}  rest ${item.seconds} s: ${item.says}`];
    const { drill, minutes, why } = item;
    const name = `${text(drill.title)}, ${isAnyKey(drill) ? 'in any key' : `key ${nameOf(drill.chart.key)}`}`;
    const before = told.get(name);
    told.set(name, before ?? index + 1);
    if (before !== undefined) return [`${place}  ${minutes} min  ${name}, the same as ${before}`];
    return [
      `${place}  ${minutes} min  ${name}, ${tempoText(drill)}`,
      `      ${text(drill.says)}`,
      `      why: ${text(why)}`,
    ];
  });
}

/** The same with the caution at its end. */
export function cautionedSitting(items: readonly SittingItem[], signs: SittingSigns): string[] {
  return [...sittingText(items, signs), '', strainCaution];
}

/** An item of a sitting for programs. */
export function itemJson(item: SittingItem): object {
  if (item.kind === 'rest') return { kind: 'rest', seconds: item.seconds, says: item.says };
  const { drill, minutes, why } = item;
  return {
    kind: 'drill',
    drill: drill.kind,
    ...(drill.step === undefined ? {} : { step: drill.step }),
    title: drill.title,
    key: isAnyKey(drill) ? null : keyName(drill.chart.key),
    from: Math.round(drill.chart.tempo.bpm * drill.start.share),
    target: drill.chart.tempo.bpm,
    minutes,
    why,
  };
}
