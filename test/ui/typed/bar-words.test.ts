import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { partNames } from '../../../src/band/parts.js';
import { usualNeck } from '../../../src/hand/neck-sight.js';
import { passViewAt } from '../../../src/playback/pass-view.js';
import type { Performance } from '../../../src/playback/performance.js';
import { parseKey } from '../../../src/theory/key.js';
import { usualSight } from '../../../src/ui/state/sight.js';
import { barWords, headWords, type Told } from '../../../src/ui/typed/bar-words.js';
import { capoWords, type PartTold } from '../../../src/ui/typed/part-words.js';
import { chartOf } from '../../chart/written.js';
import { demoText, standingText } from '../model.js';
import { stumblesIn } from './signs.js';

const alone: Told = { sight: usualSight, neck: usualNeck };
const inBand = (part: PartTold['part'], more: Partial<PartTold> = {}): Told => ({
  ...alone,
  band: { part, name: 'Ansa', capo: null, leads: false, ...more },
});

/** A chart on a stand in a key; its own where none is named. */
function performanceOf(text: string, key?: string): Performance {
  const { performance } = standingText(
    text.replace(/^key: .*/m, (own) => (key ? `key: ${key}` : own)),
  ).session;
  if (!performance) throw new Error('nothing is on the stand');
  return performance;
}

/** The bars of a pass in words. */
function barsOf(performance: Performance, told: Told): readonly string[] {
  const bars = passViewAt(performance, 1)?.bars ?? [];
  return bars.map((_, bar) => barWords(performance, 1, bar, told));
}

describe('a bar in words', () => {
  it.each([
    ['1', undefined, 'pass 1 bar 1: 1, A, frets 9 7 4 5'],
    ['1~', 'Bb', 'pass 1 bar 1: 1, B flat, ringing, frets 10 8 5 6'],
    ['nc', undefined, 'pass 1 bar 1: no chord'],
    [
      "1 '4!",
      undefined,
      'pass 1 bar 2: 4, D, early, stopped, frets 7 4 5 x, same frets, one course to the bass side, little lifts',
    ],
    [
      '1 "slow here" 4',
      'F#',
      'pass 1 bar 2: 4, B, frets 4 1 2 x, same frets, one course to the bass side, little lifts; "slow here"',
    ],
  ])('%s in %s', (bars, key, wanted) => {
    const told = barsOf(performanceOf(chartOf(bars), key), alone);
    expect(told.find((line) => line.startsWith(wanted.slice(0, 12)))).toContain(wanted);
  });

  it('says at the beginning of a loop how the hand gets there from its end', () => {
    const { setup, ...rest } = performanceOf(chartOf('1 1 4 1'), 'D');
    const performance = { ...rest, setup: { ...setup, range: { from: 1, to: 3 } } };
    expect(barWords(performance, 1, 2, alone)).toContain('4, G, frets 7 5 2 3');
    expect([1, 2].map((pass) => barWords(performance, pass, 1, alone))).toEqual([
      'pass 1 bar 2: 1, D, frets 7 4 5 x',
      // From 7-5-2-3: the middle finger was on the third fret of the E course, the ring finger on the fifth of the D.
      'pass 2 bar 2: 1, D, frets 7 4 5 x, little stays, middle to the D course, one fret toward the bridge, ring to the A course, index lifts',
    ]);
  });

  it('says that the tempo falls, and to where', () => {
    const told = barsOf(performanceOf(chartOf('1 4 @rit=80% 5 1')), alone);
    expect(told.at(-1)).toMatch(/; slowing to 80 percent$/);
  });

  it('has for a part of a band what it plays and sings, and when its break comes', () => {
    const song = performanceOf(
      'title: Tin Heron\nkey: Bb\nform: V, V (guitar)\nsections:\n  V: |\n    > Down by the reeds\n    1 4 5 1\n',
    );
    const first = (told: Told): string => barWords(song, 1, 0, told);
    expect(first(inBand('guitar', { capo: 3 }))).toBe(
      'pass 1 bar 1: 1, B flat, plays G; sung "Down by the reeds"; your break in 4 bars',
    );
    expect(first(inBand('guitar', { capo: 1 }))).toContain('1, B flat, plays A;');
    expect(first(inBand('bass'))).toMatch(
      /^pass 1 bar 1: 1, B flat; bass B flat, F; sung "Down by the reeds"/,
    );
    expect(first(inBand('singer'))).toBe('pass 1 bar 1: sung "Down by the reeds"; 1, B flat');
    expect(first(inBand('mandolin'))).toContain('frets 10 8 5 6');
    expect(barWords(song, 1, 4, inBand('guitar', { capo: 3 }))).toMatch(/; your break$/);
    expect(barWords(song, 1, 4, inBand('fiddle', { name: 'guitar' }))).toMatch(/; your break$/);
  });
});

describe('the capo of a part', () => {
  it.each([
    ['guitar', 'A', ['capo 2: shapes of G']],
    ['guitar', 'G', ['no capo: shapes of G']],
    ['banjo', 'F#', ['capo 4: shapes of D; fifth string tuned down to F sharp']],
    ['banjo', 'A', ['capo 2: shapes of G; fifth string at 7']],
    ['mandolin', 'A', []],
  ] as const)('%s in %s', (part, text, wanted) => {
    const key = parseKey(text);
    if (!key.ok) throw new Error(text);
    expect(capoWords(key.value, { part, capo: null })).toEqual(wanted);
  });
});

const demos = readdirSync(new URL('../../../charts', import.meta.url))
  .filter((name) => name.endsWith('.yaml') && name !== 'osier-lock-gathering.yaml')
  .map((name) => name.replace('.yaml', ''));

describe.each(demos)('what is told of the demo chart %s', (name) => {
  it.each(['Bb', 'F#', 'E'])(
    'has no sign that a screen reader stumbles over, for any part: a tone of %s',
    (tonic) => {
      const own = performanceOf(demoText(name)).setup.key;
      const song = performanceOf(demoText(name), own.mode === 'minor' ? `${tonic}m` : tonic);
      expect(song.setup.key.mode).toBe(own.mode);
      const lines = [
        headWords(song.setup),
        ...barsOf(song, alone),
        ...partNames.flatMap((part) => [
          ...capoWords(song.setup.key, { part, capo: null }),
          ...barsOf(song, inBand(part)),
        ]),
      ];
      expect(lines.length).toBeGreaterThan(7 * 16);
      for (const line of lines) expect(stumblesIn(line), line).toEqual([]);
    },
  );
});
