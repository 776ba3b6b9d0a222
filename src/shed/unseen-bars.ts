import { oneOf } from './seeded.js';
import { type Cells, chordsOf, type SongMeans } from './unseen-choice.js';
import type { SectionLines } from './unseen-section.js';

/** A bar: its chords, which share it equally. */
type Bar = readonly string[];

/** A section as it is written, and whether it has a bar more or less than usual. */
export interface SectionText {
  readonly lines: readonly string[];
  readonly crooked: boolean;
}

/**
 * A section written as lines of a chart, with what its level adds: sevenths, early chords, bars too many or too few.
 * A line that comes again is played as it was before.
 */
export function sectionText({ pace, lines }: SectionLines, means: SongMeans): SectionText {
  const { rules, random, waltz } = means;
  const decided = new Map<string, boolean>();
  const chance = (what: string, share: number): boolean => {
    const before = decided.get(what);
    const now = before ?? random() < share;
    decided.set(what, now);
    return now;
  };
  const chords = lines.flatMap(chordsOf);
  const odd = random() < rules.crooked ? oneOf(lines, random).join(' ') : null;
  const shorter = random() < 0.5;
  let at = 0;
  let last: string | undefined;
  const written = lines.map((cells) => {
    const name = cells.join(' ');
    const sevenths = cells.map((cell) =>
      cell
        .split('.')
        .map((chord) => {
          at += 1;
          const goesHome = /^1-?$/.test(chords[at] ?? '');
          return chord === '5' && goesHome && chance(`${name} seventh`, rules.sevenths) ? '5^7' : chord;
        })
        .join('.'),
    );
    const bars = barsOf(sevenths, cells, pace).map((bar, place) => {
      const first = bar[0] as string;
      const changes = last !== undefined && last !== first;
      last = bar.at(-1);
      if (bar.length > 1) return `(${bar.join(' ')})`;
      // The line that begins the section begins on the beat each time.
      const begins = place === 0 && cells.join() === lines[0]?.join();
      const early = changes && !begins && !waltz && chance(`${name} ${place}`, rules.pushes);
      return early ? `'${first}` : first;
    });
    return name === odd ? unevened(bars, shorter) : bars;
  });
  const phrases = pace < 1 ? inPairs(written) : written;
  return { lines: phrases.flatMap(rows), crooked: odd !== null };
}

/**
 * The bars of a line's cells at a pace: two for a cell, one, or one for two cells. A 5 of two bars gets its seventh
 * in the second.
 */
function barsOf(cells: Cells, plain: Cells, pace: number): Bar[] {
  if (pace === 2)
    return cells.flatMap((cell, at) => {
      const [first = '', second] = cell.split('.');
      return second === undefined ? [[plain[at] as string], [first]] : [[first], [second]];
    });
  if (pace === 1) return cells.map((cell) => [...new Set(cell.split('.'))]);
  return [0, 2].map((at) =>
    plain[at] === plain[at + 1] ? cells.slice(at + 1, at + 2) : cells.slice(at, at + 2),
  );
}

/** A line with a bar too many, the last one held, or one too few where the last one is held anyway. */
function unevened(bars: readonly string[], shorter: boolean): readonly string[] {
  const last = bars.at(-1) as string;
  if (shorter && last === bars.at(-2)) return bars.slice(0, -1);
  const chord = last.replace(/^\(.* |[')]/g, '');
  return [...bars, chord];
}

function inPairs(lines: readonly (readonly string[])[]): readonly (readonly string[])[] {
  return lines.flatMap((line, at) => (at % 2 === 0 ? [[...line, ...(lines[at + 1] ?? [])]] : []));
}

/** Bars as written lines of four; one over stays with its line. */
function rows(bars: readonly string[]): string[] {
  if (bars.length <= 5) return [bars.join(' ')];
  return [bars.slice(0, 4).join(' '), ...rows(bars.slice(4))];
}
