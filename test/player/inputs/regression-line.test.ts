import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RegressionLine } from '../../../src/player/inputs/regression-line.js';

interface Pulse {
  readonly label: number;
  readonly time: number;
  readonly inlier: boolean;
}

/** The line by its definition: least squares over the inliers, and the prior as a term of its own. */
function byDefinition(pulses: readonly Pulse[], prior: { period: number; weight: number }) {
  const inliers = pulses.filter(({ inlier }) => inlier);
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, value) => sum + value, 0) / values.length;
  const label = mean(inliers.map((one) => one.label));
  const time = mean(inliers.map((one) => one.time));
  let top = prior.weight * prior.period;
  let under = prior.weight;
  for (const one of inliers) {
    top += (one.label - label) * (one.time - time);
    under += (one.label - label) ** 2;
  }
  return { label, time, period: top / under };
}

const pulsesOf = (jitters: readonly { ms: number; inlier: boolean }[]): Pulse[] =>
  jitters.map(({ ms, inlier }, index) => ({
    label: index,
    time: 5000 + 20 * index + ms,
    // The first two are inliers, so that there is a line.
    inlier: inlier || index < 2,
  }));

describe('RegressionLine', () => {
  const jitter = fc.record({ ms: fc.double({ min: -8, max: 8, noNaN: true }), inlier: fc.boolean() });
  const prior = fc.record({
    period: fc.double({ min: 5, max: 100, noNaN: true }),
    weight: fc.double({ min: 0.01, max: 100, noNaN: true }),
  });

  it('is the line of least squares through the inliers, with its prior', () => {
    fc.assert(
      fc.property(fc.array(jitter, { minLength: 3, maxLength: 60 }), prior, (jitters, { period, weight }) => {
        const pulses = pulsesOf(jitters);
        const line = new RegressionLine();
        line.clear(period, weight);
        for (const { label, time, inlier } of pulses) line.push(label, time, inlier);
        const wanted = byDefinition(pulses, { period, weight });
        expect(line.period).toBeCloseTo(wanted.period, 8);
        expect(line.timeOf(wanted.label)).toBeCloseTo(wanted.time, 6);
        expect(line.labelAt(line.timeOf(7.25))).toBeCloseTo(7.25, 8);
      }),
    );
  });

  it('holds the latest 480 pulses, and its running sums lose nothing over many', () => {
    const line = new RegressionLine();
    line.clear(20, 0.001);
    const pulses = pulsesOf(
      Array.from({ length: 20_000 }, (_, index) => ({ ms: ((index * 37) % 11) - 5, inlier: true })),
    );
    for (const { label, time } of pulses) line.push(label, time, true);
    expect(line.held).toBe(480);
    const wanted = byDefinition(pulses.slice(-480), { period: 20, weight: 0.001 });
    expect(line.period).toBeCloseTo(wanted.period, 9);
    expect(line.timeOf(wanted.label)).toBeCloseTo(wanted.time, 6);
  });

  it('takes a pulse out and in again', () => {
    const pulses = pulsesOf(Array.from({ length: 30 }, (_, index) => ({ ms: index % 3, inlier: true })));
    const line = new RegressionLine();
    line.clear(20, 0.001);
    for (const { label, time } of pulses) line.push(label, time, true);
    const { period } = line;
    line.setInlier(0, false);
    line.fit();
    expect(line.count).toBe(29);
    expect(line.period).toBeCloseTo(
      byDefinition(pulses.slice(0, -1), { period: 20, weight: 0.001 }).period,
      8,
    );
    line.setInlier(0, true);
    line.fit();
    expect(line.period).toBeCloseTo(period, 10);
  });

  it('is less certain the farther it is carried on', () => {
    const line = new RegressionLine();
    line.clear(20, 0.001);
    for (const { label, time } of pulsesOf(Array(24).fill({ ms: 0, inlier: true })))
      line.push(label, time, true);
    expect(line.leverage(line.meanLabel)).toBeCloseTo(1 / 24, 10);
    // 1/n + (label − mean)² / Σ(label − mean)²; for 24 labels in a row the sum is 24 (24² − 1) / 12.
    expect(line.leverage(line.meanLabel + 100)).toBeCloseTo(1 / 24 + 100 ** 2 / 1150, 3);
  });
});
