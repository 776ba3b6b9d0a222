import { safeText } from '../base/safe-text.js';
import { type Chart, meterText, type PlayedBar } from '../chart/chart.js';
import { tempoLabel, withMarks } from '../chart/label.js';
import { unroll } from '../chart/unroll.js';
import { chordName } from '../theory/chord.js';
import { type Key, keyName } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { print } from './exit.js';

/** Prints a chart in a key: for people as text, with `json` as one document of the unrolled pass. */
export function show(chart: Chart, key: Key, options: { json?: boolean }): number {
  const { bars } = unroll(chart, { key, final: true });
  print(options.json ? JSON.stringify(showJson(chart, key, bars), null, 2) : showText(chart, key, bars));
  return 0;
}

/** The document of `show --json`. Bars count from 1; chords are ASCII; a bar's `nc` has `null` for both. */
export function showJson(chart: Chart, key: Key, bars: readonly PlayedBar[]): unknown {
  return {
    title: chart.title,
    key: keyName(key),
    meter: meterText(chart.meter),
    tempo: chart.tempo.bpm,
    tempoCounts: chart.tempo.count,
    bars: bars.map((bar, index) => ({
      bar: index + 1,
      section: bar.section,
      chords: bar.cells.map((cell) => ({
        number: cell.number && numberText(cell.number),
        chord: cell.chord && chordName(cell.chord),
        beats: Math.round(cell.beats * 1e6) / 1e6,
        early: cell.early,
        ending: cell.ending,
      })),
    })),
  };
}

/** The chart as text: head, form, then each section once, four bars a line, numbers over chords. */
export function showText(chart: Chart, key: Key, bars: readonly PlayedBar[]): string {
  const form = chart.form.map(
    (entry) =>
      entry.section + (entry.times > 1 ? ` x${entry.times}` : '') + (entry.who ? ` (${entry.who})` : ''),
  );
  const lines = [
    safeText(chart.title) + (chart.by ? `, ${safeText(chart.by)}` : ''),
    `key ${keyName(key)}   ${tempoLabel(chart.tempo)}   ${meterText(chart.meter)}   ${bars.length} bars`,
    `form: ${safeText(form.join(', '))}`,
  ];
  const shown = new Set<string>();
  for (const entry of chart.form) {
    if (shown.has(entry.section)) continue;
    shown.add(entry.section);
    const first = bars.findIndex((bar) => bar.section === entry.section);
    const own = bars.filter((bar) => bar.entry === bars[first]?.entry && bar.round === 0);
    lines.push('', entry.section, ...sectionLines(own));
  }
  return lines.join('\n');
}

const barWidth = 14;

function sectionLines(bars: readonly PlayedBar[]): string[] {
  const lines: string[] = [];
  for (let start = 0; start < bars.length; start += 4) {
    const row = bars.slice(start, start + 4);
    if (row.some((bar) => bar.cues.length > 0))
      lines.push(rowText(row, (bar) => bar.cues.map((cue) => `"${safeText(cue)}"`).join(' ')));
    lines.push(rowText(row, (bar) => barText(bar, (cell) => (cell.number ? numberText(cell.number) : 'nc'))));
    lines.push(rowText(row, (bar) => barText(bar, (cell) => (cell.chord ? chordName(cell.chord) : ''))));
  }
  return lines;
}

function rowText(row: readonly PlayedBar[], text: (bar: PlayedBar) => string): string {
  return `  ${row.map((bar) => text(bar).padEnd(barWidth)).join('')}`.trimEnd();
}

function barText(bar: PlayedBar, text: (cell: PlayedBar['cells'][number]) => string): string {
  const cells = bar.cells.map((cell) => withMarks(text(cell), cell));
  return cells.length > 1 ? `(${cells.join(' ')})` : (cells[0] ?? '');
}
