import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Meter } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import {
  type Call,
  calledNumber,
  emptyTranscript,
  type Transcript,
  transcribe,
  transcriptChart,
} from '../../src/chart/transcript.js';
import { unroll } from '../../src/chart/unroll.js';
import { type Key, majorTonics, minorTonics } from '../../src/theory/key.js';
import { numberText } from '../../src/theory/number.js';

/** Keys as a player presses them: `1@0` is 1 in the first bar; m, v, b, #, s, x as on the screen. */
function pressed(keys: string, meter: Meter): Transcript {
  const kinds: Readonly<Record<string, Call>> = {
    m: { kind: 'minor' },
    v: { kind: 'seventh' },
    b: { kind: 'flat' },
    '#': { kind: 'sharp' },
    s: { kind: 'split' },
    x: { kind: 'erase' },
  };
  return keys
    .split(' ')
    .filter((key) => key !== '')
    .reduce((taken, key) => {
      const [degree, bar] = key.split('@').map(Number);
      return transcribe(taken, kinds[key] ?? { kind: 'degree', degree: degree ?? 1, bar: bar ?? 0 }, meter);
    }, emptyTranscript);
}

const four: Meter = { beats: 4, unit: 4 };

function sheet(keys: string, meter = four, transcript = pressed(keys, meter)): string | null {
  return transcriptChart({
    title: 'Ferry Bell',
    key: { tonic: 'A', mode: 'major' },
    tempo: { bpm: 120, count: 'quarter' },
    meter,
    transcript,
  });
}

function bars(keys: string, meter?: Meter): string | undefined {
  return sheet(keys, meter)
    ?.split('\n')
    .filter((line) => line.startsWith('    '))
    .map((line) => line.trim())
    .join(' / ');
}

describe('writing down', () => {
  it.each([
    ['1@0 4@1 5@2 1@3', '1 4 5 1'],
    ['1@0 4@2', '1 1 4 4'],
    ['1@1', 'nc 1 1 1'],
    ['6@0 m', '6- 6- 6- 6-'],
    ['6@0 m m', '6 6 6 6'],
    ['2@0 m v', '2-^7 2-^7 2-^7 2-^7'],
    ['7@0 b', 'b7 b7 b7 b7'],
    ['7@0 b v', 'b7^7 b7^7 b7^7 b7^7'],
    ['4@0 # b', 'b4 b4 b4 b4'],
    ['1@0 s 5@0', '(1 5) 5 5 5'],
    ['1@0 s 5@2 1@3', '1 1 (1 5) 1'],
    ['s 5@0', '5 5 5 5'],
    ['1@0 4@0', '4 4 4 4'],
    ['1@0 4@1 x 5@2', '1 1 5 5'],
    ['1@0 s 5@0 x', '1 1 1 1'],
    ['1@0 s s 5@0', '5 5 5 5'],
    ['1@0 s 2@0 s 3@0 s 4@0', '(1 2 3 4) 4 4 4'],
    ['1@0 s 2@0 s 3@0 s 4@0 s 5@0', '5 5 5 5'],
    ['1@4', 'nc nc nc nc / 1 1 1 1'],
  ])('%s is %s', (keys, expected) => {
    expect(bars(keys)).toBe(expected);
  });

  it.each<[string, Meter, string]>([
    ['1@0 s 4@0 s 5@0', four, '(1.. 4. 5.) 5 5 5'],
    ['1@0 s 4@0', { beats: 3, unit: 4 }, '(1.. 4.) 4 4 4'],
    ['1@0 s 4@0 s 5@0', { beats: 3, unit: 4 }, '(1 4 5) 5 5 5'],
    // There is no room for a fourth: it stands for itself, as a fifth does in four.
    ['1@0 s 4@0 s 5@0 s 6@0', { beats: 3, unit: 4 }, '6 6 6 6'],
    ['1@0 s 4@0 s 5@0', { beats: 2, unit: 2 }, '(1.. 4. 5.) 5 5 5'],
    ['1@0 s 4@0 s 5@0', { beats: 6, unit: 8 }, '(1.. 4.. 5..) 5 5 5'],
    ['1@0 s 4@0 s 5@0 s 1@0', { beats: 6, unit: 8 }, '(1.. 4. 5.. 1.) 1 1 1'],
  ])('%s in %o gives each chord its beats: %s', (keys, meter, expected) => {
    expect(bars(keys, meter)).toBe(expected);
  });

  it('says after its line what a bar of an older draft has no room for', () => {
    const meter: Meter = { beats: 3, unit: 4 };
    const text = sheet('', meter, pressed('1@1 s 4@1 s 5@1 s 6@1', four));
    expect(text).toContain('    nc (1 4 5) 6 6 ; bar 2 also had 6\n');
    expect(readChart(new TextEncoder().encode(text ?? '')).ok).toBe(true);
  });

  it.each(['', 's', 'm v', '1@0 x', 'x x'])('of nothing (%j) there is no chart', (keys) => {
    expect(sheet(keys)).toBeNull();
  });

  it('writes a whole chart', () => {
    expect(sheet('1@0')).toBe(
      'title: Ferry Bell\nkey: A\ntempo: 120\nmeter: 4/4\nsections:\n  A: |\n    1 1 1 1\n',
    );
  });

  it('gives a chart that reads and has what was called, whatever was pressed', () => {
    const press = fc.oneof(
      fc.record({
        kind: fc.constant('degree' as const),
        degree: fc.integer({ min: 1, max: 7 }),
        bar: fc.nat(20),
      }),
      fc.record({ kind: fc.constantFrom('minor', 'seventh', 'flat', 'sharp', 'split', 'erase') }),
    ) as fc.Arbitrary<Call>;
    const meters = [
      { meter: { beats: 4, unit: 4 }, tempo: { bpm: 200, count: 'quarter' } },
      { meter: { beats: 3, unit: 4 }, tempo: { bpm: 100, count: 'quarter' } },
      { meter: { beats: 2, unit: 2 }, tempo: { bpm: 118, count: 'half' } },
      { meter: { beats: 6, unit: 8 }, tempo: { bpm: 90, count: 'dotted' } },
    ] as const;
    const keys: readonly Key[] = [
      ...majorTonics.map((tonic): Key => ({ tonic, mode: 'major' })),
      ...minorTonics.map((tonic): Key => ({ tonic, mode: 'minor' })),
    ];
    fc.assert(
      fc.property(
        fc.array(press, { maxLength: 60 }),
        fc.constantFrom(...meters),
        fc.constantFrom(...keys),
        fc.string({ unit: 'grapheme', minLength: 1, maxLength: 30 }).filter((title) => title.trim() !== ''),
        (presses, { meter, tempo }, key, title) => {
          const taken = presses.reduce((before, press) => transcribe(before, press, meter), emptyTranscript);
          const text = transcriptChart({ title, key, tempo, meter, transcript: taken });
          if (text === null) {
            expect(taken.bars.every((bar) => bar === null)).toBe(true);
            return;
          }
          const read = readChart(new TextEncoder().encode(text));
          if (!read.ok) throw new Error(`${text}\n${JSON.stringify(read.faults)}`);
          expect(read.faults).toEqual([]);
          expect(read.value).toMatchObject({ key, tempo, meter });
          let held: string | null = null;
          unroll(read.value).bars.forEach((bar, index) => {
            const called = taken.bars[index]?.chords.map(calledNumber);
            const found = bar.cells.map((cell) => cell.number && numberText(cell.number));
            expect(found).toEqual(called ?? [held]);
            held = called?.at(-1) ?? held;
          });
        },
      ),
      { numRuns: 300 },
    );
  });
});
