import { bigHeight, bigText, fitScale } from './big-text.js';
import { fitLine, fitText, type Line, type Piece, padText, piece, type Style } from './line.js';

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
const usualCount = '16';

/** How a screen is divided: by its size alone, never by what is shown, so that nothing jumps. */
interface Places {
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
  const { half, quarter, nowLines, nextLines } = places;
  const big = view.counting === null ? (view.now?.number ?? '') : String(view.counting);
  const style: Style = view.counting === null ? 'number' : 'count';
  const now = [
    block(big, half - 2, nowLines, unicode, style, usualNumber),
    block(
      view.counting === null ? (view.now?.chord ?? '') : '',
      columns - half - 2,
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
      row([now[0]?.[line], now[1]?.[line]], [half, columns - half]),
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
  return { half, quarter, nextLines, nowLines: room - nextLines };
}

/** A label in its place: as large as the usual one of its kind would be there, smaller where it is longer, plain where nothing else fits. */
function block(
  text: string,
  columns: number,
  lines: number,
  unicode: boolean,
  style: Style,
  usual: string,
): Piece[] {
  const empty = piece(' '.repeat(Math.max(0, columns)));
  const blank = Array.from({ length: lines }, () => empty);
  if (text === '' || columns <= 0) return blank;
  const scale = Math.min(fitScale(usual, columns, lines, unicode), fitScale(text, columns, lines, unicode));
  const drawn = scale > 0 ? bigText(text, { scale, unicode }) : [text];
  // Standing on the same line whatever their size, as letters do.
  const top = scale > 0 ? lines - drawn.length : Math.floor(lines / 2);
  drawn.forEach((line, index) => {
    blank[top + index] = piece(padText(line, columns), style);
  });
  return blank;
}

function row(pieces: readonly (Piece | undefined)[], widths: readonly number[]): Line {
  return pieces.flatMap((one, index) => [
    piece(' '),
    one ?? piece(''),
    piece(' '.repeat(Math.max(0, (widths[index] as number) - 1 - (one ? one.text.length : 0)))),
  ]);
}

/** The beats of the bar as blocks across the screen, the one that sounds drawn full. */
function railLine({ beat, beats, counting, unicode }: FarView, columns: number): Line {
  const at = counting === null ? beat : counting - 1;
  const width = columns - 2;
  const count = Math.max(1, beats);
  const pieces: Piece[] = [piece(' ')];
  for (let index = 0; index < count; index += 1) {
    const from = Math.floor((index * width) / count);
    const to = Math.floor(((index + 1) * width) / count);
    const on = index === at;
    const sign = unicode ? (on ? '█' : '░') : on ? '#' : '-';
    pieces.push(piece(sign.repeat(Math.max(1, to - from - 1)), on ? 'rail-on' : 'rail'), piece(' '));
  }
  return pieces;
}
