import { safeText } from '../base/safe-text.js';
import { textOverColumns } from '../base/text-columns.js';
import { type Chart, meterText, type PlayedBar } from '../chart/chart.js';
import { tempoLabel, timeMarksAt, wayMarks, withMarks } from '../chart/label.js';
import { samePart } from '../chart/part.js';
import { playedDots } from '../chart/played-cells.js';
import { keysPlayed } from '../chart/unroll.js';
import { formEntryText } from '../chart/write.js';
import { type Capo, capoElsewhere } from '../theory/capo.js';
import { chordName, toChord } from '../theory/chord.js';
import { fifthStringText } from '../theory/fifth-string.js';
import { type Key, keyName, transposeKey } from '../theory/key.js';
import { numberText } from '../theory/number.js';

/**
 * The chart as lines of text: head, form, then each section, four bars a line, numbers over chords. A section is printed once,
 * and again for the times it is played in other keys, meters or tempos.
 */
export function showText(
  chart: Chart,
  key: Key,
  bars: readonly PlayedBar[],
  capo: Capo | null = null,
): readonly string[] {
  const form = chart.form.map((entry) => formEntryText(entry, key));
  const lines = [
    safeText(chart.title) + (chart.by ? `, ${safeText(chart.by)}` : ''),
    `key ${keyName(key)}   ${tempoLabel(chart.tempo)}   ${meterText(chart.meter)}   ${bars.length} bars`,
    `form: ${safeText(form.join(', '))}`,
    ...(chart.pickup > 0
      ? [`pickup: ${chart.pickup} ${chart.pickup === 1 ? 'beat' : 'beats'}, during the count-in`]
      : []),
    ...(capo ? [capoLine(capo), ...capoElsewhereLines(bars, key, capo)] : []),
  ];
  for (const { title, bars: own } of sectionsPlayed(bars))
    lines.push('', safeText(title), ...sectionLines(own, stateOf(chart, key), capo));
  return lines;
}

/** The values of a bar that are printed above it. */
type State = Pick<PlayedBar, 'key' | 'meter' | 'tempo' | 'feel'>;

function stateOf({ meter, tempo, feel }: Chart, key: Key): State {
  return { key, meter, tempo, feel };
}

/** Sections in the order in which they are first played, each as often as it is played differently, with which times these are. */
function sectionsPlayed(
  bars: readonly PlayedBar[],
): readonly { title: string; bars: readonly PlayedBar[] }[] {
  const sections = new Map<string, Map<string, { bars: readonly PlayedBar[]; times: number[] }>>();
  const count = new Map<string, number>();
  for (const own of timesThrough(bars)) {
    const name = own[0]?.section ?? '';
    const time = (count.get(name) ?? 0) + 1;
    count.set(name, time);
    const ways = sections.get(name) ?? new Map<string, { bars: readonly PlayedBar[]; times: number[] }>();
    sections.set(name, ways);
    const way = own.map(stateText).join(' ');
    const known = ways.get(way);
    if (known) known.times.push(time);
    else ways.set(way, { bars: own, times: [time] });
  }
  return [...sections].flatMap(([name, ways]) =>
    [...ways.values()].map(({ bars: own, times }) => ({
      title: ways.size === 1 ? name : `${name} (${timesText(times)})`,
      bars: own,
    })),
  );
}

/** A pass cut where the form goes on: one time through a section each. */
function timesThrough(bars: readonly PlayedBar[]): readonly (readonly PlayedBar[])[] {
  const times: PlayedBar[][] = [];
  bars.forEach((bar, index) => {
    const before = bars[index - 1];
    // What a form word plays again was printed where it was first played.
    if (bar.again !== undefined) return;
    if (!before || !samePart(before, bar)) times.push([]);
    times.at(-1)?.push(bar);
  });
  return times;
}

function stateText({ key, meter, tempo, feel }: State): string {
  return `${keyName(key)},${meterText(meter)},${tempo.bpm},${feel.swing}`;
}

/** The most times that are named one by one. */
const mostTimes = 4;

/** `1st time`, `2nd and 4th time`, `1st, 3rd, 5th, 7th time and so on`. */
function timesText(times: readonly number[]): string {
  const names = times.slice(0, mostTimes).map(ordinal);
  if (times.length > mostTimes) return `${names.join(', ')} time and so on`;
  const last = names.pop();
  return `${names.length === 0 ? last : `${names.join(', ')} and ${last}`} time`;
}

