import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import { type Chart, meterText, type PlayedBar } from '../chart/chart.js';
import { tempoLabel, timeMarks, withMarks } from '../chart/label.js';
import { unroll } from '../chart/unroll.js';
import { formEntryText, writeChart } from '../chart/write.js';
import type { Capo } from '../theory/capo.js';
import { chordName, toChord } from '../theory/chord.js';
import { fifthStringText } from '../theory/fifth-string.js';
import { type Key, keyName, transposeKey } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { exit, print, printDocument } from './exit.js';
import { fitLines, type ShowFlags, shownCapo, shownKey } from './show-options.js';

/** Prints a chart in a key: as text for people, as a chart file, or as one JSON document of the unrolled pass. */
export function show(chart: Chart, flags: ShowFlags): number {
  const key = shownKey(chart, flags);
  if (flags.fits !== undefined || flags.range !== undefined) {
    for (const line of fitLines(chart, flags)) print(line);
    return exit.done;
  }
  if (flags.as === 'chart') {
    printDocument(writeChart({ ...chart, key }));
    return exit.done;
  }
  const { bars } = unroll(chart, { key, final: true });
  const capo = shownCapo(key, flags.capo);
  if (flags.json) printDocument(jsonText(showJson(chart, key, bars, capo), 2));
  else print(...showText(chart, key, bars, capo));
  return exit.done;
}

/** The document of `show --json`. Bars count from 1; chords are ASCII; a bar's `nc` has `null` for both. */
export function showJson(
  chart: Chart,
  key: Key,
  bars: readonly PlayedBar[],
  capo: Capo | null = null,
): unknown {
  return {
    title: chart.title,
    key: keyName(key),
    meter: meterText(chart.meter),
    tempo: chart.tempo.bpm,
    tempoCounts: chart.tempo.count,
    pickup: chart.pickup,
    ...(capo
      ? {
          capo: {
            fret: capo.fret,
            shapes: keyName(capo.shapes),
            fifthString: capo.fifthString.fret,
            fifthStringTuned: capo.fifthString.tuned,
          },
        }
      : {}),
    bars: bars.map((bar, index) => ({
      bar: index + 1,
      section: bar.section,
      ...(bar.level === null ? {} : { level: bar.level }),
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

/** The chart as lines of text: head, form, then each section once, four bars a line, numbers over chords. */
export function showText(
  chart: Chart,
  key: Key,
  bars: readonly PlayedBar[],
  capo: Capo | null = null,
): readonly string[] {
  const form = chart.form.map(formEntryText);
  const lines = [
    safeText(chart.title) + (chart.by ? `, ${safeText(chart.by)}` : ''),
    `key ${keyName(key)}   ${tempoLabel(chart.tempo)}   ${meterText(chart.meter)}   ${bars.length} bars`,
    `form: ${safeText(form.join(', '))}`,
    ...(chart.pickup > 0
      ? [`pickup: ${chart.pickup} ${chart.pickup === 1 ? 'beat' : 'beats'}, within the count-in`]
      : []),
    ...(capo ? [capoLine(capo)] : []),
  ];
  const shown = new Set<string>();
  for (const entry of chart.form) {
    if (shown.has(entry.section)) continue;
    shown.add(entry.section);
    const first = bars.findIndex((bar) => bar.section === entry.section);
    const firstRound = bars.filter((bar) => bar.entry === bars[first]?.entry && bar.round === 0);
    lines.push('', safeText(entry.section), ...sectionLines(firstRound, capo));
  }
  return lines;
}

const barWidth = 14;

function sectionLines(bars: readonly PlayedBar[], capo: Capo | null): string[] {
  const lines: string[] = [];
  for (let start = 0; start < bars.length; start += 4) {
    const row = bars.slice(start, start + 4);
    const over = (bar: PlayedBar): string =>
      [
        ...changesText(bars, start + row.indexOf(bar)),
        ...timeMarks(bar),
        ...bar.cues.map((cue) => `"${safeText(cue)}"`),
      ].join(' ');
    if (row.some((bar) => over(bar) !== '')) lines.push(rowText(row, over));
    lines.push(rowText(row, (bar) => barText(bar, (cell) => (cell.number ? numberText(cell.number) : 'nc'))));
    lines.push(rowText(row, (bar) => barText(bar, (cell) => (cell.chord ? chordName(cell.chord) : ''))));
    // Behind a capo the same chords are other letters: the shapes that the hands play.
    if (capo)
      lines.push(
        rowText(row, (bar) =>
          barText(bar, (cell) =>
            cell.number ? chordName(toChord(cell.number, transposeKey(bar.key, -capo.fret))) : '',
          ),
        ),
      );
  }
  return lines;
}

/** What changes at a bar against the one before it in its section. */
function changesText(bars: readonly PlayedBar[], index: number): string[] {
  const bar = bars[index];
  const before = bars[index - 1];
  if (!bar || !before) return [];
  return [
    ...(meterText(bar.meter) === meterText(before.meter) ? [] : [meterText(bar.meter)]),
    ...(bar.key.tonic === before.key.tonic ? [] : [`key ${keyName(bar.key)}`]),
    ...(bar.tempo.bpm === before.tempo.bpm ? [] : [tempoLabel(bar.tempo)]),
    ...(bar.feel.swing === before.feel.swing ? [] : [`swing ${bar.feel.swing}`]),
  ];
}

function capoLine({ fret, shapes, fifthString }: Capo): string {
  return `${fret === 0 ? 'no capo' : `capo ${fret}`}: shapes of ${keyName(shapes)} (third line); banjo: ${fifthStringText(fifthString)}`;
}

function rowText(row: readonly PlayedBar[], text: (bar: PlayedBar) => string): string {
  return `  ${row.map((bar) => text(bar).padEnd(barWidth)).join('')}`.trimEnd();
}

function barText(bar: PlayedBar, text: (cell: PlayedBar['cells'][number]) => string): string {
  const cells = bar.cells.map((cell) => withMarks(text(cell), cell));
  return cells.length > 1 ? `(${cells.join(' ')})` : (cells[0] ?? '');
}
