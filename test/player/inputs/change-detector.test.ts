import { describe, expect, it } from 'vitest';
import { ChangeDetector, type Finding } from '../../../src/player/inputs/change-detector.js';
import { RegressionLine } from '../../../src/player/inputs/regression-line.js';

const variance = 1;
const period = 20;

/** Jitter of variance 1 that has no chance in it: evenly spread over ±√3. */
const jitter = (index: number): number => Math.sqrt(3) * ((((index * 17) % 31) - 15) / 15.5);

/** What a detector finds after each of the later pulses, the first 200 of which come evenly, up to the first finding. */
function firstFinding(later: readonly number[]): {
  finding: Finding;
  after: number;
  detector: ChangeDetector;
} {
  const line = new RegressionLine();
  const detector = new ChangeDetector(line);
  line.clear(period, 0);
  for (let label = 0; label < 200; label += 1) line.push(label, period * label + jitter(label), true);
  for (const [index, time] of later.entries()) {
    const label = 200 + index;
    const arrival = time + jitter(label);
    line.push(label, arrival, Math.abs(arrival - line.timeOf(label)) < 3.5);
    const finding = detector.test(variance, false);
    if (finding !== 'nothing') return { finding, after: index + 1, detector };
  }
  return { finding: 'nothing', after: later.length, detector };
}

const times = (count: number, at: (index: number) => number): number[] =>
  Array.from({ length: count }, (_, index) => period * 200 + at(index));

describe('ChangeDetector', () => {
  it('finds nothing in jitter', () => {
    expect(firstFinding(times(200, (index) => period * index)).finding).toBe('nothing');
  });

  it.each([
    ['one pulse that was lost', 1],
    ['three that were lost', 3],
    ['one that came twice', -1],
  ])('finds a slip: %s', (_, by) => {
    const { finding, after, detector } = firstFinding(times(60, (index) => period * (index + by)));
    expect(finding).toBe('slip');
    expect(detector.slip.by).toBe(by);
    expect(after).toBeLessThanOrEqual(24);
    expect(detector.slip.count).toBe(after);
  });

  it.each([[10], [18], [22], [40]])('finds a change to %d ms a pulse', (later) => {
    const { finding, after, detector } = firstFinding(times(60, (index) => later * index));
    expect(finding).toBe('tempo-change');
    expect(after).toBeLessThanOrEqual(24);
    expect(Math.abs(detector.tempoChange.period / later - 1)).toBeLessThan(0.05);
  });

  it('finds nothing in a few pulses that are held up', () => {
    const late = times(60, (index) => period * Math.max(index, 4));
    expect(firstFinding(late).finding).toBe('nothing');
  });

  it('leaves the line as it was', () => {
    const line = new RegressionLine();
    line.clear(period, 0);
    for (let label = 0; label < 240; label += 1) {
      const time = period * label + jitter(label) + (label > 220 ? period : 0);
      line.push(label, time, label <= 220);
    }
    const before = [line.period, line.timeOf(240), line.count, line.held];
    new ChangeDetector(line).test(variance, true);
    const after = [line.period, line.timeOf(240), line.count, line.held];
    for (const [index, value] of after.entries()) expect(value).toBeCloseTo(before[index] as number, 8);
  });
});
