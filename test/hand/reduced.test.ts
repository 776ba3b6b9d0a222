import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { candidatesFor } from '../../src/hand/candidates.js';
import { fretsText, soundingNotes } from '../../src/hand/fingering.js';
import { instruments, mandolin } from '../../src/hand/instrument.js';
import { planHand, usualPlan } from '../../src/hand/plan.js';
import { type PlayerHand, smallHand, usualHand } from '../../src/hand/player-hand.js';
import { rankedShapes } from '../../src/hand/shapes.js';
import { heartOf } from '../../src/hand/tones.js';
import { pitchClass } from '../../src/theory/pitch.js';
import { qualities } from '../../src/theory/quality.js';
import { chord } from '../theory/reading.js';
import { changes } from './charts.js';

const scaled = (by: number): PlayerHand => ({
  ...usualHand,
  spans: Object.fromEntries(
    Object.entries(usualHand.spans).map(([pair, mm]) => [pair, mm * by]),
  ) as unknown as PlayerHand['spans'],
});
const plan = (numbers: string, tonic: string, hand: PlayerHand) =>
  planHand(changes(numbers, tonic), mandolin, { hand }).changes.map(
    ({ fingering }) => `${fretsText(fingering?.frets ?? [])} ${fingering?.remark}`,
  );

describe('a hand that cannot reach the whole shape', () => {
  it('takes a whole form that stands in where it reaches one', () => {
    expect(plan('1 4 5', 'G', smallHand)[0]).toBe('7-5-5-7 ');
  });

  it('keeps what it can of the chord, root first, where it reaches none', () => {
    const [g] = plan('1 4 5', 'G', { ...scaled(0.25), without: [3, 4] });
    expect(g).toMatch(/ reduced to (one course|two courses|three courses): root/);
  });

  it('says nothing of reduced shapes to a hand that reaches', () => {
    for (const tonic of ['G', 'A', 'C', 'E', 'Bb'])
      for (const text of plan('1 4 5 6- 2- 2^7', tonic, usualHand)) expect(text).not.toContain('reduced');
  });

  it('takes no reduced shape for a chord that it only does not know low on the neck', () => {
    const shapes = usualPlan.shapes.filter(({ name }) => name === 'three-finger');
    const found = candidatesFor({ root: 'G', quality: 'major', bass: null }, mandolin, {
      ...usualPlan,
      shapes,
    });
    expect(found.map(({ fingering }) => fretsText(fingering.frets))).toContain('12-9-10-x');
    expect(found.filter(({ reduced }) => reduced)).toEqual([]);
  });

  it('is never left without an answer, which keeps what says most of the chord', () => {
    const cases = fc.record({
      root: fc.constantFrom('C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'),
      quality: fc.constantFrom(...qualities.map(({ id }) => id)),
      by: fc.constantFrom(0.4, 0.5, 0.6, 0.8),
      without: fc.constantFrom<PlayerHand['without']>([], [4], [3, 4], [1], [2, 3, 4]),
      instrument: fc.constantFrom(...instruments),
    });
    fc.assert(
      fc.property(cases, ({ root, quality, by, without, instrument }) => {
        const hand = { ...scaled(by), without };
        const found = candidatesFor({ root, quality, bass: null }, instrument, { ...usualPlan, hand });
        expect(found.length).toBeGreaterThan(0);
        for (const { fingering, reduced } of found) {
          for (const finger of fingering.fingers) if (finger !== null) expect(without).not.toContain(finger);
          if (!reduced) continue;
          expect(fingering.remark).toMatch(/^reduced to (one course|two courses|three courses): /);
          const steps = soundingNotes(instrument, fingering.frets).flatMap((note) =>
            note === null ? [] : [(note - pitchClass(root) + 120) % 12],
          );
          const heart = heartOf(quality).every((step) => steps.includes(step % 12));
          expect(heart || steps.includes(0)).toBe(true);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('is shown reduced shapes beside those that it reaches, each once', () => {
    const tiny: PlayerHand = { ...scaled(0.4), without: [4] };
    for (const name of ['G', 'D7', 'B']) {
      const ranked = rankedShapes(chord(name), mandolin, { hand: tiny });
      const frets = ranked.map(({ fingering }) => fretsText(fingering.frets));
      expect(new Set(frets).size).toBe(frets.length);
      expect(ranked.some(({ fingering }) => fingering.remark.startsWith('reduced to'))).toBe(true);
    }
    const usual = rankedShapes(chord('G'), mandolin);
    expect(usual.filter(({ fingering }) => fingering.remark.startsWith('reduced'))).toEqual([]);
  });
});
