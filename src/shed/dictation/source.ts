import type { Chart, FormEntry, Section } from '../../chart/chart.js';
import { chartInKey } from '../../chart/tune/tune-in-key.js';
import { unroll } from '../../chart/unroll.js';
import { type Key, transposeKey } from '../../theory/key.js';
import { numberText, parseNumber } from '../../theory/number.js';
import { barOf } from '../make-chart.js';
import type { DictationKind } from './figures.js';
import { isInOneKey, notesUnder } from './fits.js';
import { questionsOf } from './questions.js';

/** A section of a chart, to be asked about. */
export interface ChartSource {
  readonly chart: Chart;
  readonly section: string;
}

/** Bars of a section that is asked about, at most; changes, at least. */
const mostBars = 16;
const fewestChanges = 2;
/** Bars of the cadence that gives the key. */
export const cadenceBars = 4;

/** The chords that give a key before anything is asked: 1 4 5 1, in minor 1- 4- 5 1- (common practice). */
export const cadence: Readonly<Record<Key['mode'], readonly string[]>> = {
  major: ['1', '4', '5', '1'],
  minor: ['1-', '4-', '5', '1-'],
};

/**
 * The sections of charts that can be asked about: short enough, in one key, with changes. Where the tune sounds by itself they have notes
 * under each of them; where the bass does, no bass that is another note than the root.
 */
export function chartSources(charts: readonly Chart[], asks: DictationKind): readonly ChartSource[] {
  return charts.flatMap((chart) =>
    chart.sections.flatMap(({ name: section }): ChartSource[] => {
      const asked = { chart, section };
      return canAsk(asked, asks) ? [asked] : [];
    }),
  );
}

/** Whether a section has a tune. */
export function hasTuneOf({ chart, section }: ChartSource): boolean {
  return chart.tune?.some((tune) => tune.section === section) ?? false;
}

function canAsk(source: ChartSource, asks: DictationKind): boolean {
  const byTune = asks === 'tune';
  if (byTune && !hasTuneOf(source)) return false;
  const chart = sourceChart(source, source.chart.key);
  if (!chart) return false;
  const { bars } = unroll(chart);
  const questions = questionsOf(bars, cadenceBars);
  if (bars.length > cadenceBars + mostBars || questions.length < fewestChanges) return false;
  if (!isInOneKey(bars, chart.key)) return false;
  if (asks === 'bass' && bars.some(({ cells }) => cells.some(({ number }) => number?.bass != null)))
    return false;
  return !byTune || notesUnder(chart, bars, questions).every((notes) => notes.length > 0);
}

/** A section of a chart after a cadence, in a key of the chart's mode; `null` where the chart has no such section. */
export function sourceChart({ chart, section }: ChartSource, key: Key): Chart | null {
  if (!chart.sections.some(({ name }) => name === section)) return null;
  const moved = chartInKey(chart, key);
  const name = freeName(chart.sections);
  const own: Section = {
    name,
    place: nowhere,
    lines: [{ items: cadence[chart.key.mode].map(barOfNumber), comment: null }],
    derived: null,
    letters: false,
  };
  return {
    ...moved,
    pickup: 0,
    sections: [own, ...moved.sections],
    form: [entry(name), entry(section)],
    formWritten: true,
  };
}

/** The numbers of a section, the tonic first, and 1, 4 and 5 among them: what its digits name. */
export function numbersOf(chart: Chart): readonly string[] {
  const [one, four, , ...rest] = cadence[chart.key.mode];
  const written = unroll(chart).bars.flatMap(({ cells }) =>
    cells.flatMap(({ number }) => (number ? [numberText({ ...number, bass: null })] : [])),
  );
  return [...new Set([one as string, four as string, '5', ...rest, ...written])];
}

/** Keys to ask in, of a mode: those in which songs of this kind are often played (common practice). */
export const askedKeys: Readonly<Record<Key['mode'], readonly Key[]>> = {
  major: ['G', 'A', 'D', 'C', 'B', 'E', 'Bb', 'F'].map((tonic) => ({ tonic, mode: 'major' })),
  minor: ['A', 'E', 'D', 'G', 'B', 'C'].map((tonic) => ({ tonic, mode: 'minor' })),
};

/** A chart's own key, and some half steps round it: a tune stays where it lies well. */
export function keysNear(key: Key): readonly Key[] {
  return [0, 2, -2, 1, -1, 3].map((halfSteps) => transposeKey(key, halfSteps));
}

const nowhere = { line: 1, column: 1 };

function barOfNumber(text: string) {
  const read = parseNumber(text);
  if (!read.ok) throw new RangeError(text);
  return barOf([{ chord: read.value, dots: null }]);
}

function entry(section: string): FormEntry {
  return { section, times: 1, who: null, pattern: null, place: nowhere };
}

function freeName(sections: readonly Section[]): string {
  const names = new Set(sections.map(({ name }) => name));
  let name = 'key';
  while (names.has(name)) name += '-';
  return name;
}
