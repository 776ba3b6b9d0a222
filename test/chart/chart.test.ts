import { describe, expect, it } from 'vitest';
import { parseMeter, parseTempo } from '../../src/chart/change.js';
import {
  feltBeats,
  type Meter,
  meterText,
  quartersPerBeat,
  quarterTempo,
  type Tempo,
  tempoText,
} from '../../src/chart/chart.js';

function meter(text: string): Meter {
  const outcome = parseMeter(text);
  if (!outcome.ok) throw new Error(outcome.fault.message);
  return outcome.value;
}

function tempo(text: string): Tempo {
  const outcome = parseTempo(text);
  if (!outcome.ok) throw new Error(outcome.fault.message);
  return outcome.value;
}

describe('a meter', () => {
  // Common practice: cut time and 6/8 are felt in two, a waltz in three, 9/8 in three, 12/8 in four.
  it.each([
    ['4/4', 4, 1],
    ['3/4', 3, 1],
    ['2/4', 2, 1],
    ['cut', 2, 2],
    ['3/2', 3, 2],
    ['3/8', 1, 1.5],
    ['6/8', 2, 1.5],
    ['9/8', 3, 1.5],
    ['12/8', 4, 1.5],
    ['5/8', 5, 0.5],
    ['7/8', 7, 0.5],
  ])('%s has %d beats of %d quarters', (text, beats, quarters) => {
    expect(feltBeats(meter(text))).toBe(beats);
    expect(quartersPerBeat(meter(text))).toBe(quarters);
  });

  it('fills its bar: the beats felt hold the quarters written', () => {
    for (const unit of [2, 4, 8] as const) {
      for (let beats = 1; beats <= 16; beats += 1) {
        const one = { beats, unit };
        expect(feltBeats(one) * quartersPerBeat(one)).toBeCloseTo((beats * 4) / unit, 12);
      }
    }
  });

  it('is written as beats over unit', () => {
    expect(meterText(meter('cut'))).toBe('2/2');
    expect(meterText(meter('6/8'))).toBe('6/8');
  });
});

describe('a tempo', () => {
  it.each([
    ['170', 170, '170'],
    ['quarter=96', 96, '96'],
    ['half=118', 236, 'half=118'],
    ['dotted=90', 135, 'dotted=90'],
  ])('%s is %d quarters a minute', (text, quarters, written) => {
    expect(quarterTempo(tempo(text))).toBe(quarters);
    expect(tempoText(tempo(text))).toBe(written);
  });

  // Computed: 64 quarter beats take 24, 32 and 40 s at 160, 120 and 96 quarters a minute.
  it.each([
    ['160', 24],
    ['120', 32],
    ['half=60', 32],
    ['dotted=64', 40],
  ])('64 quarters at %s take %d seconds', (text, seconds) => {
    expect((64 * 60) / quarterTempo(tempo(text))).toBe(seconds);
  });
});
