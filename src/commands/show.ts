import { jsonText } from '../base/json.js';
import { type Chart, meterText, type PlayedBar } from '../chart/chart.js';
import { textInKey } from '../chart/text-in-key.js';
import { writtenCues } from '../chart/tune/tune-cues.js';
import { chartInKey } from '../chart/tune/tune-in-key.js';
import { unroll } from '../chart/unroll.js';
import { writeChart } from '../chart/write.js';
import type { Capo } from '../theory/capo.js';
import { chordName } from '../theory/chord.js';
import { type Key, keyName } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { exit, print, printDocument, printFileText, Stop, say } from './exit.js';
import { fitLines, type ShowFlags, shownCapo, shownKey } from './show-options.js';
import { showText } from './show-text.js';

/**
 * Prints a chart in a key: as text for people, as its file (`source`) or as a tidy one, or as one JSON document of the unrolled
 * pass.
 */
export function show(chart: Chart, source: string, flags: ShowFlags): number {
  const key = shownKey(chart, flags);
  if (flags.fits !== undefined || flags.range !== undefined) {
    for (const line of fitLines(chart, flags)) print(line);
    return exit.done;
  }
  if (flags.as === 'chart') return printChart(chart, key, source);
  if (flags.as === 'tidy-chart') {
    printDocument(writeChart(chartInKey(chart, key)));
    return exit.done;
  }
  // As text a section is shown once, with the words of all its verses.
  const { bars } = unroll(chart, { key, final: true, allVerses: !flags.json });
  const capo = shownCapo(key, flags.capo);
  if (flags.json) printDocument(jsonText(showJson(chart, key, bars, capo), 2));
  else print(...showText(chart, key, bars, capo));
  return exit.done;
}

/** The file as written, with only what another key changes. */
function printChart(chart: Chart, key: Key, source: string): number {
  const text = textInKey(source, chart, key);
  if (!text.ok)
    throw new Stop(
      exit.input,
      `the chart cannot be changed to ${keyName(key)} in place: ${text.fault.message}`,
      'barkline show FILE --as tidy-chart rewrites it',
    );
  const shown = printFileText(text.value);
  if (shown > 0)
    say(
      `barkline: ${shown} ${shown === 1 ? 'character' : 'characters'} that could control a terminal ${shown === 1 ? 'is' : 'are'} printed as a symbol`,
      'copy the file itself, or print it with --as tidy-chart, which escapes them',
    );
  return exit.done;
}

/**
 * The document of `show --json`. Bars count from 1; chords are ASCII; a bar's `nc` has `null` for both. A bar has `key`, `meter` and
 * `tempo` where they are other than the head's.
 */
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
    ...(chart.tags ? { tags: chart.tags } : {}),
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
      ...(keyName(bar.key) === keyName(key) ? {} : { key: keyName(bar.key) }),
      ...(meterText(bar.meter) === meterText(chart.meter) ? {} : { meter: meterText(bar.meter) }),
      ...(bar.tempo.bpm === chart.tempo.bpm ? {} : { tempo: bar.tempo.bpm }),
      ...(bar.level === null ? {} : { level: bar.level }),
      ...(bar.words ? { words: bar.words } : {}),
      ...(writtenCues(bar).length === 0 ? {} : { cues: writtenCues(bar) }),
      ...(bar.tuneCue === undefined ? {} : { tuneCue: bar.tuneCue }),
      ...(bar.marks ? { marks: bar.marks } : {}),
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
