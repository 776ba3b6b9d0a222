import { numberText } from '../../theory/number.js';
import type { Chart, PlayedBar } from '../chart.js';
import { unroll } from '../unroll.js';

/** What songs are found and sorted by. */
export interface SongFacts extends Pick<Chart, 'title' | 'by' | 'key' | 'tempo' | 'meter'> {
  readonly tags: readonly string[];
  /**
   * The numbers of its sections as they are played, each once: with one space between them, and a number that goes on once only. `1 4 1 5^7 1`.
   */
  readonly runs: readonly string[];
}

/** The most characters that all runs have together; beyond that a song only repeats itself. */
const mostCharacters = 20_000;

/** What a chart is found by. */
export function songFacts(chart: Chart): SongFacts {
  const { title, by, key, tempo, meter, tags = [] } = chart;
  return { title, by, key, tempo, meter, tags, runs: runsOf(unroll(chart, { final: true }).bars) };
}

/** The numbers of each time through a section, each way of playing it once. Chords of a bar without one are passed over. */
function runsOf(bars: readonly PlayedBar[]): readonly string[] {
  const runs = new Set<string>();
  let left = mostCharacters;
  for (const part of partsOf(bars)) {
    const run = runOf(part).slice(0, left);
    if (run === '' || runs.has(run)) continue;
    runs.add(run);
    left -= run.length;
  }
  return [...runs];
}

function* partsOf(bars: readonly PlayedBar[]): Generator<readonly PlayedBar[]> {
  let first = 0;
  for (let at = 1; at <= bars.length; at += 1) {
    const [one, next] = [bars[at - 1], bars[at]];
    if (next && one?.entry === next.entry && one.round === next.round && one.section === next.section)
      continue;
    yield bars.slice(first, at);
    first = at;
  }
}

function runOf(bars: readonly PlayedBar[]): string {
  const numbers: string[] = [];
  for (const { cells } of bars)
    for (const { number } of cells) {
      if (number === null) continue;
      const text = numberText(number);
      if (numbers.at(-1) !== text) numbers.push(text);
    }
  return numbers.join(' ');
}
