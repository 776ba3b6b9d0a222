import type { Place } from './chart.js';

/** Bars without a file, with key, tempo and meter as a chart has them. */
export interface BareBars {
  readonly bars: string;
  readonly key: string;
  /** The usual tempo when absent. */
  readonly tempo?: string;
  readonly meter?: string;
}

/** The text of a chart, and where a place in that text is in the bars that were typed. */
export interface BarsChart {
  readonly text: string;
  readonly placeIn: (place: Place) => Place;
}

/** Columns by which bars are indented in a chart. */
const indent = 4;
/** The longest title that is made of bars, characters. */
const mostTitle = 40;
/** What divides lines of bars: a slash between spaces, or the end of a line. */
const between = /\s+\/(?=\s|$)|[\r\n]+/;

/** A chart of bars alone: one section, in the chart's own notation; ` / ` divides its lines. */
export function barsChart({ bars, key, tempo, meter }: BareBars): BarsChart {
  const lines = linesOf(bars);
  const head = [
    `title: ${JSON.stringify(titleOf(lines))}`,
    `key: ${key}`,
    ...(tempo === undefined ? [] : [`tempo: ${tempo}`]),
    ...(meter === undefined ? [] : [`meter: ${meter}`]),
    'form: bars',
    'sections:',
    '  bars: |',
  ];
  const text = [...head, ...lines.map((line) => ' '.repeat(indent) + line.text), ''].join('\n');
  const placeIn = ({ line, column }: Place): Place => {
    const found = lines[line - 1 - head.length];
    return found ? placeAt(bars, found.at + Math.max(0, column - 1 - indent)) : { line: 1, column: 1 };
  };
  return { text, placeIn };
}

/** A line of bars, and the index of its first character. */
interface BarLine {
  readonly text: string;
  readonly at: number;
}

function linesOf(bars: string): readonly BarLine[] {
  const lines: BarLine[] = [];
  let left = bars;
  let at = 0;
  for (;;) {
    const stroke = between.exec(left);
    const whole = stroke ? left.slice(0, stroke.index) : left;
    const text = whole.trim();
    if (text !== '') lines.push({ text, at: at + [...whole.slice(0, whole.indexOf(text))].length });
    if (!stroke) return lines;
    const gone = stroke.index + stroke[0].length;
    at += [...left.slice(0, gone)].length;
    left = left.slice(gone);
  }
}

function titleOf(lines: readonly BarLine[]): string {
  const all = [...lines.map(({ text }) => text).join(' / ')];
  return all.length <= mostTitle ? all.join('') : `${all.slice(0, mostTitle - 1).join('')}…`;
}

/** The line and column of a character of a text. */
function placeAt(text: string, at: number): Place {
  const before = [...text]
    .slice(0, at)
    .join('')
    .split(/\r\n|\r|\n/);
  return { line: before.length, column: [...(before.at(-1) ?? '')].length + 1 };
}
