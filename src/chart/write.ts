import { stringify } from 'yaml';
import { jsonText } from '../base/json.js';
import { isSafe } from '../base/safe-text.js';
import { chordName, toChord } from '../theory/chord.js';
import { type Key, keyName } from '../theory/key.js';
import { degreeText, numberText } from '../theory/number.js';
import {
  type Change,
  type Chart,
  type EndingTimes,
  type Excerpt,
  type FormEntry,
  type FormWay,
  type Item,
  meterText,
  type RangeNote,
  type Section,
  type SectionLine,
  tempoText,
  type WrittenCell,
} from './chart.js';
import { keyAt } from './key-target.js';
import { tuneLines } from './tune/write-tune.js';

/**
 * Writes a chart in its tidy form: head in a fixed order, what is at its default left out, one space
 * between bars, comments kept. Reading it gives the same chart.
 */
export function writeChart(chart: Chart): string {
  const lines: string[] = [];
  const entry = (name: string, text: string): void => {
    for (const remark of chart.remarks[name] ?? []) lines.push(remarkLine(remark));
    lines.push(text);
  };
  const value = (name: string, text: string | null): void => {
    if (text !== null) entry(name, pairText(name, text));
  };
  const plain = (name: string, text: string, unless: string): void => {
    if (text !== unless) entry(name, `${name}: ${text}`);
  };
  value('title', chart.title);
  value('by', chart.by);
  plain('key', keyName(chart.key), '');
  plain('tempo', tempoText(chart.tempo), '');
  plain('meter', meterText(chart.meter), '');
  plain('feel', `swing=${chart.feel.swing}`, 'swing=50');
  value('pattern', chart.pattern);
  plain('bass', String(chart.bass), 'undefined');
  plain('pickup', String(chart.pickup), '0');
  value('instrument', chart.instrument);
  plain('midi', String(chart.midi), 'null');
  plain('crooked', chart.crooked ? 'yes' : 'no', 'no');
  if (chart.singers.length > 0)
    entry(
      'singers',
      ['singers:', ...chart.singers.map(({ name, key }) => `  ${pairText(name, keyName(key))}`)].join('\n'),
    );
  if (chart.range) entry('range', `range: ${rangeText(chart.range.low)} to ${rangeText(chart.range.high)}`);
  plain('cues', String(chart.cues), 'undefined');
  value('tags', chart.tags?.join(', ') ?? null);
  value('notes', chart.notes);
  if (chart.formWritten) entry('form', formLine(chart.form, chart.key));
  entry('sections', 'sections:');
  for (const section of chart.sections) {
    for (const remark of chart.remarks[`sections.${section.name}`] ?? [])
      lines.push(`  ${remarkLine(remark)}`);
    for (const line of sectionLines(section, chart.key)) lines.push(line);
  }
  const tune = tuneBlock(chart);
  if (tune.length > 0) entry('tune', tune.join('\n'));
  for (const remark of chart.remarks[''] ?? []) lines.push(remarkLine(remark));
  return `${lines.join('\n')}\n`;
}

function remarkLine(text: string): string {
  return text === '' ? '' : `#${text}`;
}

/** A name and its text as YAML has them. What could steer a terminal is escaped, which only double quotes allow. */
function pairText(name: string, text: string): string {
  if (isSafe(name) && text.split('\n').every(isSafe))
    return stringify({ [name]: text }, { lineWidth: 0 }).trimEnd();
  return `${isSafe(name) ? stringify(name, { lineWidth: 0 }).trimEnd() : jsonText(name)}: ${jsonText(text)}`;
}

/** A degree of the voice as it is written: `5,`, `b3'`. */
export function rangeText({ degree, alter, octave }: RangeNote): string {
  return degreeText({ degree, alter }) + (octave < 0 ? ','.repeat(-octave) : "'".repeat(octave));
}

function formLine(form: readonly FormEntry[], key: Key): string {
  const text = form.map((entry) => formEntryText(entry, key)).join(', ');
  return /^[\p{L}\p{N} ,():_-]*$/u.test(text) ? `form: ${text}` : `form: ${jsonText(text)}`;
}

/** A form word as it is written: `from sign to coda`. */
export function wayText({ from, to }: FormWay): string {
  return to === null ? `from ${from}` : `from ${from} to ${to}`;
}

/** An entry of the form as it is written while the song is in a key: `C x2`, `break (me: ring)`, `V (soft)`, `break (banjo, key D)`. */
export function formEntryText(entry: FormEntry, home: Key): string {
  const { section, times, who, pattern, level, bass, key, way } = entry;
  const lead = `${who ?? ''}${pattern === null ? '' : `: ${pattern}`}`;
  const options = [lead, key ? `key ${keyName(keyAt(key, home))}` : '', level ?? '', bass ?? ''].filter(
    (one) => one !== '',
  );
  const bracket = options.length > 0 ? ` (${options.join(', ')})` : '';
  return (way ? wayText(way) : section) + (times > 1 ? ` x${times}` : '') + bracket;
}

