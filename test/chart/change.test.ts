import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Outcome } from '../../src/base/outcome.js';
import { parseChange, parseFeel, parseMeter, parseTempo, tempoLimits } from '../../src/chart/change.js';
import { meterText, tempoText } from '../../src/chart/chart.js';

const told = <T>(outcome: Outcome<T>): T | string => (outcome.ok ? outcome.value : outcome.fault.message);

describe('parseMeter', () => {
  it.each([
    ['4/4', 4, 4],
    ['3/4', 3, 4],
    ['2/2', 2, 2],
    ['cut', 2, 2],
    ['6/8', 6, 8],
    ['16/8', 16, 8],
    [' 1/4 ', 1, 4],
  ])('%s', (text, beats, unit) => {
    expect(told(parseMeter(text))).toStrictEqual({ beats, unit });
  });

  it.each(['', '4', '4/3', '4/16', '0/4', '17/4', '-3/4', '4/4/4', '4 / 4', 'Cut'])('refuses %j', (text) => {
    expect(told(parseMeter(text))).toMatch(/ is not a meter; write beats over 2, 4 or 8/);
  });

  it('reads back every meter as it is written', () => {
    for (const unit of [2, 4, 8] as const) {
      for (let beats = 1; beats <= 16; beats += 1) {
        expect(told(parseMeter(meterText({ beats, unit })))).toStrictEqual({ beats, unit });
      }
    }
  });
});

describe('parseTempo', () => {
  it.each([
    ['170', 170, 'quarter'],
    ['92.5', 92.5, 'quarter'],
    ['quarter=90', 90, 'quarter'],
    ['half=120', 120, 'half'],
    ['half = 120', 120, 'half'],
    ['dotted=90', 90, 'dotted'],
    ['20', tempoLimits.least, 'quarter'],
    ['400', tempoLimits.most, 'quarter'],
  ])('%s', (text, bpm, count) => {
    expect(told(parseTempo(text))).toStrictEqual({ bpm, count });
  });

  it.each([
    ['9999', /^tempo “9999” is out of range; write one from 20 to 400$/],
    ['19.9', /“19.9” is out of range/],
    ['400.5', /“400.5” is out of range/],
    ['0', /“0” is out of range/],
    ['hlaf=120', /^“hlaf” is not a note value for a tempo; did you mean “half”\?/],
    ['beats=120', /“beats” is not a note value for a tempo; write quarter, half or dotted/],
    ['fast', /“fast” is not a tempo/],
    ['-90', /“-90” is not a tempo/],
    ['1e2', /“1e2” is not a tempo/],
    ['Infinity', /is not a tempo/],
    ['', /“” is not a tempo/],
  ])('refuses %j', (text, sentence) => {
    expect(told(parseTempo(text))).toMatch(sentence);
  });

  it('reads back every tempo as it is written', () => {
    const counts = fc.constantFrom('quarter', 'half', 'dotted');
    fc.assert(
      fc.property(fc.integer({ min: 20, max: 400 }), counts, (bpm, count) => {
        expect(told(parseTempo(tempoText({ bpm, count })))).toStrictEqual({ bpm, count });
      }),
    );
  });
});

describe('parseFeel', () => {
  it.each([
    ['straight', 50],
    ['swing=50', 50],
    ['swing = 62', 62],
    ['swing=75', 75],
  ])('%s', (text, swing) => {
    expect(told(parseFeel(text))).toStrictEqual({ swing });
  });

  it.each(['swing', 'swing=49', 'swing=76', 'swing=62.5', '62', 'swung', ''])('refuses %j', (text) => {
    expect(told(parseFeel(text))).toMatch(/ is not a feel; write straight, or swing=50/);
  });
});

describe('parseChange', () => {
  it.each([
    ['3/4', { kind: 'meter', meter: { beats: 3, unit: 4 } }],
    ['cut', { kind: 'meter', meter: { beats: 2, unit: 2 } }],
    ['key+2', { kind: 'key', halfSteps: 2 }],
    ['key-11', { kind: 'key', halfSteps: -11 }],
    [
      'key=F#m',
      {
        kind: 'key-to',
        to: { key: { tonic: 'F#', mode: 'minor' }, home: { tonic: 'C', mode: 'major' } },
      },
    ],
    ['tempo=90', { kind: 'tempo', bpm: 90 }],
    ['swing=62', { kind: 'swing', swing: 62 }],
  ])('@%s', (text, change) => {
    expect(told(parseChange(text))).toStrictEqual(change);
  });

  it.each([
    ['5/3', /“5\/3” is not a meter/],
    [
      'key',
      /“@key” does not change the key; write the half steps, @key\+2 or @key-1 \(at most 11\), or the new key, @key=A/,
    ],
    ['key+0', /does not change the key/],
    ['key+12', /does not change the key.*at most 11/],
    ['key=', /“@key=” does not name a key/],
    ['key=Bbb', /“Bbb” is not a key.*; did you mean “Bb”\?$/],
    ['tempo=9999', /tempo “9999” is out of range/],
    ['tempo=half=90', /^write @tempo=90; it counts the same note value as the tempo in the head$/],
    ['swing=90', /“swing=90” is not a feel/],
    ['temop=90', /“@temop=90” is not a change; did you mean “tempo”\?/],
    ['', /“@” is not a change; the changes are @3\/4 @key\+2 @key=A @tempo=90 @swing=62/],
    ['meter=3/4', /is not a change/],
  ])('refuses @%s', (text, sentence) => {
    expect(told(parseChange(text))).toMatch(sentence);
  });
});
