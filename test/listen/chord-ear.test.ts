import { describe, expect, it } from 'vitest';
import { instruments, mandolin } from '../../src/hand/instrument.js';
import { voicings } from '../../src/hand/voicing.js';
import { ChordEar } from '../../src/listen/chord-ear.js';
import type { ChordCandidate } from '../../src/listen/chord-odds.js';
import { chordName, chordTones, parseChord, toChord } from '../../src/theory/chord.js';
import { parseNumber } from '../../src/theory/number.js';
import {
  chordPass,
  fluidsynth,
  plucked,
  pluckedInstrument,
  programs,
  type Sound,
  seeded,
  type TakenStroke,
  withNoise,
} from './chord-takes.mjs';

const theory = { parseNumber, toChord, chordTones, chordName, voicings };

function candidate(id: string, notes: readonly number[], role: ChordCandidate['role']): ChordCandidate {
  const chord = parseChord(id);
  if (!chord.ok) throw new Error(id);
  return { id, notes, role, pitchClasses: chordTones(chord.value) };
}

/** G, C, D, Em, Am and D7 as a mandolin chops them; the first is expected, the second was before. */
function chordsOfG(expected: string, before: string): ChordCandidate[] {
  const shapes = {
    G: [62, 67, 71, 79],
    C: [60, 67, 72, 76],
    D: [62, 66, 74, 81],
    Em: [59, 67, 71, 76],
    Am: [64, 69, 72, 81],
    D7: [60, 66, 69, 74],
  };
  return Object.entries(shapes).map(([id, notes]) =>
    candidate(id, notes, id === expected ? 'expected' : id === before ? 'before' : 'other'),
  );
}

const chop = (notes: readonly number[]): TakenStroke => ({
  at: 300,
  notes,
  velocity: 95,
  length: 55,
  spread: 5,
});
const low = (note: number): TakenStroke => ({ at: 300, notes: [note], velocity: 90, length: 250, spread: 0 });

function heard(
  stroke: TakenStroke | readonly TakenStroke[],
  candidates: readonly ChordCandidate[],
  more: { rate?: number; cents?: number; seed?: number } = {},
) {
  const strokes = Array.isArray(stroke) ? stroke : [stroke];
  const last = strokes.at(-1) as TakenStroke;
  const { samples, rate } = plucked(strokes, pluckedInstrument(more.seed ?? 31), more);
  const kind = last.notes.length > 1 ? 'chop' : 'low';
  return new ChordEar(rate).judge(samples, Math.round((last.at * rate) / 1000), { candidates, kind });
}

