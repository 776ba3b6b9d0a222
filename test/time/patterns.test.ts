import { describe, expect, it } from 'vitest';
import type { Meter, PlayedBar } from '../../src/chart/chart.js';
import { mandolin } from '../../src/hand/instrument.js';
import { type Arrangement, type ArrangeOptions, arrange, patternOf } from '../../src/time/arrange.js';
import { type Pattern, patterns, type Stroke, strokesIn } from '../../src/time/pattern.js';
import { chart } from '../hand/charts.js';
import { key } from '../theory/reading.js';
import { score, strokes, together } from './scores.js';

function named(name: string): Pattern {
  const found = patterns.find((one) => one.name === name);
  if (!found) throw new Error(`there is no pattern ${name}`);
  return found;
}

function meter(text: string): Meter {
  const [beats, unit] = text.split('/').map(Number);
  return { beats: beats as number, unit: unit as Meter['unit'] };
}

const sides = { lowest: 'low', all: 'all', 'lower-two': 'low2', 'upper-two': 'up2' } as const;
const arrows = { down: '↓', up: '↑' } as const;

/** A stroke as `2.5↑up2 choke`: the felt beat from 1, direction, courses, ending. */
const told = ({ at, direction, courses, ending }: Stroke): string =>
  `${Number((at + 1).toFixed(2))}${arrows[direction]}${sides[courses]} ${ending}`;

/** A pattern's bar, the loudness of its strokes left out. */
const written = (name: string, text: string): string =>
  strokesIn(named(name), meter(text)).map(told).join(', ');

/** The strokes of a bar on the timeline, as `tick voice×courses length`; the courses of a stroke at one instant. */
const struck = (name: string, bars: string, bar = 0, head = {}): string[] =>
  strokes(score(bars, head, { sound: together, patternOf: () => named(name) }), bar);

