import { describe, expect, it } from 'vitest';
import { mandolin } from '../../src/hand/instrument.js';
import { noteName } from '../../src/theory/pitch.js';
import { type ArrangeOptions, arrange } from '../../src/time/arrange.js';
import { patterns } from '../../src/time/pattern.js';
import type { Score } from '../../src/time/score.js';
import { chart } from '../hand/charts.js';
import { key } from '../theory/reading.js';
import { strokes, together } from './scores.js';

const arranged = (form: string, written: string, head = {}, options: Partial<ArrangeOptions> = {}): Score =>
  arrange(chart(written, { form, ...head }), {
    key: key('G'),
    instrument: mandolin,
    share: 1,
    sound: together,
    ...options,
  }).score;

/** Strokes without their lengths and courses: `tick voice`. */
const struck = (of: Score, bar: number): string =>
  strokes(of, bar)
    .map((one) => one.replace(/×\d \d+$/, ''))
    .join(', ');

/** The bass as `quarter note`, quarters from 1. */
const bass = (of: Score, bar: number): string =>
  (of.notes[bar] ?? [])
    .filter(({ voice }) => voice === 'bass')
    .map(
      ({ at, note }) =>
        `${Number(((at - (of.bars[bar]?.start ?? 0)) / 960 + 1).toFixed(2))} ${noteName(note)}`,
    )
    .join(', ');

const plain = '0 low, 960 chop, 1920 low, 2880 chop';

describe('an ending', () => {
  // Common practice, in G and in four: the last stroke with the band on 1; G A B♭ B D E G in eighths with a stroke where it
  // arrives, on 4; a rest on 1 and two strokes on 2 and 3, below them D and G.
  it.each([
    ['last-stroke', '0 chop', '1 G'],
    ['last-run', '0 chop, 2880 chop', '1 G, 1.5 A, 2 Bb, 2.5 B, 3 D, 3.5 E, 4 G'],
    ['last-two', '960 chop, 1920 chop', '2 D, 3 G'],
  ])('%s is played in the last bar of its entry alone', (name, last, low) => {
    const made = arranged(`V, V (: ${name}) x2`, '5 1');
    expect([0, 1, 2, 3, 4].map((bar) => struck(made, bar))).toStrictEqual(Array(5).fill(plain));
    expect(struck(made, 5)).toBe(last);
    expect(bass(made, 5)).toBe(low);
  });

  it('rings at its last stroke, and stops at once in the answer', () => {
    const lengths = (name: string): string[] =>
      strokes(arranged(`V (: ${name})`, '5 1'), 1).map((one) => one.split(' ')[2] ?? '');
    // A chop of 60 ms lasts 115 ticks at 120; what rings ends 40 ticks before the bar does.
    expect(lengths('last-stroke')).toStrictEqual(['3800']);
    expect(lengths('last-run')).toStrictEqual(['115', '920']);
    expect(lengths('last-two')).toStrictEqual(['115', '115']);
  });

  // Places in quarters; in 6/8 the second dotted quarter begins at 2.5.
  it.each([
    ['3/4', '1 G, 2 D, 2.5 E, 3 G', '2 D, 3 G'],
    ['2/4', '1 D, 1.5 E, 2 G', '2 D, 2.5 G'],
    ['2/2', '1 G, 1.5 A, 2 Bb, 2.5 B, 3 D, 3.5 E, 4 G', '2 D, 3 G'],
    ['6/8', '1 G, 1.5 D, 2 E, 2.5 G', '2 D, 2.5 G'],
  ])('fits a bar of %s', (meter, run, two) => {
    expect(bass(arranged('V (: last-run)', '5 1', { meter }), 1)).toBe(run);
    expect(bass(arranged('V (: last-two)', '5 1', { meter }), 1)).toBe(two);
  });

  it('runs in minor on a minor chord', () => {
    const made = arranged('V (: last-run)', '5 1-', { key: 'Gm' }, { key: key('Gm') });
    expect(bass(made, 1)).toBe('1 G, 1.5 A, 2 Bb, 2.5 C, 3 D, 3.5 F, 4 G');
  });

  it('has no run in a bar that is shared, nor in one too short: each chord is struck once', () => {
    const shared = arranged('V (: last-run)', '1 (5 1)');
    expect([struck(shared, 1), bass(shared, 1)]).toStrictEqual(['0 chop, 1920 chop', '1 D, 3 G']);
    const short = arranged('V (: last-run)', '1 (1.)', { crooked: 'yes' });
    expect([struck(short, 1), bass(short, 1)]).toStrictEqual(['0 chop', '1 G']);
  });

  it('goes before what the chart marks at its chord, and is silent without one', () => {
    expect(struck(arranged('V (: last-two)', '5 1~'), 1)).toBe('960 chop, 1920 chop');
    const none = arranged('V (: last-two)', '5 nc');
    expect([struck(none, 1), bass(none, 1)]).toStrictEqual(['', '']);
  });

  it('is played in the last bar of the pass where the chart or the player has it', () => {
    const ending = patterns.find(({ name }) => name === 'last-two');
    for (const made of [
      arranged('V, V', '5 1', { pattern: 'last-two' }),
      arranged('V, V', '5 1', {}, ending ? { pattern: ending } : {}),
    ])
      expect([0, 1, 2, 3].map((bar) => struck(made, bar))).toStrictEqual([
        plain,
        plain,
        plain,
        '960 chop, 1920 chop',
      ]);
  });

  it('leaves the bars before it as they would be without it', () => {
    const made = arranged('V (: last-stroke)', '5 1', { pattern: 'chop' });
    expect([struck(made, 0), struck(made, 1)]).toStrictEqual(['960 chop, 2880 chop', '0 chop']);
    // Where the player leads the rhythm part rests until the end.
    expect(struck(arranged('V (me: last-stroke)', '5 1'), 0)).toBe('');
  });
});

