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
  type Item,
  meterText,
  type RangeNote,
  type Section,
  type SectionLine,
  tempoText,
  type WrittenCell,
} from './chart.js';

/**
 * Writes a chart in its canonical form: head in a fixed order, what is at its default left out, one space
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
  value('notes', chart.notes);
  if (chart.formWritten) entry('form', formLine(chart.form));
  entry('sections', 'sections:');
  for (const section of chart.sections) {
    for (const remark of chart.remarks[`sections.${section.name}`] ?? [])
      lines.push(`  ${remarkLine(remark)}`);
    for (const line of sectionLines(section, chart.key)) lines.push(line);
  }
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

function rangeText({ degree, alter, octave }: RangeNote): string {
  return degreeText({ degree, alter }) + (octave < 0 ? ','.repeat(-octave) : "'".repeat(octave));
}

function formLine(form: readonly FormEntry[]): string {
  const text = form.map(formEntryText).join(', ');
  return /^[\p{L}\p{N} ,():_-]*$/u.test(text) ? `form: ${text}` : `form: ${jsonText(text)}`;
}

/** An entry of the form as it is written: `C x2`, `break (me: ring)`, `V (soft)`. */
export function formEntryText({ section, times, who, pattern, level, bass }: FormEntry): string {
  const lead = `${who ?? ''}${pattern === null ? '' : `: ${pattern}`}`;
  const options = [lead, level ?? '', bass ?? ''].filter((one) => one !== '');
  const bracket = options.length > 0 ? ` (${options.join(', ')})` : '';
  return section + (times > 1 ? ` x${times}` : '') + bracket;
}

function sectionLines(section: Section, key: Key): string[] {
  if (section.derived) return [`  ${section.name}: ${section.derived.map(excerptText).join(' + ')}`];
  const body = section.lines.map((line) => lineText(line, section.letters ? key : null));
  // A first line that is blank would leave the block's indentation to be guessed: it is said.
  const mark = body[0] === '' ? '|2' : '|';
  return [`  ${section.name}: ${mark}`, ...body.map((line) => (line === '' ? '' : `    ${line}`))];
}

function excerptText({ of, take }: Excerpt): string {
  if (take.kind === 'all') return `all of ${of}`;
  if (take.kind === 'bars') return `bars ${take.from}-${take.to} of ${of}`;
  return `${take.kind} ${take.bars} of ${of}`;
}

/** A written line as text. With a key its chords are written in letters. */
export function lineText(line: SectionLine, key: Key | null): string {
  const parts = line.items.map((item) => itemText(item, key));
  return [...parts, ...(line.comment === null ? [] : [`; ${line.comment}`.trimEnd()])].join(' ');
}

function itemText(item: Item, key: Key | null): string {
  switch (item.kind) {
    case 'bar':
      if (item.same) return '=';
      return item.grouped
        ? `(${item.cells.map((cell) => cellText(cell, key)).join(' ')})`
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
      return changeText(item.change);
    case 'cue':
      return `"${item.text}"`;
  }
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

function changeText(change: Change): string {
  switch (change.kind) {
    case 'meter':
      return `@${meterText(change.meter)}`;
    case 'key':
      return `@key${change.halfSteps > 0 ? '+' : ''}${change.halfSteps}`;
    case 'tempo':
      return `@tempo=${change.bpm}`;
    case 'swing':
      return `@swing=${change.swing}`;
    case 'slow':
      return `@rit=${change.percent}%`;
    case 'wait':
      return change.beats === null ? '@wait' : `@wait=${change.beats}`;
  }
}