describe('the built-in patterns', () => {
  it('have the names that charts call them by, the basic one first', () => {
    expect(patterns.map((one) => one.name)).toStrictEqual([
      'low-chop',
      'low-chop-up',
      'waltz',
      'cut',
      'eighths',
      'shuffle',
      'ring',
      'chop',
      'rest',
      'last-stroke',
      'last-run',
      'last-two',
    ]);
  });

  // Common practice. Places are felt beats: quarters in 4/4 and 3/4, halves in 2/2, dotted quarters in 6/8.
  it.each([
    ['low-chop', '4/4', '1↓low choke, 2↓all chop, 3↓low choke, 4↓all chop'],
    ['low-chop', '3/4', '1↓low choke, 2↓all chop, 3↓all chop'],
    ['low-chop', '2/2', '1↓low choke, 1.5↓all chop, 2↓low choke, 2.5↓all chop'],
    ['low-chop', '6/8', '1↓low choke, 1.67↓all chop, 2↓low choke, 2.67↓all chop'],

    ['low-chop-up', '4/4', '1↓low choke, 2↓all chop, 2.5↑up2 choke, 3↓low choke, 4↓all chop, 4.5↑up2 choke'],
    ['low-chop-up', '3/4', '1↓low choke, 2↓all chop, 2.5↑up2 choke, 3↓all chop, 3.5↑up2 choke'],
    [
      'low-chop-up',
      '2/2',
      '1↓low choke, 1.5↓all chop, 1.75↑up2 choke, 2↓low choke, 2.5↓all chop, 2.75↑up2 choke',
    ],
    // In 6/8 an eighth after the chop stands the next low note.
    ['low-chop-up', '6/8', '1↓low choke, 1.67↓all chop, 2↓low choke, 2.67↓all chop'],

    ['waltz', '3/4', '1↓low choke, 2↓all chop, 3↓all chop'],
    ['waltz', '4/4', '1↓low choke, 2↓all chop, 3↓all chop, 4↓all chop'],

    ['cut', '2/2', '1↓low choke, 1.5↓all chop, 2↓low choke, 2.5↓all chop'],
    ['cut', '4/4', '1↓low choke, 2↓all chop, 3↓low choke, 4↓all chop'],

    [
      'eighths',
      '4/4',
      '1↓all choke, 1.5↑up2 choke, 2↓all choke, 2.5↑up2 choke, 3↓all choke, 3.5↑up2 choke, 4↓all choke, 4.5↑up2 choke',
    ],
    ['eighths', '3/4', '1↓all choke, 1.5↑up2 choke, 2↓all choke, 2.5↑up2 choke, 3↓all choke, 3.5↑up2 choke'],
    [
      'eighths',
      '2/2',
      '1↓all choke, 1.25↑up2 choke, 1.5↓all choke, 1.75↑up2 choke, 2↓all choke, 2.25↑up2 choke, 2.5↓all choke, 2.75↑up2 choke',
    ],

    [
      'shuffle',
      '4/4',
      '1↓all choke, 1.67↑up2 choke, 2↓all choke, 2.67↑up2 choke, 3↓all choke, 3.67↑up2 choke, 4↓all choke, 4.67↑up2 choke',
    ],
    [
      'shuffle',
      '3/4',
      '1↓all choke, 1.67↑up2 choke, 2↓all choke, 2.67↑up2 choke, 3↓all choke, 3.67↑up2 choke',
    ],
    ['shuffle', '6/8', '1↓all choke, 1.67↑up2 choke, 2↓all choke, 2.67↑up2 choke'],

    ['chop', '4/4', '2↓all chop, 4↓all chop'],
    ['chop', '3/4', '2↓all chop, 3↓all chop'],
    ['chop', '2/2', '1.5↓all chop, 2.5↓all chop'],
    ['chop', '6/8', '1.67↓all chop, 2.67↓all chop'],
  ])('%s in %s', (name, text, expected) => {
    expect(written(name, text)).toBe(expected);
  });

  it.each(['4/4', '3/4', '2/2', '6/8'])('ring and rest have no strokes of their own in %s', (text) => {
    expect([written('ring', text), written('rest', text)]).toStrictEqual(['', '']);
  });

  it('stand on the six eighths of 6/8 when they are played in eighths', () => {
    expect(struck('eighths', '1', 0, { meter: '6/8' }).map((one) => Number(one.split(' ')[0]))).toStrictEqual(
      [0, 480, 960, 1440, 1920, 2400],
    );
  });
});

describe('an upstroke', () => {
  it.each(['4/4', '3/4', '2/2'])('of low-chop-up is softer than the chop before it in %s', (text) => {
    const all = strokesIn(named('low-chop-up'), meter(text));
    const ups = all.filter((one) => one.direction === 'up');
    expect(ups.length).toBe(2);
    for (const one of ups) expect(one.loudness).toBeLessThan(all[all.indexOf(one) - 1]?.loudness ?? 0);
  });

  it.each(['eighths', 'shuffle'])('of %s is softer than any downstroke, the backbeats loudest', (name) => {
    const all = strokesIn(named(name), meter('4/4'));
    const loudness = (of: (one: Stroke) => boolean): number[] => all.filter(of).map((one) => one.loudness);
    const ups = loudness((one) => one.direction === 'up');
    const backbeats = loudness((one) => one.at === 1 || one.at === 3);
    const others = loudness((one) => one.at === 0 || one.at === 2);
    expect(Math.max(...ups)).toBeLessThan(Math.min(...others));
    expect(Math.max(...others)).toBeLessThan(Math.min(...backbeats));
  });

  // At 120 a chop of 60 ms lasts 115 ticks; what is choked ends a 24th of a quarter, 40 ticks, before the next stroke.
  it.each([
    [
      '4/4',
      [
        '0 low×1 920',
        '960 chop×4 115',
        '1440 chop×2 440',
        '1920 low×1 920',
        '2880 chop×4 115',
        '3360 chop×2 440',
      ],
    ],
    ['3/4', ['0 low×1 920', '960 chop×4 115', '1440 chop×2 440', '1920 chop×4 115', '2400 chop×2 440']],
    [
      '2/2',
      [
        '0 low×1 920',
        '960 chop×4 115',
        '1440 chop×2 440',
        '1920 low×1 920',
        '2880 chop×4 115',
        '3360 chop×2 440',
      ],
    ],
  ])(
    'comes an eighth behind each chop of %s, on two courses, choked by the next stroke',
    (text, expected) => {
      expect(struck('low-chop-up', '1', 0, { meter: text })).toStrictEqual(expected);
    },
  );

  it('goes from the treble side, on the upper two courses', () => {
    const made = score('1', {}, { patternOf: () => named('low-chop-up') });
    const up = (made.notes[0] ?? []).filter(({ at, voice }) => voice === 'chop' && at >= 1440 && at < 1900);
    // 2 ms a course at 120 are 3.84 ticks; the chord sounds 62 67 71 79.
    expect(up.map(({ at, note }) => [at, note])).toStrictEqual([
      [1440, 79],
      [1443, 71],
    ]);
  });
});