function sectionLines(section: Section, key: Key): string[] {
  if (section.derived) {
    const text = section.derived
      .map((excerpt) => excerptText(excerpt, section.letters ? key : null))
      .join(' + ');
    // What YAML would take for something of its own stands in a block.
    const isPlain = /^[\p{L}\p{N}][\p{L}\p{N} _()+~!.,^/='-]*$/u.test(text);
    return isPlain ? [`  ${section.name}: ${text}`] : [`  ${section.name}: |`, `    ${text}`];
  }
  let letters = section.letters ? key : null;
  const body = section.lines.map((line) => {
    const text = lineText(line, letters, key);
    if (letters) letters = lettersBehind(line, letters, key);
    return text;
  });
  return blockOf(section.name, body);
}

/** The tune, an entry for each section whose bars it has. */
function tuneBlock(chart: Chart): readonly string[] {
  const entries = (chart.tune ?? []).flatMap((tune): string[] => {
    const section = chart.sections.find(({ name }) => name === tune.section);
    const body = section && tuneLines(tune, section, chart);
    if (!body) return [];
    const remarks = (chart.remarks[`tune.${tune.section}`] ?? []).map((remark) => `  ${remarkLine(remark)}`);
    return [...remarks, ...blockOf(tune.section, body)];
  });
  return entries.length > 0 ? ['tune:', ...entries] : [];
}

/** A name with lines below it. A first line that is blank would leave the block's indentation to be guessed: it is said. */
function blockOf(name: string, body: readonly string[]): string[] {
  const mark = /^\s|^$/.test(body[0] ?? '') ? '|2' : '|';
  return [`  ${name}: ${mark}`, ...body.map((line) => (line === '' ? '' : `    ${line}`))];
}

function excerptText({ of, take }: Excerpt, key: Key | null): string {
  if (take.kind === 'own') return lineText({ items: take.items, comment: null }, key);
  if (take.kind === 'all') return `all of ${of}`;
  if (take.kind === 'bars') return `bars ${take.from}-${take.to} of ${of}`;
  return `${take.kind} ${take.bars} of ${of}`;
}

/**
 * A written line as text. With a key its chords are written in letters, which after a key that is named are read against that
 * one. Keys are those of a chart in `home`; as they were written where that is not given.
 */
export function lineText(line: SectionLine, key: Key | null, home: Key | null = null): string {
  if (line.words !== undefined) return `> ${line.words}`;
  let letters = key;
  const parts = line.items.map((item) => {
    if (letters && item.kind === 'change') letters = lettersKey(item.change, letters, home);
    return itemText(item, letters, home);
  });
  return [...parts, ...(line.comment === null ? [] : [`; ${line.comment}`.trimEnd()])].join(' ');
}

/** The key that letters are read against after a line. */
export function lettersBehind(line: SectionLine, key: Key, home: Key | null): Key {
  return line.items.reduce(
    (letters, item) => (item.kind === 'change' ? lettersKey(item.change, letters, home) : letters),
    key,
  );
}

function lettersKey(change: Change, before: Key, home: Key | null): Key {
  return change.kind === 'key-to' ? keyAt(change.to, home ?? change.to.home) : before;
}

function itemText(item: Item, key: Key | null, home: Key | null): string {
  switch (item.kind) {
    case 'bar':
      if (item.same) return '=';
      return item.grouped
        ? sharedText(item.cells, key)
        : item.cells.map((cell) => cellText(cell, key)).join('');
    case 'repeat-open':
      return '|:';
    case 'repeat-close':
      return item.times === null ? ':|' : `:| x${item.times}`;
    case 'ending-open':
      return `[${endingText(item.times)}`;
    case 'ending-close':
      return ']';
    case 'change':
      return changeText(item.change, home);
    case 'cue':
      return `"${item.text}"`;
    case 'way-mark':
      return `@${item.mark}`;
  }
}

/** Chords that share a bar as they are written: `(1... 5.)`. With a key they are written in letters. */
export function sharedText(cells: readonly WrittenCell[], key: Key | null): string {
  return `(${cells.map((cell) => cellText(cell, key)).join(' ')})`;
}

function cellText(cell: WrittenCell, key: Key | null): string {
  const name =
    cell.chord === null ? 'nc' : key === null ? numberText(cell.chord) : chordName(toChord(cell.chord, key));
  return (
    (cell.early ? "'" : '') +
    name +
    (cell.hold ? `_${cell.hold.beats ?? ''}` : { plain: '', ring: '~', stop: '!' }[cell.ending]) +
    '.'.repeat(cell.dots ?? 0)
  );
}

function endingText(times: EndingTimes): string {
  if (times === 'last') return 'last';
  const ordinals = ['th', 'st', 'nd', 'rd'];
  return times.map((time) => `${time}${ordinals[time] ?? 'th'}`).join(',');
}

function changeText(change: Change, home: Key | null): string {
  switch (change.kind) {
    case 'meter':
      return `@${meterText(change.meter)}`;
    case 'key':
      return `@key${change.halfSteps > 0 ? '+' : ''}${change.halfSteps}`;
    case 'tempo':
      return `@tempo=${change.bpm}`;
    case 'swing':
      return `@swing=${change.swing}`;
    case 'key-to':
      return `@key=${keyName(keyAt(change.to, home ?? change.to.home))}`;
    case 'slow':
      return `@rit=${change.percent}%`;
    case 'wait':
      return change.beats === null ? '@wait' : `@wait=${change.beats}`;
  }
}
