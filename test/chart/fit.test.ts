import { describe, expect, it } from 'vitest';
import { keysThatFit, parseVoiceRange } from '../../src/chart/fit.js';
import { readChart } from '../../src/chart/read.js';
import { keyName } from '../../src/theory/key.js';

function sung(range: string, key = 'G') {
  const reading = readChart(
    new TextEncoder().encode(`title: T\nkey: ${key}\nrange: ${range}\nsections:\n  V: 1 4 5 1\n`),
  );
  if (!reading.ok) throw new Error(reading.faults[0]?.message);
  return reading.value;
}

function voice(text: string) {
  const range = parseVoiceRange(text);
  if (!range.ok) throw new Error(range.fault.message);
  return range.value;
}

describe('keysThatFit', () => {
  it('lists every key with its room, the most comfortable first', () => {
    // A3-D5 is MIDI 57-74. A song from 5 below the tonic to 3 above it spans nine half steps: eight keys have room.
    const fits = keysThatFit(sung('5, to 3'), voice('A3-D5')).map(({ key, below, above }) => [
      keyName(key),
      below,
      above,
    ]);
    expect(fits[0]).toEqual(['F#', 4, 4]);
    expect(fits).toHaveLength(9);
    expect(fits).toContainEqual(['D', 0, 8]);
    expect(fits).toContainEqual(['Bb', 8, 0]);
    for (const [, below, above] of fits) expect(Number(below) + Number(above)).toBe(8);
  });

  it('finds the one key of a tight range, and none where the voice is too small', () => {
    expect(keysThatFit(sung("5, to 1'"), voice('A3-D5')).map(({ key }) => keyName(key))).toEqual(['D']);
    expect(keysThatFit(sung("5, to 3'"), voice('A3-D5'))).toEqual([]);
  });

  it('counts minor keys from the same tonics', () => {
    // Ten half steps in twelve leave one at each end when the tonic is B flat 3 (MIDI 58).
    expect(
      keyName(keysThatFit(sung('1 to b7', 'Em'), voice('A3-A4'))[0]?.key ?? { tonic: 'C', mode: 'major' }),
    ).toBe('Bbm');
  });
});

describe('parseVoiceRange', () => {
  it.each(['A3', 'D5-A3', 'H3-D5', 'A-D', ''])('refuses %j', (text) => {
    expect(parseVoiceRange(text).ok).toBe(false);
  });
});