describe('on the timeline', () => {
  it('a shuffle has its upstrokes at two thirds of the beat, whatever the feel', () => {
    const expected = ['0 chop×4 600', '640 chop×2 280', '960 chop×4 600', '1600 chop×2 280'];
    expect(struck('shuffle', '1', 0, { meter: '2/4' })).toStrictEqual(expected);
    expect(struck('shuffle', '1', 0, { meter: '2/4', feel: 'swing=60' })).toStrictEqual(expected);
  });

  // Swing 67: the off-beat stands at 0.67 · 960 = 643.2 ticks.
  it('eighths stand where the feel puts them, and are choked there', () => {
    expect(struck('eighths', '1', 0, { meter: '2/4' })).toStrictEqual([
      '0 chop×4 440',
      '480 chop×2 440',
      '960 chop×4 440',
      '1440 chop×2 440',
    ]);
    expect(struck('eighths', '1', 0, { meter: '2/4', feel: 'swing=67' })).toStrictEqual([
      '0 chop×4 603',
      '643 chop×2 277',
      '960 chop×4 603',
      '1603 chop×2 277',
    ]);
  });

  it('the feel may change within a pass', () => {
    const places = (bar: number): number[] =>
      struck('eighths', '1 @swing=75 4', bar, { meter: '2/4' }).map((one) => Number(one.split(' ')[0]));
    expect(places(0)).toStrictEqual([0, 480, 960, 1440]);
    expect(places(1)).toStrictEqual([0, 720, 960, 1680]);
  });

  it('the feel does not move eighths that divide a dotted quarter or a half', () => {
    for (const text of ['6/8', '2/2'])
      expect(struck('eighths', '1', 0, { meter: text, feel: 'swing=67' })).toStrictEqual(
        struck('eighths', '1', 0, { meter: text }),
      );
  });

  it.each([
    ['two chords', '(1 4)', 0, ['0 chop×4 1880', '1920 chop×4 1880']],
    ['one chord', '1 4', 0, ['0 chop×4 3800']],
    ['a chord before an early one', "1 '4", 0, ['0 chop×4 3320']],
    ['an early chord', "1 '4", 1, ['-480 chop×4 4280']],
    ['a chord that is stopped', '1! 4', 0, ['0 chop×4 115']],
    ['no chord', 'nc 4', 0, []],
  ])('ring strikes once a change and lets it ring to the next: %s', (_, bars, bar, expected) => {
    expect(struck('ring', bars, bar)).toStrictEqual(expected);
  });

  it.each([
    ['on 1', '1 4', 0, ['960 chop×4 115', '2880 chop×4 115']],
    ['on 1 and 3', '(1 4)', 0, ['960 chop×4 115', '2880 chop×4 115']],
    ['between the beats', '(1 1 1 4 4 4 4 5)', 0, ['960 chop×4 115', '2880 chop×4 115']],
    ['early', "1 '4", 1, ['960 chop×4 115', '2880 chop×4 115']],
  ])('chop adds no stroke for a chord that comes %s', (_, bars, bar, expected) => {
    expect(struck('chop', bars, bar)).toStrictEqual(expected);
  });

  it('rest leaves out what rings and what is stopped too, but not the bass', () => {
    const made = score('1 4~ 5! (1 4)', {}, { patternOf: () => named('rest') });
    expect([0, 1, 2, 3].flatMap((bar) => strokes(made, bar))).toStrictEqual([]);
    expect(made.notes.map((notes) => notes.length)).toStrictEqual([2, 1, 1, 2]);
  });

  it('a chord that comes where a pattern has no stroke is struck as the pattern strikes changes', () => {
    // Of sixteen chords the sixth comes at 1200 ticks, between the strokes of all of these.
    const sixteen = `(${Array.from({ length: 16 }, (_, at) => (at < 5 ? '1' : '4')).join(' ')})`;
    const sixth = (name: string): string | undefined =>
      struck(name, sixteen).find((one) => one.startsWith('1200 '));
    expect([sixth('low-chop'), sixth('eighths'), sixth('shuffle')]).toStrictEqual([
      '1200 chop×4 115',
      '1200 chop×4 200',
      '1200 chop×4 200',
    ]);
  });

  it('may differ from bar to bar', () => {
    const patternFor = (bar: PlayedBar): Pattern => named(bar.cells.length === 1 ? 'shuffle' : 'chop');
    const made = score('1 (1 4)', {}, { sound: together, patternOf: patternFor });
    expect([strokes(made, 0).length, strokes(made, 1).length]).toStrictEqual([8, 2]);
  });
});

