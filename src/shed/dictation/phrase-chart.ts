import type { Chart } from '../../chart/chart.js';
import { type Key, keyName } from '../../theory/key.js';
import { chartOfText } from '../chart-of-text.js';
import type { DictationKind } from './figures.js';
import type { DictationLevel } from './levels.js';
import { type PhraseBars, phraseText } from './phrase.js';
import { cadence } from './source.js';

/** The section of a phrase's chart that is asked about. */
export const askedSection = 'phrase';

const titles = { changes: 'changes by ear', bass: 'the bass by ear', tune: 'a tune by ear' } as const;

/** The title of a phrase, which gives nothing away. */
export function titleOf(asks: DictationKind): string {
  return titles[asks];
}

/** A phrase after its cadence, as a chart. */
export function phraseChart(
  bars: PhraseBars,
  key: Key,
  { mode }: Pick<DictationLevel, 'mode'>,
  bpm: number,
): Chart {
  const rows = Array.from({ length: Math.ceil(bars.length / 4) }, (_, row) =>
    phraseText(bars.slice(4 * row, 4 * row + 4)),
  );
  const text = [
    `title: ${titleOf('changes')}`,
    `key: ${keyName(key)}`,
    `tempo: ${bpm}`,
    `form: key, ${askedSection}`,
    'sections:',
    `  key: ${cadence[mode].join(' ')}`,
    `  ${askedSection}: |`,
    ...rows.map((row) => `    ${row}`),
    '',
  ].join('\n');
  const chart = chartOfText(text);
  if (!chart) throw new RangeError(`no chart of ${phraseText(bars)}`);
  return chart;
}