function ordinal(number: number): string {
  const teen = Math.floor((number % 100) / 10) === 1;
  return number + ((teen ? null : { 1: 'st', 2: 'nd', 3: 'rd' }[number % 10]) ?? 'th');
}

const barWidth = 14;
const lineEnd = 78;

function sectionLines(bars: readonly PlayedBar[], home: State, capo: Capo | null): string[] {
  const lines: string[] = [];
  const told = new Set<string>();
  // Where a phrase is repeated its words were told.
  const wordsOnce = ({ words = [], source }: PlayedBar): readonly string[] => {
    const phrase = `${source.section}/${source.line}`;
    const known = told.has(phrase);
    if (words.length > 0) told.add(phrase);
    return known ? [] : words;
  };
  for (let start = 0; start < bars.length; start += 4) {
    const row = bars.slice(start, start + 4);
    const rows = rowTexts(row, capo);
    const each = rows.flat().reduce((most, text) => Math.max(most, text.length + 1), barWidth);
    const words = row.map((bar) => wordsOnce(bar).map(safeText));
    const over = row.map((bar, place): readonly string[] => {
      const [cue, ...more] = bar.cues.map((one) => `"${safeText(one)}"`);
      const changes = changesText(bar, bars[start + place - 1] ?? home);
      const first = [...wayMarks(bar), ...changes, ...(cue === undefined ? [] : [cue])].join(' ');
      return [first, ...more, timeMarksAt(bars, start + place).join(' ')].filter((one) => one !== '');
    });
    for (const texts of [words, over])
      lines.push(...textOverColumns(texts, { left: 2, each, right: lineEnd }));
    lines.push(...rows.map((texts) => `  ${texts.map((text) => text.padEnd(each)).join('')}`.trimEnd()));
  }
  return lines;
}

/** What changes at a bar against the one before it in its section; at the first, against the head. */
function changesText(bar: PlayedBar, before: State): string[] {
  return [
    ...(meterText(bar.meter) === meterText(before.meter) ? [] : [meterText(bar.meter)]),
    ...(keyName(bar.key) === keyName(before.key) ? [] : [`key ${keyName(bar.key)}`]),
    ...(bar.tempo.bpm === before.tempo.bpm ? [] : [tempoLabel(bar.tempo)]),
    ...(bar.feel.swing === before.feel.swing ? [] : [`swing ${bar.feel.swing}`]),
  ];
}

/** What a capo comes to in the other keys of the song, a line each. */
function capoElsewhereLines(bars: readonly PlayedBar[], key: Key, { fret }: Capo): string[] {
  return keysPlayed(bars).flatMap((other) =>
    keyName(other) === keyName(key) ? [] : [`  key ${keyName(other)}: ${capoElsewhere(other, fret)}`],
  );
}

function capoLine({ fret, shapes, fifthString }: Capo): string {
  return `${fret === 0 ? 'no capo' : `capo ${fret}`}: shapes of ${keyName(shapes)} (third line); banjo: ${fifthStringText(fifthString)}`;
}

/** The lines of a row, each a text for each bar: numbers, chords, and after a capo the shapes that the hands play. */
function rowTexts(row: readonly PlayedBar[], capo: Capo | null): readonly (readonly string[])[] {
  const numbers = row.map((bar) =>
    barText(bar, (cell) => (cell.number ? numberText(cell.number) : 'nc'), playedDots(bar)),
  );
  const chords = row.map((bar) => barText(bar, (cell) => (cell.chord ? chordName(cell.chord) : '')));
  if (!capo) return [numbers, chords];
  const shapes = row.map((bar) =>
    barText(bar, ({ number }) =>
      number ? chordName(toChord(number, transposeKey(bar.key, -capo.fret))) : '',
    ),
  );
  return [numbers, chords, shapes];
}

function barText(
  bar: PlayedBar,
  text: (cell: PlayedBar['cells'][number]) => string,
  dots: readonly number[] | null = null,
): string {
  const cells = bar.cells.map((cell, index) => withMarks(text(cell), cell) + '.'.repeat(dots?.[index] ?? 0));
  return cells.length > 1 || dots ? `(${cells.join(' ')})` : (cells[0] ?? '');
}
