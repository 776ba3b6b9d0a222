import { describe, expect, it } from 'vitest';
import { meantFor } from '../../../src/listen/kind.js';
import { NamedChords } from '../../../src/listen/live/named-chord.js';
import type { StrokeHeard } from '../../../src/listen/stroke-heard.js';
import type { Performance } from '../../../src/playback/performance.js';
import { chordTones, toChord } from '../../../src/theory/chord.js';
import { parseNumber } from '../../../src/theory/number.js';
import { keyOf, onStand, standing, viewOf } from '../../ui/model.js';
import { plucked } from '../strings.js';

const rate = 22_050;
const numbers = ['1', '4', '5', '6-', '2-', 'b7', '2^7'];

/** Something that plays in a key, of which these chords may be named. */
function performing(key: string, answers: readonly string[] | undefined): Performance {
  const { performance } = viewOf(standing('weir-hands'));
  return {
    ...performance,
    setup: { ...performance.setup, key: keyOf(key), ...(answers ? { answers } : {}) },
  };
}

/** A chop of a chord in a closed position, from the D course up. */
function chop(number: string, key: string, changes: Partial<StrokeHeard> = {}): StrokeHeard {
  const read = parseNumber(number);
  if (!read.ok) throw new Error(number);
  const tones = chordTones(toChord(read.value, keyOf(key)));
  const notes = tones.map(
    (tone) => Array.from({ length: 12 }, (_, at) => 60 + at).find((note) => note % 12 === tone) ?? 60,
  );
  const clip = plucked([{ at: 110, notes, velocity: 95, length: 60 }], rate).subarray(
    0,
    Math.round(0.22 * rate),
  );
  return {
    kind: 'stroke',
    ms: 5000,
    sample: 0,
    strength: 0.5,
    stroke: 'chop',
    sure: 0.98,
    kinds: meantFor('chop'),
    ringMs: 60,
    ringsOn: null,
    clip,
    attack: Math.round(0.11 * rate),
    ...changes,
  };
}

describe('a chord that is named by playing it', () => {
  it.each(['G', 'Bb', 'E'])('is told by its number, at the time at which it sounded, in %s', (key) => {
    const ear = new NamedChords(rate);
    ear.look(performing(key, numbers));
    expect(ear.listens).toBe(true);
    for (const number of numbers)
      expect(ear.stroke(chop(number, key), 40)).toEqual([{ kind: 'named-chord', number, at: 4960 }]);
  });

  it('is none where nothing is named, where a low note sounds, and where nothing with a pitch does', () => {
    const ear = new NamedChords(rate);
    ear.look(performing('G', undefined));
    expect(ear.listens).toBe(false);
    expect(ear.stroke(chop('1', 'G'), 0)).toEqual([]);
    ear.look(performing('G', numbers));
    expect(ear.stroke(chop('1', 'G', { stroke: 'low' }), 0)).toEqual([]);
    const noise = Float32Array.from(
      { length: Math.round(0.22 * rate) },
      (_, at) => Math.sin(at * at * 12.9898) * 0.3,
    );
    expect(ear.stroke(chop('1', 'G', { clip: noise }), 0)).toEqual([]);
    ear.look(null);
    expect(ear.listens).toBe(false);
    expect(onStand(standing('weir-hands'))?.answers).toBeUndefined();
  });
});