describe('patternOf', () => {
  const form = 'V, V (me), V (me: ring), V (fiddle), V (fiddle: shuffle), V (: eighths)';
  const names = (
    head: Record<string, string> = {},
    options: Pick<ArrangeOptions, 'pattern' | 'patterns'> = {},
  ): string[] => {
    const made = chart('1', { form, ...head });
    return made.form.map((_, entry) => patternOf(made, { entry }, options).name);
  };

  it.each<[string, Record<string, string>, Pick<ArrangeOptions, 'pattern'>, string]>([
    ['nothing is said', {}, {}, 'low-chop rest ring low-chop shuffle eighths'],
    ['the chart has one', { pattern: 'waltz' }, {}, 'waltz rest ring waltz shuffle eighths'],
    ['one is chosen', {}, { pattern: named('chop') }, 'chop rest ring chop shuffle eighths'],
    [
      'one is chosen over the chart’s',
      { pattern: 'waltz' },
      { pattern: named('cut') },
      'cut rest ring cut shuffle eighths',
    ],
    ['nobody knows the chart’s', { pattern: 'bark' }, {}, 'low-chop rest ring low-chop shuffle eighths'],
  ])('where %s', (_, head, options, expected) => {
    expect(names(head, options).join(' ')).toBe(expected);
  });

  it('takes the basic one for an entry’s that nobody knows, whatever was chosen', () => {
    const made = chart('1', { form: 'V (me: bark), V', pattern: 'waltz' });
    const options = { pattern: named('cut') };
    expect(made.form.map((_, entry) => patternOf(made, { entry }, options).name)).toStrictEqual([
      'low-chop',
      'cut',
    ]);
  });

  it('finds the user’s own by name, before a built-in one of the same name', () => {
    const own: Pattern = { ...named('ring'), name: 'osier', says: 'your own' };
    const other: Pattern = { ...own, name: 'shuffle' };
    const made = chart('1', { form: 'V (: osier), V (: shuffle), V', pattern: 'osier' });
    const options = { patterns: [own, other] };
    expect(made.form.map((_, entry) => patternOf(made, { entry }, options))).toStrictEqual([own, other, own]);
  });
});

