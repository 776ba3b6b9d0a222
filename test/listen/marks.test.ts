import { describe, expect, it } from 'vitest';
import { Marks } from '../../src/listen/marks.js';
import type { TimedStroke } from '../../src/listen/timed-stroke.js';
import { expecting, song } from './expecting.js';
import { perfectEar, simulatedPass } from './simulated-player.mjs';

const { expected } = expecting(song, { bpm: 160 });
const heard = (late: (index: number) => number): TimedStroke[] =>
  simulatedPass(expected, { player: { spread: 0 }, ear: perfectEar }).heard.map((one, index) => ({
    ...one,
    at: one.at + late(index),
  }));
const marksOf = (strokes: readonly TimedStroke[], offset: number | null = 0): string => {
  const marks = new Marks(expected, 'steady', offset);
  return strokes
    .map((stroke) => {
      const told = marks.push(stroke);
      return told
        ? told.mark.isHollow
          ? 'o'
          : told.mark.place === 'on'
            ? '|'
            : told.mark.place === 'early'
              ? '<'
              : '>'
        : ' ';
    })
    .join('');
};

describe('marks', () => {
  it('are on for a player who is on time, and for a steady lead', () => {
    expect(marksOf(heard(() => 0))).toBe('|'.repeat(120));
    expect(marksOf(heard(() => -25))).toBe('|'.repeat(120));
  });

  it('tell single strokes that are early or late', () => {
    expect(marksOf(heard((index) => (index === 20 ? -80 : index === 40 ? 80 : 0))).slice(18, 43)).toBe(
      '||<|||||||||||||||||||>||',
    );
  });

  it('are late for a player who is steadily late, where the offset is known', () => {
    expect(marksOf(heard(() => 120)).slice(10)).toBe('>'.repeat(110));
    expect(
      marksOf(
        heard(() => 120),
        null,
      ).slice(10),
    ).toBe('|'.repeat(110));
  });

  it('are hollow for another chord, and are none for a stroke that nothing is expected for', () => {
    const strokes = heard(() => 0);
    const wrong = strokes.map((one, index) =>
      index === 5
        ? { ...one, chord: { asked: one.chord?.asked ?? '', best: 'C', isAsked: false, confidence: 0.99 } }
        : one,
    );
    wrong.splice(8, 0, { ...(wrong[8] as TimedStroke), at: (wrong[7] as TimedStroke).at + 187 });
    expect(marksOf(wrong).slice(0, 12)).toBe('|||||o|| |||');
  });

  it('are none where nothing is expected', () => {
    expect(new Marks([], 'job', 0).push(heard(() => 0)[0] as TimedStroke)).toBeNull();
  });
});

it('says which stroke one is meant for before its chord is known', () => {
  const marks = new Marks(expected, 'steady', 0);
  expect(marks.expectedAt((expected[3]?.at ?? 0) + 30)).toBe(3);
  expect(marks.expectedAt((expected[3]?.at ?? 0) + 187)).toBeNull();
});
