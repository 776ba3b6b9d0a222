import { didYouMean } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import type { Meter } from '../chart/chart.js';
import { feltBeats } from '../chart/chart.js';
import type { Faults } from '../chart/fault.js';
import { YamlFields } from '../chart/yaml-fields.js';
import type { Entry, Value } from '../chart/yaml-source.js';
import type { Pattern, Stroke, StrokeCourses, StrokeEnding } from './pattern.js';

const names = ['name', 'meter', 'change', 'strokes'];
const endings: readonly string[] = ['chop', 'choke', 'ring'];
const courses: Readonly<Record<string, StrokeCourses>> = {
  low: 'lowest',
  all: 'all',
  'lower-two': 'lower-two',
  'upper-two': 'upper-two',
};
const directions: readonly string[] = ['down', 'up'];
const words = [...endings, ...Object.keys(courses), ...directions];
/** Places are snapped to these parts of a beat, so that 2.33 is a third. */
const parts = [1, 2, 3, 4, 6, 8];

/**
 * Reads a right-hand pattern: `name:`, `meter: 4/4`, `strokes:` as a list of `1 low`, `2 chop`, `2.5 up upper-two choke
 * 60`: the beat from 1, then in any order direction, courses, ending and loudness 1–127. A stroke says of itself only what is not
 * down, all courses, chopped, 96. In another meter the basic pattern is played. `change`: how a chord is struck that
 * comes where no stroke is (`chop`, `choke`, `ring`, `none`).
 */
export function readPattern(entries: readonly Entry[], faults: Faults): Pattern {
  new YamlFields(entries, faults).warnUnknown('a pattern', names, `known are ${names.join(', ')}`);
  const text = (name: string): { text: string; value: Value } | null => {
    const value = entries.find((entry) => entry.name === name)?.value;
    return value?.kind === 'text' ? { text: value.text.trim(), value } : null;
  };
  const meter = readMeter(text('meter'), faults);
  const meterName = `${meter.beats}/${meter.unit}`;
  const strokes = readStrokes(
    entries.find((entry) => entry.name === 'strokes'),
    meter,
    faults,
  );
  return {
    name: text('name')?.text ?? 'own',
    says: 'your own',
    meters: { [meterName]: strokes },
    other: 'basic',
    change: readChange(text('change'), faults),
  };
}

function readMeter(found: { text: string; value: Value } | null, faults: Faults): Meter {
  const match = /^(\d{1,2})\/(2|4|8)$/.exec(found?.text === 'cut' ? '2/2' : (found?.text ?? '4/4'));
  if (match && Number(match[1]) >= 1)
    return { beats: Number(match[1]), unit: Number(match[2]) as Meter['unit'] };
  if (found)
    faults.error(
      found.value.place,
      `${quoted(found.text)} is not a meter; write “meter: 4/4”, 3/4, 6/8 or cut`,
    );
  return { beats: 4, unit: 4 };
}

function readChange(found: { text: string; value: Value } | null, faults: Faults): StrokeEnding | null {
  if (!found) return 'chop';
  if (found.text === 'none') return null;
  if (endings.includes(found.text)) return found.text as StrokeEnding;
  const known = [...endings, 'none'];
  faults.error(
    found.value.place,
    `${quoted(found.text)} is not a way to strike a change${didYouMean(found.text, known)}; write one of ${known.join(', ')}`,
  );
  return 'chop';
}

function readStrokes(entry: Entry | undefined, meter: Meter, faults: Faults): Stroke[] {
  if (!entry) return [];
  if (entry.value.kind !== 'list') {
    faults.error(entry.value.place, 'strokes are a list: “  - 1 low”, below it “  - 2 chop”');
    return [];
  }
  const strokes = entry.value.values.flatMap((value) => {
    if (value.kind !== 'text') {
      faults.error(value.place, 'a stroke is a line like “2 chop” or “2.5 up upper-two choke 60”');
      return [];
    }
    return readStroke(value.text.trim(), value, meter, faults);
  });
  const sorted = [...strokes].sort((one, other) => one.at - other.at);
  if (sorted.some((stroke, index) => index > 0 && stroke.at === sorted[index - 1]?.at))
    faults.error(entry.value.place, 'two strokes are at the same place');
  return sorted;
}

function readStroke(text: string, value: Value, meter: Meter, faults: Faults): Stroke[] {
  const [place = '', ...rest] = text.split(/\s+/);
  const at = snapped(Number(place) - 1);
  const count = feltBeats(meter);
  if (!/^\d+(\.\d+)?$/.test(place) || at < 0 || at >= count) {
    faults.error(
      value.place,
      `a stroke begins with its beat, from 1 to less than ${count + 1}; ${quoted(place)} is not one`,
    );
    return [];
  }
  let stroke: Stroke = { at, direction: 'down', courses: 'all', ending: 'chop', loudness: 96 };
  let ended = false;
  for (const word of rest) {
    if (directions.includes(word)) stroke = { ...stroke, direction: word as Stroke['direction'] };
    else if (Object.hasOwn(courses, word)) stroke = { ...stroke, courses: courses[word] as StrokeCourses };
    else if (endings.includes(word)) {
      stroke = { ...stroke, ending: word as StrokeEnding };
      ended = true;
    } else if (/^\d+$/.test(word) && Number(word) >= 1 && Number(word) <= 127)
      stroke = { ...stroke, loudness: Number(word) };
    else
      faults.error(
        value.place,
        `${quoted(word)} does not describe a stroke${didYouMean(word, words)}; words are ${words.join(', ')}, or a loudness from 1 to 127`,
      );
  }
  // A low note is choked by the next stroke unless it says otherwise.
  if (!ended && stroke.courses === 'lowest') stroke = { ...stroke, ending: 'choke' };
  return [stroke];
}

function snapped(at: number): number {
  const beat = Math.floor(at);
  for (const part of parts) {
    const near = Math.round((at - beat) * part) / part;
    if (Math.abs(at - beat - near) < 0.011) return beat + near;
  }
  return at;
}