describe('a kick-off', () => {
  it.each(['kickoff', 'Kickoff', 'kick-off', 'Kick off'])(
    '%s is bass alone, until the band comes in',
    (name) => {
      const made = chart('1 4', { form: 'V' });
      const called = {
        ...made,
        sections: made.sections.map((one) => ({ ...one, name })),
        form: [...made.form.map((one) => ({ ...one, section: name }))],
      };
      const { score } = arrange(called, { key: key('G'), instrument: mandolin, share: 1 });
      expect(score.notes.flat().map(({ voice }) => voice)).toStrictEqual(['bass', 'bass', 'bass', 'bass']);
    },
  );

  it('is struck only by a pattern of its own, whatever is chosen', () => {
    const made = chart('1', { form: 'V' });
    const voices = (pattern: string | null): number => {
      const called = {
        ...made,
        sections: made.sections.map((one) => ({ ...one, name: 'kickoff' })),
        form: made.form.map((one) => ({ ...one, section: 'kickoff', pattern })),
      };
      const [, chosen] = patterns;
      const options = {
        key: key('G'),
        instrument: mandolin,
        share: 1,
        ...(chosen ? { pattern: chosen } : {}),
      };
      return arrange(called, options)
        .score.notes.flat()
        .filter(({ voice }) => voice !== 'bass').length;
    };
    expect(voices(null)).toBe(0);
    expect(voices('low-chop')).toBeGreaterThan(0);
  });
});

describe('a level', () => {
  const loudest = (form: string): Record<string, number> => {
    const made = arranged(form, '1');
    const of = (voice: string): number =>
      Math.max(
        ...(made.notes[0] ?? []).filter((note) => note.voice === voice).map(({ velocity }) => velocity),
      );
    return { bass: of('bass'), low: of('low'), chop: of('chop') };
  };

  // 65, 115 and 130 percent of 92, 84 and 96.
  it.each([
    ['V', { bass: 92, low: 84, chop: 96 }],
    ['V (soft)', { bass: 60, low: 55, chop: 62 }],
    ['V (banjo, up)', { bass: 106, low: 97, chop: 110 }],
    ['V (full)', { bass: 120, low: 109, chop: 125 }],
  ])('is heard: %s', (form, expected) => {
    expect(loudest(form)).toStrictEqual(expected);
  });

  it('never goes beyond what MIDI can say', () => {
    const made = arranged('V (full, walk)', '1 5', { pattern: 'last-stroke' });
    const all = made.notes.flat().map(({ velocity }) => velocity);
    expect(Math.max(...all)).toBe(127);
    expect(Math.min(...all)).toBeGreaterThanOrEqual(1);
  });
});
