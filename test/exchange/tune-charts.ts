import fc from 'fast-check';
import type { Chart } from '../../src/chart/chart.js';
import { playedTune } from '../../src/chart/tune/play-tune.js';
import { soundingNotes } from '../../src/chart/tune/sounding.js';
import { partsPerQuarter } from '../../src/chart/tune/tune.js';
import { unroll } from '../../src/chart/unroll.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { numbersFrom } from '../chart/tune-generated.js';

/*
 * Tunes as somebody would write them in ABC: repeats, endings, pick-ups that bars make room for, ties, tuplets, broken rhythm,
 * accidentals, changes of key.
 */

const pitches = "C D E F G A B c d e f g a b G, A, B, c'".split(' ');
const keys = ['G', 'D', 'A', 'C', 'F', 'Bb', 'Am', 'Em', 'Ador', 'Dmix', 'Edor', 'Eb', 'Bm'];
const meters = [
  ['4/4', 8],
  ['2/2', 8],
  ['6/8', 6],
  ['3/4', 6],
  ['2/4', 4],
] as const;

type Next = (below: number) => number;

function pick<T>(from: readonly T[], next: Next): T {
  return from[next(from.length)] as T;
}

function note(next: Next): string {
  return (next(9) === 0 ? pick(['^', '_', '='], next) : '') + pick(pitches, next);
}

/** Notes that last so many eighths. */
function notes(eighths: number, next: Next): string {
  let text = '';
  let left = eighths;
  while (left > 0) {
    const kind = next(10);
    const some = (most: number): number => 1 + next(Math.min(left, most));
    if (kind === 0 && left >= 2) {
      text += `(3${note(next)}${note(next)}${note(next)}`;
      left -= 2;
    } else if (kind === 1 && left >= 2) {
      text += note(next) + pick(['>', '<', '>>'], next) + note(next);
      left -= 2;
    } else if (kind === 2) {
      const length = some(3);
      text += `z${length}`;
      left -= length;
    } else if (kind === 3) {
      text += `${note(next)}/2${note(next)}/`;
      left -= 1;
    } else if (kind === 4 && left >= 3) {
      const tied = note(next);
      text += `${tied}2-${tied.replace(/[\^_=]/, '')}`;
      left -= 3;
    } else {
      const length = some(4);
      text += `${note(next)}${length}`;
      left -= length;
    }
    if (next(3) === 0) text += ' ';
  }
  return text;
}

function bar(eighths: number, next: Next): string {
  const chord = (): string => `"${pick(['G', 'D', 'C', 'Am', 'Em', 'A7'], next)}"`;
  if (eighths === 8 && next(2) === 0) return `${chord()}${notes(4, next)} ${chord()}${notes(4, next)}`;
  return chord() + notes(eighths, next);
}

/** A tune in ABC out of a seed. */
export function abcTune(seed: number): string {
  const next = numbersFrom(seed);
  const [meter, full] = pick(meters, next);
  const head = `X:1\nT:tune ${seed}\nM:${meter}\nL:1/8\nQ:1/4=120\nK:${pick(keys, next)}`;
  const count = 1 + next(3);
  const ahead = next(2) === 0 ? 0 : 1 + next(2);
  const parts = Array.from({ length: count }, () => {
    const pickup = ahead === 0 ? '' : `${notes(ahead, next)} | `;
    const body = [1, 2, 3].map(() => bar(full, next)).join(' | ');
    const kind = ahead === 0 ? next(4) : count === 1 ? next(3) : next(2);
    const changes = next(6) === 0 ? `[K:${pick(['G', 'D', 'A'], next)}]` : '';
    if (kind === 0) return `|: ${pickup}${body} | ${bar(full - ahead, next)} :|`;
    if (kind === 1)
      return `|: ${pickup}${changes}${body} |1 ${bar(full - ahead, next)} :|2 ${bar(full - ahead, next)} ||`;
    if (kind === 2) return `${pickup}|: ${body} | ${bar(full, next)} :|`;
    return `${changes}${body} | ${bar(full, next)} ||`;
  });
  return `${[head, ...parts].join('\n')}\n`;
}

/** The chart that is made of the only tune of an ABC text. */
export function chartOfAbc(text: string): Chart {
  const [tune] = abcTunes(text);
  if (!tune) throw new Error('no tune');
  return chartFromSheet(readAbc(tune).sheet).chart;
}

export const seededTunes = fc.integer({ min: 1, max: 2 ** 31 }).map(abcTune);

/** The notes of a chart's final pass as they sound: quarters from the first note, how long, MIDI number. */
export function sounds(chart: Chart): readonly string[] {
  const { bars } = unroll(chart, { final: true });
  const found = soundingNotes(playedTune(chart, bars, { home: chart.key }), bars);
  const from = found[0]?.at ?? 0;
  const quarters = (parts: number): string => (parts / partsPerQuarter).toFixed(4);
  return found.map(({ at, parts, pitch }) => `${quarters(at - from)}+${quarters(parts)}:${pitch}`);
}
