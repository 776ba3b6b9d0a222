import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseMeter } from '../../src/chart/change.js';
import { type Meter, meterText } from '../../src/chart/chart.js';
import { dotWays, neededDots, sharesEvenly } from '../../src/chart/shares.js';
import { midiNote } from '../../src/theory/pitch.js';
import { compileScore, scoreBar, scoreSeconds } from '../../src/time/score.js';
import { millisecondsPerTick, ticks } from '../../src/time/units.js';
import { bars } from '../hand/charts.js';
import { score, strokes, together } from './scores.js';

const at = (written: string, bar = 0, head = {}): string[] =>
  strokes(score(written, head, { sound: together }), bar);

describe('compileScore', () => {
  // At 120 a chop of 60 ms lasts 115 ticks; a choked note ends a 24th of a quarter before the next stroke.
  it.each([
    ['4/4', ['0 low×1 920', '960 chop×4 115', '1920 low×1 920', '2880 chop×4 115']],
    ['3/4', ['0 low×1 920', '960 chop×4 115', '1920 chop×4 115']],
    ['2/2', ['0 low×1 920', '960 chop×4 115', '1920 low×1 920', '2880 chop×4 115']],
    ['6/8', ['0 low×1 920', '960 chop×4 115', '1440 low×1 920', '2400 chop×4 115']],
  ])('strikes a bar of %s by the pattern', (meter, expected) => {
    expect(at('1 4', 0, { meter })).toStrictEqual(expected);
  });

  it.each([
    ['shared by two', '(1 4)', ['0 low×1 920', '960 chop×4 115', '1920 low×1 920', '2880 chop×4 115']],
    [
      'shared three to one',
      '(1... 4.)',
      ['0 low×1 920', '960 chop×4 115', '1920 low×1 920', '2880 chop×4 115'],
    ],
    [
      'shared by eight: chopped where the pattern has no stroke',
      '(1 1 1 4 4 4 4 4)',
      [
        '0 low×1 440',
        '480 chop×4 115',
        '960 chop×4 115',
        '1440 chop×4 115',
        '1920 low×1 440',
        '2400 chop×4 115',
        '2880 chop×4 115',
        '3360 chop×4 115',
      ],
    ],
    ['left to ring', '1~', ['0 chop×4 3800']],
    ['stopped', '1!', ['0 chop×4 115']],
    ['ringing for half a bar', '(1~ 4)', ['0 chop×4 1880', '1920 low×1 920', '2880 chop×4 115']],
    ['stopped in its second half', '(1 4!)', ['0 low×1 920', '960 chop×4 115', '1920 chop×4 115']],
    ['without a chord', 'nc', []],
    ['half without a chord', '(1 nc)', ['0 low×1 920', '960 chop×4 115']],
  ])('strikes a bar %s', (_, written, expected) => {
    expect(at(`${written} 4`)).toStrictEqual(expected);
  });

  it.each([
    ['2/2', '(1... 5.)', ['0 low×1 920', '960 chop×4 115', '1920 low×1 920', '2880 chop×4 115']],
    ['2/2', '(1. 4. 5..)', ['0 low×1 920', '960 chop×4 115', '1920 low×1 920', '2880 chop×4 115']],
    ['6/8', '(1.. 5....)', ['0 low×1 920', '960 chop×4 115', '1440 low×1 920', '2400 chop×4 115']],
    [
      '6/8',
      '(1. 5.....)',
      ['0 low×1 440', '480 chop×4 115', '960 chop×4 115', '1440 low×1 920', '2400 chop×4 115'],
    ],
  ])('in %s strikes %s where its chords change', (meter, written, expected) => {
    expect(at(`${written} 4`, 0, { meter })).toStrictEqual(expected);
  });

  it('plays the new chord from its change on, in the bass and in the next stroke', () => {
    const played = bars('(1.. 5....)', { meter: '6/8' });
    const own = [50, 55].map((root) => [midiNote(root)]);
    const { notes } = compileScore(played, { notesOf: (_, cell) => own[cell] ?? [], sound: together });
    const sounding = notes[0]?.map(({ at: tick, voice, note }) => `${tick} ${voice} ${note}`);
    // A root in G is 31, its 5 has 38.
    expect(sounding).toEqual(
      expect.arrayContaining([
        '0 bass 31',
        '0 low 50',
        '960 bass 38',
        '960 chop 55',
        '1440 low 55',
        '2400 chop 55',
      ]),
    );
    expect(sounding?.filter((one) => / (low|chop) /.test(one))).toHaveLength(4);
  });

  it('leaves out a chord of which the early one after it leaves nothing', () => {
    const written = "(1. '4.....)";
    expect(at(`${written} 4`, 0, { meter: '6/8' })[0]).toBe('0 chop×4 115');
    const { notes } = score(`${written} 4`, { meter: '6/8' }, { sound: together });
    // 4 in G is C, 36; of G, 31, there is nothing.
    expect(
      notes[0]?.filter(({ voice }) => voice === 'bass').map(({ at: tick, note }) => [tick, note])[0],
    ).toEqual([0, 36]);
  });

  it('strikes an early chord an eighth before its place, and ends the one before it there', () => {
    expect(at("1~ '4")).toStrictEqual(['0 chop×4 3320']);
    expect(at("1 '4", 1)).toStrictEqual([
      '-480 chop×4 115',
      '960 chop×4 115',
      '1920 low×1 920',
      '2880 chop×4 115',
    ]);
    expect(at("(1 '4)").slice(1, 3)).toStrictEqual(['960 chop×4 115', '1440 chop×4 115']);
  });

  it('lets the first chord come early into the bar before the pass', () => {
    const early = score("'1 4~");
    expect(Math.min(...(early.notes[0] ?? []).map((note) => note.at))).toBe(-480);
    expect(at("'1 4~", 1)).toStrictEqual(['0 chop×4 3320']);
  });

  // Swing 67: the off-beat stands at 0.67 of the beat, so the early chord 0.33 · 960 ticks before the bar.
  it('puts an early chord onto the swung off-beat', () => {
    expect(at("1 '4", 1, { feel: 'swing=67' })[0]).toBe('-317 chop×4 115');
    expect(at("1 '4", 1, { feel: 'swing=67', meter: '6/8' })[0]).toBe('-480 chop×4 115');
  });

  it('spreads a stroke from the bass side, 2 ms a course', () => {
    const chop = (score('1').notes[0] ?? []).filter((note) => note.voice === 'chop').slice(0, 4);
    // 2 ms at 120 are 3.84 ticks.
    expect(chop.map((note) => [note.at, note.note])).toStrictEqual([
      [960, 62],
      [963, 67],
      [967, 71],
      [971, 79],
    ]);
  });

  it('strikes all courses of a chop within 6 ms at every tempo', () => {
    for (const tempo of [30, 45, 60, 97, 120, 200, 320]) {
      const made = score(`@tempo=${tempo} 1`);
      const chop = (made.notes[0] ?? []).filter((note) => note.voice === 'chop').slice(0, 4);
      const ticks = (chop.at(-1)?.at ?? 0) - (chop[0]?.at ?? 0);
      const ms = ticks * millisecondsPerTick(made.bars[0]?.tempo ?? 0);
      expect(chop).toHaveLength(4);
      expect([tempo, ms > 6]).toStrictEqual([tempo, false]);
      expect(ms).toBeGreaterThan(3);
    }
  });

  it('keeps what is given in milliseconds at a share of the tempo', () => {
    const half = score('1', {}, { sound: together, share: 0.5 });
    expect(strokes(half, 0)[1]).toBe('960 chop×4 58');
  });

  it('takes the notes of the cell that is struck', () => {
    const made = score('(1 4)', {}, { notesOf: (_, cell) => [midiNote(60 + cell)] });
    const low = (made.notes[0] ?? []).filter((note) => note.voice === 'low');
    expect(low.map((note) => [note.at, note.note])).toStrictEqual([
      [0, 60],
      [1920, 61],
    ]);
  });

  it('gives every note a whole place, a positive length and a strength that MIDI has', () => {
    const [early, ending] = [fc.constantFrom('', "'"), fc.constantFrom('', '~', '!')];
    const marks = fc.tuple(early, fc.constantFrom('1', '4', 'nc'), ending);
    const cell = marks.map((parts) => parts.join(''));
    const meters = ['4/4', '3/4', '2/2', '6/8', '7/8', '1/4'].flatMap((text) => {
      const read = parseMeter(text);
      return read.ok ? [read.value] : [];
    });
    // As many chords as share a bar evenly, or have dots of their own.
    const barIn = (meter: Meter) =>
      fc
        .integer({ min: 1, max: 16 })
        .filter((count) => sharesEvenly(count, meter) || dotWays(count, meter).length > 0)
        .chain((count) => fc.array(cell, { minLength: count, maxLength: count }))
        .map((cells) => {
          const dots = neededDots(cells.length, meter);
          return `(${cells.map((text, at) => text + '.'.repeat(dots?.[at] ?? 0)).join(' ')})`;
        });
    const passes = fc.constantFrom(...meters).chain((meter) =>
      fc.tuple(
        fc.array(barIn(meter), { minLength: 1, maxLength: 4 }),
        fc.record({
          tempo: fc.integer({ min: 20, max: 400 }),
          meter: fc.constant(meterText(meter)),
          feel: fc.constantFrom('straight', 'swing=75'),
        }),
      ),
    );
    fc.assert(
      fc.property(passes, ([written, over]) => {
        const made = score(written.join(' '), over);
        for (const note of made.notes.flat()) {
          expect(Number.isInteger(note.at)).toBe(true);
          expect(note.length).toBeGreaterThanOrEqual(1);
          expect(note.velocity >= 1 && note.velocity <= 127).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
  });
});

describe('scoreBar', () => {
  const four = {
    meter: { beats: 4, unit: 4 },
    tempo: { bpm: 120, count: 'quarter' },
    feel: { swing: 50 },
  } as const;

  it.each([
    ['4/4', { ...four, beats: 4 }, 3840, [0, 960, 1920, 2880]],
    ['half a beat more', { ...four, beats: 2.5 }, 2400, [0, 960, 1920]],
    ['6/8', { ...four, meter: { beats: 6, unit: 8 }, beats: 2 }, 2880, [0, 1440]],
    ['7/8', { ...four, meter: { beats: 7, unit: 8 }, beats: 7 }, 3360, [0, 480, 960, 1440, 1920, 2400, 2880]],
    ['cut time', { ...four, meter: { beats: 2, unit: 2 }, beats: 2 }, 3840, [0, 1920]],
  ] as const)('%s', (_, bar, length, beats) => {
    expect(scoreBar(bar, ticks(7680))).toMatchObject({ start: 7680, length, beats, tempo: 120 });
  });

  it.each([
    ['half=120', 240],
    ['dotted=90', 135],
    ['170', 170],
  ])('counts %s as %i quarters', (tempo, quarters) => {
    expect(score('1', { tempo }).bars[0]?.tempo).toBe(quarters);
  });

  it('puts every bar after the one before, each boundary rounded from its bar’s start', () => {
    const made = score('(1 4) (1.. 4. 5..) @3/4 1 (4 5 1 4 5 1) @6/8 1', { crooked: 'yes' });
    expect(made.bars.map((bar) => bar.start)).toStrictEqual([0, 3840, 8640, 11520, 14400]);
    expect(made.length).toBe(17280);
    const eighths = score('(1. 4.. 5...) 1', { meter: '6/8' });
    const opening = (eighths.notes[0] ?? []).filter((note) => note.voice !== 'bass').map((note) => note.at);
    expect(opening).toEqual(expect.arrayContaining([0, 480, 1440]));
  });
});

describe('scoreSeconds', () => {
  // Rhythm players' yardstick: 64 beats at 160, 120 and 96 last 24, 32 and 40 s.
  it.each([
    [160, 24],
    [120, 32],
    [96, 40],
  ])('64 beats at %i last %i s', (tempo, seconds) => {
    expect(scoreSeconds(score(Array(16).fill('1').join(' '), { tempo }))).toBeCloseTo(seconds, 9);
  });

  it('adds up stretches of different tempo', () => {
    expect(scoreSeconds(score('1 @tempo=60 1', { tempo: 120 }))).toBeCloseTo(2 + 4, 9);
  });
});
