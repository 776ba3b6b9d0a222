import { describe, expect, it } from 'vitest';
import { StrokeHearer } from '../../src/listen/strokes.js';
import { plucked, pluckedInstrument } from './chord-takes.mjs';
import type { Stroke } from './rendered.js';

const rate = 44_100;
const shapes = [
  [62, 67, 71, 79],
  [60, 64, 72, 76],
  [57, 66, 69, 74],
  [59, 64, 67, 76],
];

/** Chops with a beat between them; of each the course `ringing` goes on nearly to the next. */
function chops(ringing: number | null): Stroke[] {
  return Array.from({ length: 16 }, (_, index) => shapes[index % 4] as number[]).flatMap((notes, index) =>
    notes.map((note, course) => ({
      at: 500 + 600 * index + course,
      notes: [note],
      velocity: 90,
      length: course === ringing ? 550 : 60,
      spread: 0,
    })),
  );
}

function ringing(strokes: readonly Stroke[], seed: number): (number | null)[] {
  const hearer = new StrokeHearer(rate);
  const instrument = { ...pluckedInstrument(seed), decay: 1.2, choke: 0.015 };
  const { samples } = plucked(strokes as never, instrument, { rate, seed });
  return [...hearer.push(samples), ...hearer.end()].map(({ ringsOn }) => ringsOn);
}

describe('a course that rings on', () => {
  it.each([8101, 8102, 8103])('is not heard in clean chops (%i)', (seed) => {
    expect(ringing(chops(null), seed).filter((note) => note !== null)).toHaveLength(0);
  });

  it.each([
    [8101, 1],
    [8102, 2],
    [8103, 0],
  ])('is heard, and which note it is, in most chops (%i)', (seed, course) => {
    const heard = ringing(chops(course), seed);
    const right = heard.filter((note, index) => note === shapes[index % 4]?.[course]);
    expect(right.length).toBeGreaterThanOrEqual(11);
  });
});
