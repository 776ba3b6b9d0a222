import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fingering } from '../../src/hand/fingering.js';
import { plainGlance, widestGlance } from '../../src/hand/glance.js';
import { type Instrument, instruments, mandolin } from '../../src/hand/instrument.js';
import { motion } from '../../src/hand/motion.js';
import { type NeckSight, usualNeck } from '../../src/hand/neck-sight.js';
import { type Prompt, prompt } from '../../src/hand/prompt.js';
import { stockFingerings, stockShapes } from '../../src/hand/stock.js';
import { fingering, instrument, moved } from './shapes.js';

const g = fingering('7-5-2-3', '4312');
const c = fingering('5-2-3-x', '312x');
const d = fingering('7-4-5-x', '312x');
const dByLittle = fingering('7-4-5-x', '423x');
const said = (
  from: Fingering,
  to: Fingering,
  on: Instrument = mandolin,
  sight: Partial<NeckSight> = {},
): Prompt => prompt(motion(from, to, on), { ...usualNeck, ...sight });

const everyStock = 'C Db D Eb E F F# G Ab A Bb B'
  .split(' ')
  .flatMap((root) =>
    [...new Set(stockShapes.map((shape) => shape.quality))].flatMap((quality) =>
      stockFingerings({ root, quality, bass: null }, mandolin),
    ),
  );
const anyMotion = fc.tuple(fc.constantFrom(...everyStock), fc.constantFrom(...everyStock));

