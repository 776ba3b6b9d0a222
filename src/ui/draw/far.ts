import { bigHeight, bigWidth, fitScale } from './big-text.js';
import { block } from './block.js';
import { fitLine, fitText, type Line, type Piece, piece, type Style, textWidth } from './line.js';

/** A chord as it is labelled. */
export interface FarChord {
  readonly number: string;
  /** Empty while the chords are hidden. */
  readonly chord: string;
}

/** What the far view shows. */
export interface FarView {
  readonly now: FarChord | null;
  readonly next: FarChord | null;
  /** Felt beats until the next change. */
  readonly beatsLeft: number | null;
  /** The felt beat that sounds, from 0; `null` while nothing moves. */
  readonly beat: number | null;
  readonly beats: number;
  /** The beat of the count-in, from 1. */
  readonly counting: number | null;
  readonly glance: string;
  readonly head: string;
  readonly foot: string;
  readonly unicode: boolean;
}

/** Below this many lines the beats take one line instead of two, and nothing is left empty. */
const airyRows = 24;
/** Lines that are not large letters: head, rail, glance, foot; with air, two more and a second one of the rail. */
const plainLines = { tight: 4, airy: 7 } as const;
/** What has to fit its place in full size: longer labels are drawn smaller. */
const usualNumber = 'b7';
const usualChord = 'B♭m';
/** A pixel wider, and as common in keys with sharps: where it fits in the usual chord's size, it is to go on fitting. */
const widerChord = 'F♯m';
const usualCount = '16';

/** How a screen is divided: by its size alone, never by what is shown, so that nothing jumps. */
interface Places {
  /** Columns of the number now; its chord has the rest. */
  readonly split: number;
  readonly half: number;
  readonly quarter: number;
  readonly nowLines: number;
  readonly nextLines: number;
}

/**
 * The stand for reading across a room, on exactly `rows` lines: number and chord of now as large as can be, the beats of
 * the bar as blocks, and below them, smaller, how many beats are left and what comes.
 */
export function farLines(view: FarView, columns: number, rows: number): Line[] {
  const { unicode } = view;
  const places = placesOf(columns, rows, unicode);
  const { split, half, quarter, nowLines, nextLines } = places;
  const big = view.counting === null ? (view.now?.number ?? '') : String(view.counting);
  const style: Style = view.counting === null ? 'number' : 'count';
  const now = [
    block(big, split - 2, nowLines, unicode, style, usualNumber),
    block(
      view.counting === null ? (view.now?.chord ?? '') : '',
      columns - split - 2,
      nowLines,
      unicode,
      'chord',
      usualChord,
    ),
  ];
  const next = [
    block(
      view.beatsLeft === null ? '' : String(view.beatsLeft),
      quarter - 2,
      nextLines,
      unicode,
      'count',
      usualCount,
    ),
    block(view.next?.number ?? '', half - quarter - 2, nextLines, unicode, 'number', usualNumber),
    block(view.next?.chord ?? '', columns - half - 2, nextLines, unicode, 'chord', usualChord),
  ];
  const air: Line[] = rows < airyRows ? [] : [[]];
  const lines: Line[] = [
    [piece(` ${fitText(view.head, columns - 2)}`, 'dim')],
    ...Array.from({ length: nowLines }, (_, line) =>
      row([now[0]?.[line], now[1]?.[line]], [split, columns - split]),
    ),
    ...air,
    ...Array.from({ length: rows < airyRows ? 1 : 2 }, () => railLine(view, columns)),
    ...air,
    ...Array.from({ length: nextLines }, (_, line) =>
      row([next[0]?.[line], next[1]?.[line], next[2]?.[line]], [quarter, half - quarter, columns - half]),
    ),
    [piece(` ${fitText(view.glance, columns - 2)}`, 'move')],
    [piece(` ${fitText(view.foot, columns - 2)}`, 'dim')],
  ];
  while (lines.length < rows) lines.splice(lines.length - 1, 0, []);
  return lines.slice(0, rows).map((line) => fitLine(line, columns));
}

function placesOf(columns: number, rows: number, unicode: boolean): Places {
  const half = Math.floor(columns / 2);
  const quarter = Math.floor(columns / 4);
  const room = Math.max(2, rows - (rows < airyRows ? plainLines.tight : plainLines.airy));
  // What comes is plain text where there is no room for it in large letters: what is now goes first.
  const scale = fitScale(usualNumber, half - quarter - 2, Math.ceil(room / 2.6), unicode);
  const nextLines = scale === 0 ? 1 : bigHeight({ scale, unicode });
  const nowLines = room - nextLines;
  return { split: splitOf(columns, nowLines, unicode), half, quarter, nextLines, nowLines };
}

/**
 * Where the chord stands beside the number now. Halves waste columns, because a number is narrower than its chord: the
 * number is as large as lines and columns allow while the chord stays at least half as tall and no smaller than halves
 * make it. What is left over goes half before the chord, half behind it.
 */
function splitOf(columns: number, lines: number, unicode: boolean): number {
  const half = Math.floor(columns / 2);
  const leastNumber = fitScale(usualNumber, half - 2, lines, unicode);
  if (leastNumber === 0) return half;
  const fits = (chord: string, room: number): number => fitScale(chord, room, lines, unicode);
  for (let scale = fitScale(usualNumber, columns - 2, lines, unicode); scale >= leastNumber; scale -= 1) {
    // One pixel of the number apart, or figure and letter run into each other.
    const apart = bigWidth(usualNumber, { scale, unicode }) + Math.max(2, scale);
    const room = columns - apart - 2;
    const chord = fits(usualChord, room);
    const noSmaller = [usualChord, widerChord].every(
      (one) => fits(one, room) >= fits(one, columns - half - 2),
    );
    if (noSmaller && chord >= Math.max(1, scale / 2))
      return apart + spare(room - bigWidth(usualChord, { scale: chord, unicode }), chord);
  }
  return half;
}

/** Columns left free before a chord; a pixel behind it comes first, for the wider one. */
function spare(columns: number, pixel: number): number {
  return Math.floor(Math.max(0, columns - pixel) / 2);
}

function row(pieces: readonly (Piece | undefined)[], widths: readonly number[]): Line {
  return pieces.flatMap((one, index) => [
    piece(' '),
    one ?? piece(''),
    piece(' '.repeat(Math.max(0, (widths[index] as number) - 1 - (one ? textWidth(one.text) : 0)))),
  ]);
}

/**
 * The beats of the bar as blocks across the screen, the one that sounds drawn full. Where there are too many for gaps the
 * blocks touch, and where there are more than columns a figure stands for them: the beat that sounds is never out of sight.
 */
function railLine({ beat, beats, counting, unicode }: FarView, columns: number): Line {
  const width = columns - 2;
  const count = Math.max(1, beats);
  // A count-in of two bars may count on past the first.
  const at = counting === null ? beat : (counting - 1) % count;
  if (count > width)
    return [
      piece(` ${fitText(`${at === null ? '' : at + 1}/${count}`, width)}`, at === null ? 'rail' : 'rail-on'),
    ];
  const gap = 2 * count <= width ? 1 : 0;
  const signs = unicode ? { on: '█', off: '░' } : { on: '#', off: '-' };
  const pieces: Piece[] = [piece(' ')];
  for (let index = 0; index < count; index += 1) {
    const from = Math.floor((index * width) / count);
    const to = Math.floor(((index + 1) * width) / count);
    const on = index === at;
    pieces.push(
      piece((on ? signs.on : signs.off).repeat(to - from - gap), on ? 'rail-on' : 'rail'),
      piece(' '.repeat(gap)),
    );
  }
  return pieces;
}
