import { expect, it } from 'vitest';
import { type HeardStroke, type HearerOptions, StrokeHearer } from '../../src/listen/strokes.js';
import { withNoise } from './noisy.js';
import { performance } from './performance.js';
import { renderable, rendered, type Stroke } from './rendered.js';
import { pieces, scored } from './scored.js';
import { plucked } from './strings.js';

const rate = 44_100;

function heard(samples: Float32Array, options: HearerOptions = {}): HeardStroke[] {
  const hearer = new StrokeHearer(rate, options);
  return [...[...pieces(samples)].flatMap((piece) => hearer.push(piece)), ...hearer.end()];
}

const chop = (at: number, length: number): Stroke => ({
  at,
  notes: [62, 67, 71, 79],
  velocity: 100,
  length,
  spread: 4,
});

it('tells low notes, chops and upstrokes apart', () => {
  const played = performance({ bpm: 140, bars: 8, seed: 77, ups: true });
  const strokes = heard(plucked(played, rate));
  const { pairs } = scored(
    played.map(({ at }) => at),
    strokes.map(({ sample }) => (1000 * sample) / rate),
  );
  expect(pairs.length).toBe(played.length);
  const right = pairs.filter(([one, other]) => played[one]?.kind === strokes[other]?.kind);
  expect(right.length / pairs.length).toBeGreaterThanOrEqual(0.9);
});

it('tells them apart on a rendered mandolin', ({ skip }) => {
  const missing = renderable();
  skip(missing !== null, missing ?? '');
  const played = performance({ bpm: 170, bars: 10, seed: 78, chords: ['Bm', 'F', 'Em', 'Bb'], ups: true });
  const strokes = heard(withNoise(rendered(played), 20, 4));
  const { pairs } = scored(
    played.map(({ at }) => at),
    strokes.map(({ sample }) => (1000 * sample) / rate),
  );
  const right = pairs.filter(([one, other]) => played[one]?.kind === strokes[other]?.kind);
  expect(right.length / played.length).toBeGreaterThanOrEqual(0.95);
});

it('lets what the music expects decide where the sound leaves it open', () => {
  const sound = plucked([chop(300, 60), chop(900, 60)], rate);
  const open = heard(sound).map(({ kindSure }) => kindSure);
  const helped = heard(sound, { expected: () => ({ low: 0.01, chop: 0.98, up: 0.01 }) });
  expect(helped.map(({ kind }) => kind)).toEqual(['chop', 'chop']);
  for (const [index, { kindSure }] of helped.entries())
    expect(kindSure).toBeGreaterThanOrEqual(open[index] as number);
});

it('says how long a chop rings, also in noise', () => {
  const lengths = [45, 60, 80];
  const sound = plucked(
    lengths.map((length, index) => chop(500 + 900 * index, length)),
    rate,
  );
  const rings = heard(sound).map(({ ringMs }) => ringMs as number);
  expect(rings.length).toBe(lengths.length);
  for (let index = 1; index < rings.length; index += 1)
    expect(rings[index]).toBeGreaterThan(rings[index - 1] as number);
  const noisy = heard(withNoise(sound, 20, 3));
  for (const { sample, ringMs } of heard(sound)) {
    const same = noisy.find((other) => Math.abs(other.sample - sample) < 0.005 * rate);
    expect(Math.abs((same?.ringMs ?? Number.NaN) - (ringMs as number))).toBeLessThanOrEqual(15);
  }
});

it('says nothing of a ring that the next stroke cuts off', () => {
  const [first] = heard(plucked([chop(500, 900), chop(600, 60)], rate));
  expect(first?.ringMs).toBeNull();
});

it('names the course that rings on when the others are still', () => {
  const low: Stroke = { at: 500, notes: [62], velocity: 110, length: 450 };
  const rest: Stroke = { at: 502, notes: [67, 71, 79], velocity: 100, length: 55, spread: 3 };
  const [one, other] = heard(plucked([low, rest, chop(1500, 55)], rate));
  expect(one?.ringsOn).toBe(62);
  expect(other?.ringsOn).toBeNull();
});

it('tells of onsets at once, and of the stroke when it is known', () => {
  const order: string[] = [];
  const hearer = new StrokeHearer(rate, { onOnset: () => order.push('onset') });
  for (const piece of pieces(plucked([chop(300, 60), chop(2000, 60)], rate)))
    for (const _ of hearer.push(piece)) order.push('stroke');
  for (const _ of hearer.end()) order.push('stroke');
  expect(order).toEqual(['onset', 'stroke', 'onset', 'stroke']);
});
