import { describe, expect, it } from 'vitest';
import type { Performance } from '../../src/playback/performance.js';
import { withPerformance } from '../../src/playback/session.js';
import { standLines } from '../../src/ui/draw/stand.js';
import { formStrip } from '../../src/ui/draw/strip.js';
import type { Action } from '../../src/ui/keys/actions.js';
import type { Model } from '../../src/ui/state/model.js';
import { update } from '../../src/ui/update/update.js';
import { having, onStand, running, standingText } from './model.js';

/*
 * What a beat costs must not grow with the chart. Here nothing is timed: what is read of the bars, the plan, the score and what was
 * found out about them is counted, by looking at a beat and drawing it, in charts that differ in nothing but their length.
 */

const line = '1 4 (1 5) 6-^7';
const head = (extra = '') => `title: Long\nkey: A\ntempo: 240\n${extra}sections:\n`;

/** Charts of so many bars, a multiple of 64: all bars written out, a short section repeated, many short sections. */
const shapes: Readonly<Record<string, (bars: number) => string>> = {
  'all written out': (bars) => `${head()}  V: |\n${`    ${line}\n`.repeat(bars / 4)}`,
  'a section repeated': (bars) =>
    `${head()}  V: |\n${`    ${line}\n`.repeat(4)}form: ${Array(bars / 16)
      .fill('V')
      .join(', ')}\n`,
  'many sections': (bars) =>
    `${head()}${Array.from({ length: bars / 16 }, (_, index) => `  S${index}: |\n${`    ${line}\n`.repeat(4)}`).join('')}`,
};

/** A list of which each reading is counted, with the lists within. */
function counted<Value extends object>(value: Value, count: { reads: number }, known = new WeakMap()): Value {
  const before = known.get(value);
  if (before) return before;
  const seen = new Proxy(value, {
    get(target, name) {
      count.reads += 1;
      const found = Reflect.get(target, name, target);
      return Array.isArray(found) ? counted(found, count, known) : found;
    },
  });
  known.set(value, seen);
  return seen;
}

/** What is read to look at one beat and draw it, the music standing at that share of the pass; all else was read before. */
function readsOfBeat(source: string, share: number, actions: readonly Action[] = []): number {
  const shown = having(
    standingText(source, { columns: 140, rows: 45 }),
    ...actions.map((action) => ({ kind: 'action', action, at: 0 }) as const),
  ).model;
  const bars = onStand(shown)?.arrangement?.bars.length ?? 0;
  const count = { reads: 0 };
  const { arrangement } = shown.session.performance as Performance;
  if (!arrangement) throw new Error('the hand is not planned');
  const watched = {
    ...arrangement,
    bars: counted(arrangement.bars, count),
    changeAt: counted(arrangement.changeAt, count),
    hardness: counted(arrangement.hardness, count),
    plan: { ...arrangement.plan, changes: counted(arrangement.plan.changes, count) },
    score: { ...arrangement.score, bars: counted(arrangement.score.bars, count) },
  };
  const bar = Math.floor(bars * share);
  const cursor = { ...(shown.session.performance as Performance).cursor, bar };
  const placed: Model = {
    ...shown,
    session: withPerformance(shown.session, { arrangement: watched, cursor }),
  };
  let model = running(placed).model;
  const beat = (at: number): number => {
    count.reads = 0;
    model = update(model, { kind: 'clock', at }).model;
    standLines(model);
    return count.reads;
  };
  // The count-in, and the first bar: what is found out about a chart once is known then.
  for (let at = 0; at < 8000; at += 1000) beat(at);
  return Math.max(...[8000, 9000, 10_000, 11_000, 12_000].map(beat));
}

describe('what a beat reads', () => {
  for (const [name, chartOf] of Object.entries(shapes))
    for (const share of [0, 0.5, 0.99])
      it(`does not grow with the chart: ${name}, at ${share * 100} % of it`, () => {
        const [short, long] = [64, 512].map((bars) => readsOfBeat(chartOf(bars), share)) as [number, number];
        expect(short).toBeGreaterThan(10);
        expect(long / short).toBeLessThan(1.5);
      });
});

describe('formStrip', () => {
  it('reads no more of a form of very many parts than of one that fills the line, once it is known', () => {
    const reads = [64, 4096].map((many) => {
      const parts = Array.from({ length: many }, (_, index) => ({
        section: `S${index}`,
        who: null,
        level: null,
        from: index * 16,
        to: index * 16 + 16,
      }));
      const count = { reads: 0 };
      const watched = counted(parts, count);
      const strip = (bar: number) =>
        formStrip({ parts: watched, bar, range: { from: 0, to: many * 16 }, unicode: true }, 128);
      strip(0);
      count.reads = 0;
      strip(17);
      return count.reads;
    });
    expect(Math.max(...reads)).toBeLessThan(128);
  });
});