describe('prompt', () => {
  it.each([
    ['stay', g, g, '= stay', 'the same shape; nothing moves'],
    ['1 to 4, four-finger', g, c, '↓ bass', 'same frets, one course to the bass side; little lifts'],
    ['up a whole step', g, moved(g, 2), '→ bridge 2', 'two frets toward the bridge, same courses'],
    ['down a half step', d, moved(d, -1), '← nut 1', 'one fret toward the nut, same courses'],
    [
      '4 to 1, four-finger',
      c,
      g,
      '↑ treble · L to G',
      'same frets, one course to the treble side; little lands on the G course',
    ],
    [
      '1 to 5, four-finger',
      g,
      dByLittle,
      'stay L · M to D, R to A',
      'little stays; middle to the D course, one fret toward the bridge; ring to the A course; index lifts',
    ],
    [
      '5 to 1, four-finger',
      dByLittle,
      g,
      'stay L · L R I M',
      'little stays; middle to the E course, one fret toward the nut; ring to the D course; index lands on the A course',
    ],
    // The same courses two frets up: by the same fingers the hand shifts, by others it stays.
    ['4 to 5, four-finger', c, d, '→ bridge 2', 'two frets toward the bridge, same courses'],
    [
      '4 to 5 by other fingers',
      c,
      dByLittle,
      'hand stays · L M R',
      'two frets toward the bridge, same courses; the hand stays and the fingers change: little on the G course, middle on the D, ring on the A; index lifts',
    ],
    [
      '5 to 4 by other fingers',
      dByLittle,
      c,
      'hand stays · R I M',
      'two frets toward the nut, same courses; the hand stays and the fingers change: ring on the G course, index on the D, middle on the A; little lifts',
    ],
    [
      '1 to 4, three-finger',
      d,
      g,
      '↖ nut 2 · L to G',
      'two frets toward the nut, one course to the treble side; little lands on the G course',
    ],
    [
      'major to minor',
      g,
      fingering('7-5-1-3', '4312'),
      'stay M R L · I back 1',
      'middle, ring and little stay; index one fret toward the nut',
    ],
    [
      'one finger beyond the hand',
      fingering('x-7-3-5', 'x312'),
      fingering('x-9-6-7', 'x312'),
      '→ bridge 2 · I up',
      'two frets toward the bridge, same courses; index one fret farther',
    ],
    [
      'another shape higher up',
      dByLittle,
      moved(g, 4),
      '→ bridge 4 · L R I M',
      'the hand shifts four frets toward the bridge and the fingers change: little on the G course, ring on the D, index on the A, middle on the E',
    ],
    [
      'a finger that lies down',
      fingering('2-2-4-x', '123x'),
      fingering('2-2-4-5', '1134'),
      'stay I R · L to E, I flat',
      'index and ring stay; middle lifts; little lands on the E course; index lies flat across G and D',
    ],
    [
      'an open course that sounds too',
      fingering('5-2-3-x', '312x'),
      fingering('5-2-3-0', '312x'),
      '= stay',
      'the fingers stay; the E course sounds too',
    ],
  ])('%s', (_, from, to, glance, sentence) => {
    expect(said(from, to).glance).toBe(glance);
    expect(said(from, to).sentence).toContain(sentence);
  });

  it('says ceiling and floor of ways across the courses, where that is wished', () => {
    const sight = { sayCeiling: true };
    expect(said(g, c, mandolin, sight).sentence).toBe(
      'same frets, one course toward the ceiling; little lifts',
    );
    expect(said(g, dByLittle, mandolin, sight).sentence).toContain(
      'middle toward the ceiling to the D course, one fret toward the bridge; ring toward the floor to the A course',
    );
  });

  it('names courses where pitch does not follow place, and tells those of one letter apart', () => {
    const ukulele = instruments.find(({ id }) => id === 'ukulele') as Instrument;
    expect(said(g, c, ukulele)).toEqual({
      glance: '↓ G side',
      sentence: 'same frets, one course toward the G course; little lifts',
    });
    expect(said(c, g, ukulele).sentence).toContain('toward the A course; little lands on the G course');
    const open = instrument([43, 50, 55, 59], 600);
    expect(said(c, g, open).sentence).toContain('little lands on the low G course');
    expect(said(c, fingering('x-5-2-3', 'x312'), open).glance).toBe('↑ treble');
    expect(said(dByLittle, g, open).sentence).toContain('index lands on the high G course');
  });

  it('says “new shape” of no change, and “third course” of no course', () => {
    const all = everyStock.flatMap((from) =>
      everyStock.slice(0, 60).map((to) => Object.values(said(from, to)).join(' ')),
    );
    expect(all.filter((text) => /new shape|(second|third|fourth|bass|treble) course/.test(text))).toEqual([]);
  });

  it.each([
    ['1 to 4, four-finger', g, c],
    ['1 to 5, four-finger', g, dByLittle],
    ['up a whole step', g, moved(g, 2)],
    ['4 to 5, three-finger', g, moved(g, 2)],
  ])('says the same in every key: %s', (_, from, to) => {
    for (const up of [1, 2, 3]) expect(said(moved(from, up), moved(to, up))).toStrictEqual(said(from, to));
  });

  // A plan moved up the neck keeps its words, those for a finger that comes down included.
  it.each([
    ['4 to 1, four-finger', c, g],
    ['5 to 1, four-finger', dByLittle, g],
    ['1 to 4, three-finger', d, g],
  ])('says the same in every key where a finger lands: %s', (_, from, to) => {
    for (const up of [1, 2, 3]) expect(said(moved(from, up), moved(to, up))).toStrictEqual(said(from, to));
  });

  it('calls fingers by name, never by a figure', () => {
    fc.assert(
      fc.property(anyMotion, ([from, to]) => {
        const { glance, sentence } = said(from, to);
        expect(glance.replace(/(bridge|nut|bass|treble|up|back) \d+/, '')).not.toMatch(/\d/);
        expect(sentence.replace(/, fret \d+/g, '')).not.toMatch(/\d/);
      }),
    );
  });

  it('leaves the second number out where the hand goes two courses across and a finger goes on', () => {
    const three = fingering('8-5-6-3', '4231');
    expect(said(three, fingering('6-4-4-4', '3111')).glance).toBe('↓ bass 2 · I up, I flat');
  });

  it('has a glance of an arrow and at most one number, and a sentence of whole words', () => {
    fc.assert(
      fc.property(anyMotion, ([from, to]) => {
        const { glance, sentence } = said(from, to);
        expect(glance.match(/\d+/g)?.length ?? 0).toBeLessThanOrEqual(1);
        expect(glance).toMatch(/^([→←↑↓↗↘↖↙=] \w|stay [IMRL]|hand stays)/);
        expect(Math.max(glance.length, plainGlance(glance).length)).toBeLessThanOrEqual(widestGlance);
        expect(sentence).not.toMatch(/undefined|NaN|^;|; ;|;$| {2}| $/);
      }),
    );
  });
});

describe('plainGlance', () => {
  it.each([
    ['↓ bass', 'v bass'],
    ['↖ nut 2', '<^ nut 2'],
    ['→ bridge 2', '> bridge 2'],
    ['→ bridge 2 · L R I M', '> bridge 2, L R I M'],
    ['stay L · M to D, R to A', 'stay L, M to D, R to A'],
    ['= stay', '= stay'],
  ])('%s is %s', (glance, plain) => {
    expect(plainGlance(glance)).toBe(plain);
  });

  it('has nothing but printable ASCII', () => {
    fc.assert(
      fc.property(anyMotion, ([from, to]) => {
        expect(plainGlance(said(from, to).glance)).toMatch(/^[\x20-\x7e]+$/);
      }),
    );
  });
});
