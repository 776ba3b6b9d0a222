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
 * Tunes as somebody would write them in ABC: repeats, endings, pick-ups that bars make room for, ties within bars, over bar lines
 * and into endings, tuplets of two to nine notes, broken rhythm, rests, accidentals, changes of key and meter.
 */

const pitches = "C D E F G A B c d e f g a b G, A, B, c'".split(' ');
const keys = ['G', 'D', 'A', 'C', 'F', 'Bb', 'Am', 'Em', 'Ador', 'Dmix', 'Edor', 'Eb', 'Bm'];
const meters = [
  ['4/4', 8],
  ['2/2', 8],
  ['6/8', 6],
  ['3/4', 6],
  ['2/4', 4],
  ['9/8', 9],
  ['5/4', 10],
] as const;

type Next = (below: number) => number;

function pick<T>(from: readonly T[], next: Next): T {
  return from[next(from.length)] as T;
}

function note(next: Next): string {
  return (next(9) === 0 ? pick(['^', '_', '='], next) : '') + pick(pitches, next);
}

/** Notes that last so many eighths; with a note that is tied to the first, and one that is tied to what comes, by their names. */
function notes(eighths: number, next: Next, { from = '', to = '' } = {}): string {
  let text = '';
  let left = eighths - (to === '' ? 0 : 1);
  if (from !== '') {
    const length = 1 + next(left);
    text += `${from}${length}`;
    left -= length;
  }
  while (left > 0) {
    const kind = next(12);
    const some = (most: number): number => 1 + next(Math.min(left, most));
    if (kind === 0 && left >= 2) {
      text += `(3${note(next)}${note(next)}${note(next)}`;
      left -= 2;
    } else if (kind === 1 && left >= 2) {
      text += note(next) + pick(['>', '<', '>>', '<<<'], next) + note(next);
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
      text += `${tied}2-${bare(tied)}`;
      left -= 3;
    } else if (kind === 5) {
      const count = 2 + next(8);
      const time = some(4);
      const rest = next(4) === 0 ? next(count) : -1;
      const all = Array.from({ length: count }, (_, index) => (index === rest ? 'z' : note(next)));
      text += `(${count}:${time}:${count}${all.join('')}`;
      left -= time;
    } else if (kind === 6 && left >= 2) {
      text += `(3:2:2${note(next)}2${note(next)}`;
      left -= 2;
    } else {
      const length = some(4);
      text += `${note(next)}${length}`;
      left -= length;
    }
    if (next(3) === 0) text += ' ';
  }
  return to === '' ? text : `${text}${to}-`;
}

/** A note without its accidental, which a tie carries on. */
function bare(name: string): string {
  return name.replace(/[\^_=]/, '');
}

type Ties = { readonly from?: string; readonly to?: string };

function bar(eighths: number, next: Next, ties: Ties = {}): string {
  const chord = (): string => `"${pick(['G', 'D', 'C', 'Am', 'Em', 'A7'], next)}"`;
  if (eighths === 8 && next(2) === 0)
    return `${chord()}${notes(4, next, { from: ties.from ?? '' })} ${chord()}${notes(4, next, { to: ties.to ?? '' })}`;
  return chord() + notes(eighths, next, ties);
}

/** Some bars, and the note that the last is tied to what comes by: nothing, or its name. */
function bars(count: number, full: number, next: Next): { readonly text: string; readonly to: string } {
  let from = '';
  const all = Array.from({ length: count }, () => {
    const to = next(3) === 0 ? note(next) : '';
    const text = bar(full, next, { from, to });
    from = bare(to);
    return text;
  });
  return { text: all.join(' | '), to: from };
}

/**
 * A tune in ABC out of a seed.
 *
 * @param tiedEndings whether notes may be tied into endings
 */
export function abcTune(seed: number, tiedEndings = true): string {
  const next = numbersFrom(seed);
  const [meter, usual] = pick(meters, next);
  const head = `X:1\nT:tune ${seed}\nM:${meter}\nL:1/8\nQ:1/4=120\nK:${pick(keys, next)}`;
  const count = 1 + next(3);
  const ahead = next(2) === 0 ? 0 : 1 + next(2);
  const parts = Array.from({ length: count }, () => {
    // Where there is a pick-up all stands in one meter, so that it has its room.
    const [otherMeter, other] = pick(meters, next);
    const full = ahead === 0 && next(5) === 0 ? other : usual;
    const isChange = full !== usual;
    const pickup = ahead === 0 ? '' : `${notes(ahead, next)} | `;
    const { text: body, to: from } = bars(3, full, next);
    const kind = ahead === 0 ? next(4) : count === 1 ? next(3) : next(2);
    const key = next(6) === 0 ? `[K:${pick(['G', 'D', 'A'], next)}]` : '';
    const changes = `${isChange ? `[M:${otherMeter}]` : ''}${key}`;
    const back = isChange ? `\n[M:${meter}]${bar(usual, next)} |` : '';
    const last = (tied = true): string => bar(full - ahead, next, tied ? { from } : {});
    if (kind === 0) return `|: ${pickup}${changes}${body} | ${last()} :|${back}`;
    if (kind === 1)
      return `|: ${pickup}${changes}${body} |1 ${last(tiedEndings)} :|2 ${last(tiedEndings)} ||${back}`;
    if (kind === 2) return `${pickup}|: ${changes}${body} | ${bar(full, next, { from })} :|${back}`;
    return `${changes}${body} | ${bar(full, next, { from })} ||${back}`;
  });
  return `${[head, ...parts].join('\n')}\n`;
}

/** The chart that is made of the only tune of an ABC text. */
export function chartOfAbc(text: string): Chart {
  const [tune] = abcTunes(text);
  if (!tune) throw new Error('no tune');
  return chartFromSheet(readAbc(tune).sheet).chart;
}

export const seededTunes = fc.integer({ min: 1, max: 2 ** 31 }).map((seed) => abcTune(seed));

/** The notes of a chart's final pass as they sound: quarters from the first note, how long, MIDI number. */
export function sounds(chart: Chart): readonly string[] {
  const { bars } = unroll(chart, { final: true });
  const found = soundingNotes(playedTune(chart, bars, { home: chart.key }), bars);
  const from = found[0]?.at ?? 0;
  const quarters = (parts: number): string => (parts / partsPerQuarter).toFixed(4);
  return found.map(({ at, parts, pitch }) => `${quarters(at - from)}+${quarters(parts)}:${pitch}`);
}
