import { describe, expect, it } from 'vitest';
import { fittingTempo } from '../../src/hand/hard-changes.js';
import { mandolin } from '../../src/hand/instrument.js';
import { planHand } from '../../src/hand/plan.js';
import { changeId } from '../../src/shed/change-id.js';
import type { DiaryEntry } from '../../src/shed/diary.js';
import { fitSpeed, motionOf, observations } from '../../src/shed/fit.js';
import { seeded } from '../../src/shed/seeded.js';
import { changes } from '../hand/charts.js';

/** Pairs of shapes that a plan in some keys goes through. */
function ids(): string[] {
  const found = new Set<string>();
  for (const tonic of ['G', 'A', 'C', 'D']) {
    const plan = planHand(changes('1 4 1 5 6- 2- 5 b7', tonic), mandolin);
    plan.changes.forEach((one, index) => {
      const before = plan.changes[index - 1];
      if (before?.fingering && one.fingering) found.add(changeId(before.fingering, one.fingering));
    });
  }
  return [...found];
}

/** A player whose motions take `share` of the usual times: clean or not by chance around the limit. */
function simulated(share: number, count: number, seed: number): DiaryEntry[] {
  const random = seeded(seed);
  const all = ids();
  return Array.from({ length: count }, (_, index): DiaryEntry => {
    const id = all[Math.floor(random() * all.length)] as string;
    const way = motionOf(id, mandolin);
    if (!way) throw new Error(id);
    const limit = fittingTempo({ ms: way.ms * share });
    const bpm = Math.min(400, limit * Math.exp((random() - 0.5) * 1.2));
    const clean = random() < 1 / (1 + Math.exp(-8 * Math.log(limit / bpm)));
    return {
      at: index,
      what: 'drill',
      drill: 'pair',
      title: 't',
      file: null,
      changes: [[id, '1>4']],
      key: 'G',
      bpm,
      target: 400,
      pattern: null,
      result: clean ? 'clean' : 'miss',
      ms: 1,
    };
  });
}

describe('changeId', () => {
  it('is the same wherever on the neck, and can be read back as a motion', () => {
    const first = (tonic: string) => planHand(changes('1 4', tonic), mandolin).changes;
    const id = (tonic: string): string => {
      const [one, other] = first(tonic);
      if (!one?.fingering || !other?.fingering) throw new Error(tonic);
      return changeId(one.fingering, other.fingering);
    };
    // The G chop and the C below it (common practice).
    expect(id('G')).toBe('5-3-0-1/4-3-1-2>3-0-1-x/3-1-2-x');
    expect(id('B')).toBe(id('G'));
    const way = motionOf(id('G'), mandolin);
    expect(way?.moves).toHaveLength(3);
    expect(way?.lifts).toEqual([4]);
  });

  it.each([
    '',
    '1',
    'a>b',
    '1-2-3/1-2-3>1-2-3/1-2-3',
    '1-2-3-4/1-2-3-5>1-2-3-4/1-2-3-4',
    '999-1-1-1/1-1-1-1>1-1-1-1/1-1-1-1',
  ])('%j names no motion', (id) => {
    expect(motionOf(id, mandolin)).toBeNull();
  });
});

describe('fitSpeed', () => {
  it.each([0.6, 1, 1.6])('finds a player who takes %d of the usual times', (share) => {
    const fit = fitSpeed(observations(simulated(share, 600, 3), mandolin));
    expect(fit?.share).toBeGreaterThan(share / 1.12);
    expect(fit?.share).toBeLessThan(share * 1.12);
    expect(fit?.heldOut?.count).toBe(120);
  });

  it('predicts passes it has not seen better than the usual prices do, where the player is not usual', () => {
    const fit = fitSpeed(observations(simulated(1.6, 600, 5), mandolin));
    if (!fit?.heldOut) throw new Error('nothing was held out');
    expect(fit.heldOut.fit.loss).toBeLessThan(fit.heldOut.usual.loss);
    expect(fit.heldOut.fit.loss).toBeLessThan(fit.heldOut.rate.loss);
    expect(fit.heldOut.fit.right).toBeGreaterThan(0.6);
  });

  it('says nothing of little, and does not count what nobody marked', () => {
    const few = simulated(1, 19, 1);
    expect(fitSpeed(observations(few, mandolin))).toBeNull();
    const unmarked = simulated(1, 100, 1).map((entry): DiaryEntry => ({ ...entry, result: 'unmarked' }));
    expect(observations(unmarked, mandolin)).toEqual([]);
  });
});
