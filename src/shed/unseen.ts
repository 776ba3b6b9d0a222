import { type Key, keyName } from '../theory/key.js';
import { oneOf, seeded } from './seeded.js';
import type { UnseenLevel } from './unseen-levels.js';

/** What an unseen chart is made from. The same wishes make the same chart. */
export interface UnseenWishes {
  readonly seed: number;
  readonly key: Key;
  readonly level: UnseenLevel;
  readonly bpm: number;
}

/*
 * The rules, common practice of songs of this kind: a phrase is four bars and sets out from home; it goes away by chords
 * that lead from home (4, 6-, 2-), and ends open, on 5, or closed, on 5 and 1; phrases answer each other, open then closed; a section is
 * two or four phrases; verse and chorus differ in how they set out. Harder levels have more chords to go away by,
 * shared bars, chords that lead to others (2^7 to 5), early chords, stops, bars too few or too many, and another key.
 */
interface Words {
  readonly away: readonly string[];
  readonly beforeFive: readonly string[];
  readonly sharedBars: number;
  readonly sevenths: number;
  readonly early: number;
  readonly odd: number;
  readonly keyChange: number;
}

const words: Readonly<Record<UnseenLevel, Words>> = {
  easy: { away: ['4'], beforeFive: ['1', '4'], sharedBars: 0, sevenths: 0, early: 0, odd: 0, keyChange: 0 },
  fair: {
    away: ['4', '4', '6-', '2-'],
    beforeFive: ['4', '2-', '6-'],
    sharedBars: 0.1,
    sevenths: 0.2,
    early: 0,
    odd: 0,
    keyChange: 0,
  },
  hard: {
    away: ['4', '6-', '2-', 'b7', '3-', '4-'],
    beforeFive: ['2^7', '4', '2-', '6-'],
    sharedBars: 0.25,
    sevenths: 0.35,
    early: 0.06,
    odd: 0,
    keyChange: 0,
  },
  wicked: {
    away: ['4', '6-', '2-', 'b7', '3^7', '4-', 'b6', '6^7', 'b3'],
    beforeFive: ['2^7', 'b6', '4-', '2-^7b5'],
    sharedBars: 0.35,
    sevenths: 0.4,
    early: 0.12,
    odd: 0.2,
    keyChange: 0.6,
  },
};

/** The text of a chart that nobody has seen; it always reads back. In minor keys home is `1-`. */
export function unseenChart({ seed, key, level, bpm }: UnseenWishes): string {
  const random = seeded(seed);
  const rule = words[level];
  const home = key.mode === 'minor' ? '1-' : '1';
  const waltz = level !== 'easy' && random() < 0.15;
  const make = (setsOut: boolean): string[] => section(rule, home, setsOut, random);
  const lines = { V: make(false), C: make(true) };
  const form = oneOf(['V, C, V, C', 'V x2, C, V, C', 'V, C, V, C x2', 'V, V, C, V'], random);
  const changes = random() < rule.keyChange;
  const last = changes ? ', lift' : '';
  const lift = changes
    ? ['  lift: |', `    @key+2 ${lines.C[0]}`, ...lines.C.slice(1).map((line) => `    ${line}`)]
    : [];
  return [
    `title: Unseen ${seed}, ${level}`,
    `key: ${keyName(key)}`,
    `tempo: ${bpm}`,
    `meter: ${waltz ? '3/4' : '4/4'}`,
    ...(rule.odd > 0 ? ['crooked: yes'] : []),
    `form: ${form}${last}`,
    'sections:',
    '  V: |',
    ...lines.V.map((line) => `    ${line}`),
    '  C: |',
    ...lines.C.map((line) => `    ${line}`),
    ...lift,
    '',
  ].join('\n');
}

function section(rule: Words, home: string, setsOut: boolean, random: () => number): string[] {
  const phrases = random() < 0.5 ? 2 : 4;
  return Array.from({ length: phrases }, (_, index) => {
    const closed = index % 2 === 1;
    return phrase(rule, home, setsOut && index === 0, closed, random).join(' ');
  });
}

/** Four bars: where it sets out, where it goes, and an open or closed end. */
function phrase(
  rule: Words,
  home: string,
  setsOut: boolean,
  closed: boolean,
  random: () => number,
): string[] {
  const first = setsOut ? oneOf(rule.away, random) : home;
  const second = random() < 0.5 ? first : oneOf([home, ...rule.away], random);
  const five = random() < rule.sevenths ? '5^7' : '5';
  const bars = closed
    ? [first, second, shared(rule, oneOf(rule.beforeFive, random), five, random), home]
    : [first, second, oneOf([...rule.away, ...rule.beforeFive], random), five];
  const marked = bars.map((bar) => (random() < rule.early && !bar.startsWith('(') ? `'${bar}` : bar));
  if (random() >= rule.odd) return marked;
  // A bar too many: the singer holds the last one.
  return [...marked, '='];
}

/** The way to 5 and 5 itself: in one bar where the level has shared bars, else the bar is 5. */
function shared(rule: Words, before: string, five: string, random: () => number): string {
  return random() < rule.sharedBars ? `(${before} ${five})` : five;
}
