import type { Chart, PlayedBar } from '../../chart/chart.js';
import { unroll } from '../../chart/unroll.js';
import { type Key, keyName, transposeKey } from '../../theory/key.js';
import { pitchClass } from '../../theory/pitch.js';
import type { Drill } from '../drill.js';
import { changeTo, inLines, madeChart, meterBefore, writtenBars } from '../make-chart.js';
import { shuffled } from '../seeded.js';
import { madeDrill, perLine } from './made.js';

/** The keys that a progression goes through. */
export type KeyOrder = 'fourths' | 'halfsteps' | 'shuffled' | 'singers';

/** Keys in an order, the chart's own first where the order has a beginning. */
export function keysInOrder(
  base: Pick<Chart, 'key' | 'singers'>,
  order: KeyOrder,
  random: () => number,
): readonly Key[] {
  if (order === 'singers') return uniqueKeys([base.key, ...base.singers.map(({ key }) => key)]);
  if (order === 'shuffled') return shuffled(twelve(base.key, 1), random);
  return twelve(base.key, order === 'fourths' ? 5 : 1);
}

function twelve(key: Key, step: number): Key[] {
  return Array.from({ length: 12 }, (_, index) => transposeKey(key, index * step));
}

function uniqueKeys(keys: readonly Key[]): Key[] {
  return keys.filter((key, index) => keys.findIndex((one) => keyName(one) === keyName(key)) === index);
}

/** The same bars through keys, once in each. */
export function keysDrill(
  base: Chart,
  order: KeyOrder,
  random: () => number,
  numbersOnly = false,
): Drill | null {
  const keys = keysInOrder(base, order, random);
  if (keys.length < 2) return null;
  const pass = unroll(base).bars;
  // A written section once is enough: the whole form twelve times would last half an hour.
  const bars = pass.filter(({ entry, round }) => entry === pass[firstLong(pass)]?.entry && round === 0);
  const first = keys[0] as Key;
  let before = first;
  const sections = keys.map((key) => {
    const halfSteps = nearestWay(pitchClass(key.tonic) - pitchClass(before.tonic));
    before = key;
    const change = halfSteps === 0 ? [] : [changeTo({ kind: 'key', halfSteps })];
    return {
      name: sectionName(key),
      lines: inLines(
        [...change, ...writtenBars(bars, base.key, meterBefore(bars, base.meter), false)],
        perLine,
      ),
    };
  });
  const title = `${base.title} through ${keys.length} keys`;
  const chart = madeChart(
    base,
    title,
    sections,
    sections.map(({ name }) => ({ section: name })),
    { key: first },
  );
  return madeDrill(order, base, title, chart, { numbersOnly, ladder: false });
}

/** The first bar of the first part that is longer than a kick-off. */
function firstLong(bars: readonly PlayedBar[]): number {
  const count = (entry: number): number =>
    bars.filter((bar) => bar.entry === entry && bar.round === 0).length;
  const found = bars.findIndex((bar) => count(bar.entry) >= 8);
  return Math.max(0, found);
}

/** −6 … 6 half steps: the short way. */
function nearestWay(halfSteps: number): number {
  const up = ((halfSteps % 12) + 12) % 12;
  return up > 6 ? up - 12 : up;
}

/** `B flat`: a section's name has no signs. */
function sectionName(key: Key): string {
  const sign = { b: ' flat', '#': ' sharp' }[key.tonic.slice(1)] ?? '';
  return `${key.tonic[0]}${sign}${key.mode === 'minor' ? ' minor' : ''}`;
}
