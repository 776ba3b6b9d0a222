import { type CleanLimits, cleanLimits, type Level, levels } from './limits.js';

/** The time between strokes for which the limits are given: low notes and chops at 120 half notes a minute, ms. */
export const toldInterval = 250;

/** A limit in words, and its value for a level; shares are given in percent. */
const rows: readonly (readonly [words: string, tell: (limits: CleanLimits) => string])[] = [
  ['mean of the chops ahead of the beat, ms', ({ ahead }) => whole(ahead)],
  ['… behind the beat, ms', ({ behind }) => whole(behind)],
  ['spread of the chops (standard deviation), ms', ({ spread }) => whole(spread)],
  ['a change counts as late from … on, ms', ({ lateChange }) => whole(lateChange)],
  ['a chop counts as ringing from … on, ms', ({ ring }) => whole(ring)],
  ['changes that are late, %', ({ late }) => percent(late)],
  ['wrong chords, %', ({ wrong }) => percent(wrong)],
  ['chops that ring on, %', ({ rang }) => percent(rang)],
  ['strokes left out, %', ({ leftOut }) => percent(leftOut)],
];

/** The limits of a clean pass at each level as the lines of a table. */
export function limitLines(): string[] {
  const of = (level: Level): CleanLimits => cleanLimits(level, toldInterval);
  const table = [
    ['at most', ...levels],
    ...rows.map(([words, tell]) => [words, ...levels.map((level) => tell(of(level)))]),
  ];
  const widths = (table[0] as readonly string[]).map((_, column) =>
    Math.max(...table.map((row) => (row[column] as string).length)),
  );
  return table.map(([words = '', ...cells]) =>
    [
      words.padEnd(widths[0] as number),
      ...cells.map((cell, at) => cell.padStart(widths[at + 1] as number)),
    ].join('  '),
  );
}

function whole(ms: number): string {
  return String(Math.round(ms));
}

function percent(share: number): string {
  return String(Math.round(100 * share));
}
