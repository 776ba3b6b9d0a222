import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fingering } from '../../src/hand/fingering.js';
import { mandolin } from '../../src/hand/instrument.js';
import { motion } from '../../src/hand/motion.js';
import { type Prompt, plainGlance, prompt } from '../../src/hand/prompt.js';
import { stockFingerings, stockShapes } from '../../src/hand/stock.js';
import { fingering, moved } from './shapes.js';

const g = fingering('7-5-2-3', '4312');
const c = fingering('5-2-3-x', '312x');
const d = fingering('7-4-5-x', '312x');
const dByLittle = fingering('7-4-5-x', '423x');
const said = (from: Fingering, to: Fingering): Prompt => prompt(motion(from, to, mandolin));

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
      '1 to 5, four-finger',
      g,
      dByLittle,
      'stay: little',
      'little stays; middle one fret toward the bridge and two courses to the bass side; ring one course to the treble side; index lifts',
    ],
    [
      'major to minor',
      g,
      fingering('7-5-1-3', '4312'),
      'stay: middle ring little',
      'middle, ring and little stay; index one fret toward the nut',
    ],
    [
      'no move shared',
      c,
      dByLittle,
      '↗ new shape',
      'middle one fret toward the bridge and one course to the bass side; ring two courses to the treble side; index lifts',
    ],
  ])('%s', (_, from, to, glance, sentence) => {
    expect(said(from, to).glance).toBe(glance);
    expect(said(from, to).sentence).toContain(sentence);
  });

  it('says the way from 1 to 4 of the three-finger family', () => {
    expect(said(d, g).glance).toBe('↖ nut 2');
    expect(said(d, g).sentence).toMatch(
      /^two frets toward the nut, one course to the treble side; little lands/,
    );
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
        expect(glance.replace(/(bridge|nut|bass|treble) \d+$/, '')).not.toMatch(/\d/);
        expect(sentence.replace(/, fret \d+/g, '')).not.toMatch(/\d/);
      }),
    );
  });

  it('has a glance of an arrow and at most one number, and a sentence of whole words', () => {
    fc.assert(
      fc.property(anyMotion, ([from, to]) => {
        const { glance, sentence } = said(from, to);
        expect(glance.match(/\d+/g)?.length ?? 0).toBeLessThanOrEqual(1);
        expect(glance).toMatch(/^([→←↑↓↗↘↖↙*=] \w|stay: )/);
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
    ['↗ new shape', '^> new shape'],
    ['stay: little', 'stay: little'],
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