describe('the chord of a stroke', () => {
  it.each(['G', 'C', 'D', 'Em', 'Am'])('confirms %s when it is expected', (id) => {
    const candidates = chordsOfG(id, id === 'C' ? 'G' : 'C');
    const verdict = heard(chop(candidates.find((one) => one.id === id)?.notes ?? []), candidates);
    expect(verdict).toMatchObject({ best: id, expected: true });
    expect(verdict.confidence).toBeGreaterThan(0.95);
  });

  it.each([
    ['G', 'Em'],
    ['Em', 'G'],
    ['C', 'Am'],
    ['C', 'Em'],
    ['Am', 'C'],
    ['G', 'D'],
  ])(
    'tells that %s was expected and %s was played, with two notes in common as with one',
    (expected, played) => {
      const candidates = chordsOfG(expected, 'D');
      const notes = candidates.find((one) => one.id === played)?.notes ?? [];
      expect(heard(chop(notes), candidates)).toMatchObject({ best: played, expected: false });
    },
  );

  it('knows a chord in another voicing than the planned one', () => {
    expect(heard(chop([59, 62, 67]), chordsOfG('G', 'C'))).toMatchObject({ best: 'G', expected: true });
    expect(heard(chop([55, 64, 72]), chordsOfG('C', 'G'))).toMatchObject({ best: 'C', expected: true });
  });

  it('counts the seventh as the same chord, either way', () => {
    expect(heard(chop([60, 66, 69, 74]), chordsOfG('D', 'G'))).toMatchObject({ best: 'D', expected: true });
    expect(heard(chop([62, 66, 74, 81]), chordsOfG('D7', 'G'))).toMatchObject({ best: 'D7', expected: true });
  });

  it('tells a chord that is not a candidate from the expected one, without a name', () => {
    expect(heard(chop([61, 65, 68, 73]), chordsOfG('G', 'C'))).toMatchObject({ best: null, expected: false });
  });

  it.each([16_000, 22_050, 48_000, 96_000])('hears the same at %i samples a second', (rate) => {
    expect(heard(chop([62, 67, 71, 79]), chordsOfG('G', 'C'), { rate }).expected).toBe(true);
    expect(heard(chop([60, 67, 72, 76]), chordsOfG('G', 'C'), { rate })).toMatchObject({
      best: 'C',
      expected: false,
    });
  });

  it('hears an instrument that is nearly a quarter tone flat, from its first stroke on', () => {
    expect(heard(chop([62, 67, 71, 79]), chordsOfG('G', 'C'), { cents: -45 }).expected).toBe(true);
    expect(heard(chop([64, 69, 72, 81]), chordsOfG('G', 'C'), { cents: -45 })).toMatchObject({
      best: 'Am',
      expected: false,
    });
  });

  it('takes a low note of the expected chord for right, and another for wrong', () => {
    expect(heard(low(55), chordsOfG('G', 'C')).expected).toBe(true);
    expect(heard(low(62), chordsOfG('G', 'C')).expected).toBe(true);
    expect(heard(low(60), chordsOfG('G', 'C')).expected).toBe(false);
    expect(heard(low(57), chordsOfG('G', 'C')).expected).toBe(false);
  });

  it('judges an upstroke by the two courses at the treble side', () => {
    const judged = (notes: readonly number[], candidates: readonly ChordCandidate[]) => {
      const { samples, rate } = plucked([{ ...chop(notes), velocity: 60 }], pluckedInstrument(32));
      return new ChordEar(rate).judge(samples, Math.round(0.3 * rate), { candidates, kind: 'up' });
    };
    expect(judged([71, 79], chordsOfG('G', 'C')).expected).toBe(true);
    expect(judged([72, 76], chordsOfG('C', 'G')).expected).toBe(true);
    expect(judged([72, 76], chordsOfG('G', 'C')).expected).toBe(false);
    expect(judged([74, 81], chordsOfG('C', 'D')).expected).toBe(false);
  });

  it('does not take a chord that rings on for the low note that comes', () => {
    const ringing = { at: 100, notes: [60, 67, 72, 76], velocity: 100, length: 500, spread: 5 };
    const candidates = chordsOfG('D', 'C');
    expect(heard([ringing, { ...low(62), at: 350 }], candidates).expected).toBe(true);
    expect(
      heard(
        [
          { ...ringing, notes: [62, 66, 74, 81] },
          { ...low(60), at: 350 },
        ],
        candidates,
      ).expected,
    ).toBe(false);
  });

  it('is unsure of silence, of a room’s noise, and of a pick on damped strings', () => {
    const random = seeded(8);
    const candidates = chordsOfG('G', 'C');
    const judged = (make: (index: number) => number) =>
      new ChordEar(44_100).judge(
        Float32Array.from({ length: 15_000 }, (_, index) => make(index)),
        6000,
        {
          candidates,
          kind: 'chop',
        },
      );
    expect(judged(() => 0)).toMatchObject({ best: null, expected: null });
    expect(judged(() => random() - 0.5)).toMatchObject({ best: null, expected: null });
    const scratch = (index: number): number =>
      index < 6000 ? 0 : (random() - 0.5) * Math.exp((6000 - index) / 400);
    expect(judged(scratch)).toMatchObject({ best: null, expected: null });
  });

  it('goes without notes and without sound round the stroke', () => {
    const candidates = [candidate('G', [], 'expected'), candidate('C', [], 'before')];
    expect(
      new ChordEar(44_100).judge(new Float32Array(10), 5, { candidates, kind: 'up' }).expected,
    ).toBeNull();
    expect(heard(chop([62, 67, 71, 79]), candidates).expected).toBe(true);
  });

  it('wants an expected chord', () => {
    const candidates = [candidate('G', [55, 62, 71], 'other')];
    expect(() => heard(chop([55, 62, 71]), candidates)).toThrow(RangeError);
  });
});

/** How many strokes of a pass came out how: confirmed, unsure, and said to be another chord. */
function counted(
  name: keyof typeof programs,
  seed: number,
  change: (sound: Sound) => Sound = (sound) => sound,
) {
  const instrument =
    (name === 'ukulele' ? instruments.find(({ id }) => id === 'ukulele') : undefined) ?? mandolin;
  const { strokes, cents } = chordPass(theory, { seed, bpm: 200, bars: 12, instrument, faults: 0.4 });
  const program = programs[name] as readonly [number, number];
  const { samples, rate } = change(fluidsynth(strokes, program, cents));
  const ear = new ChordEar(rate);
  const count = { right: 0, confirmed: 0, alarms: 0, wrong: 0, noticed: 0, missed: 0 };
  for (const { at, kind, expected, played, candidates } of strokes) {
    const verdict = ear.judge(samples, Math.round((at * rate) / 1000), { candidates, kind });
    // What a low note cannot tell, and 5 for 5^7, is left out here.
    const pitchClasses = candidates.filter(({ id }) => id === expected || id === played);
    if (kind === 'low' && expected !== played) continue;
    if (pitchClasses.length > 1 && pitchClasses[0]?.pitchClasses[0] === pitchClasses[1]?.pitchClasses[0])
      continue;
    if (expected === played) {
      count.right += 1;
      if (verdict.expected === true) count.confirmed += 1;
      if (verdict.expected === false) count.alarms += 1;
    } else {
      count.wrong += 1;
      if (verdict.expected === false) count.noticed += 1;
      if (verdict.expected === true) count.missed += 1;
    }
  }
  return count;
}

describe('a pass of instruments that nothing was fitted to', () => {
  it.each([
    ['mandolin', 41],
    ['banjo', 42],
    ['ukulele', 43],
  ] as const)('is judged rightly, clean and in noise: %s', (name, seed) => {
    for (const change of [(sound: Sound) => sound, (sound: Sound) => withNoise(sound, 20, seed)]) {
      const { right, confirmed, alarms, wrong, noticed, missed } = counted(name, seed, change);
      expect(right).toBeGreaterThan(25);
      expect(wrong).toBeGreaterThan(5);
      expect(alarms).toBe(0);
      expect(missed).toBe(0);
      expect(confirmed).toBeGreaterThanOrEqual(0.95 * right);
      expect(noticed).toBeGreaterThanOrEqual(0.85 * wrong);
    }
  });
});