describe('arrange', () => {
  const arranged = (form: string, head = {}, options: Partial<ArrangeOptions> = {}): Arrangement =>
    arrange(chart('1', { form, ...head }), {
      key: key('G'),
      instrument: mandolin,
      share: 1,
      sound: together,
      ...options,
    });
  const voicesOf = (of: Arrangement, bar: number): string[] => [
    ...new Set((of.score.notes[bar] ?? []).map((note) => note.voice)),
  ];

  it('lets the rhythm part rest where this player leads, and the bass go on', () => {
    const made = arranged('V, V (me), V (fiddle)');
    expect([0, 1, 2].map((bar) => voicesOf(made, bar))).toStrictEqual([
      ['bass', 'low', 'chop'],
      ['bass'],
      ['bass', 'low', 'chop'],
    ]);
    // The hand is planned all the same: what is played there may be needed at any moment.
    expect(arranged('V (me)').changeAt).toStrictEqual([[0]]);
  });

  it('strikes a bar by its entry’s own pattern', () => {
    const made = arranged('V, V (me: ring), V (fiddle: shuffle), V (: chop)');
    expect([0, 1, 2, 3].map((bar) => strokes(made.score, bar).length)).toStrictEqual([4, 1, 8, 2]);
    expect(strokes(made.score, 1)[0]).toMatch(/^0 chop×\d 3800$/);
  });

  it('strikes by the chart’s pattern, and by the one that is chosen over it', () => {
    expect(strokes(arranged('V', { pattern: 'eighths' }).score, 0)).toHaveLength(8);
    const chosen = arranged('V, V (: ring)', { pattern: 'eighths' }, { pattern: named('chop') });
    expect([strokes(chosen.score, 0).length, strokes(chosen.score, 1).length]).toStrictEqual([2, 1]);
  });

  it('strikes by a pattern of the user’s own', () => {
    const own: Pattern = {
      name: 'osier',
      says: 'your own',
      meters: {
        '4/4': [{ at: 1.5, direction: 'up', courses: 'lower-two', ending: 'ring', loudness: 50 }],
      },
      other: 'basic',
      change: null,
    };
    const made = arranged('V', { pattern: 'osier' }, { patterns: [own] });
    expect(strokes(made.score, 0)).toStrictEqual(['1440 chop×2 2360']);
    const inThree = arranged('V', { pattern: 'osier', meter: '3/4' }, { patterns: [own] });
    expect(strokes(inThree.score, 0).map((one) => one.split(' ')[0])).toStrictEqual(['0', '960', '1920']);
  });

  it('strikes the final pass by the same patterns', () => {
    const made = arrange(chart('1 [last 4 ]', { form: 'V (: ring)' }), {
      key: key('G'),
      instrument: mandolin,
      share: 1,
      sound: together,
    });
    const final = made.final?.score;
    expect(final ? [strokes(final, 0).length, strokes(final, 1).length] : []).toStrictEqual([1, 1]);
  });
});

describe('the pattern that rings', () => {
  const ring = patterns.find((one) => one.name === 'ring');
  if (!ring) throw new Error('there is no pattern that rings');
  const rings = (written: string): string[] => {
    const made = score(written, {}, { sound: together, patternOf: () => ring });
    return made.notes.flatMap((notes, bar) =>
      notes
        .filter((note) => note.voice === 'chop' && note.note === 62)
        .map((note) => `bar ${bar + 1}: ${note.at} ${note.length}`),
    );
  };

  it('strikes once a change, and sounds to the next one over bars in which the chord is held', () => {
    // 40 ticks before the next stroke a note ends.
    expect(rings('1 = = 4')).toEqual(['bar 1: 0 11480', 'bar 4: 11520 3800']);
    expect(rings('1 1 (1 4)')).toEqual(['bar 1: 0 9560', 'bar 3: 9600 1880']);
  });

  it('strikes again what is marked to be struck', () => {
    expect(rings('1 1~')).toEqual(['bar 1: 0 3800', 'bar 2: 3840 3800']);
    expect(rings("1 '1")).toEqual(['bar 1: 0 3320', 'bar 2: 3360 4280']);
  });
});
