import { plainGlance } from '../../hand/glance.js';
import { type BigFont, bigHeight, bigText, bigWidth, chordFont, fitScale } from './big-text.js';
import { block } from './block.js';
import { fitLine, fitText, type Line, lineWidth, type Piece, piece, type Style, textWidth } from './line.js';
import { loweredFont, wordFont } from './word-letters.js';

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
  /** The frets of the next shape, `5-2-3-x`; empty where there is none or it is hidden. */
  readonly frets: string;
  /** Felt beats until the next change. */
  readonly beatsLeft: number | null;
  /** Felt beats from the last change to the next one; `null` where that is not known. */
  readonly span: number | null;
  /** The felt beat that sounds, from 0; `null` while nothing moves. */
  readonly beat: number | null;
  readonly beats: number;
  /** The beat of the count-in, from 1. */
  readonly counting: number | null;
  /** How the hand gets to what comes, with arrows: what it does, and after ` · ` its fingers. */
  readonly glance: string;
  readonly head: string;
  /** What the program has to say, for who stands near: on the last line, whole, whatever else has room there. */
  readonly notice: Line;
  readonly foot: string;
  readonly unicode: boolean;
}

/** How much air there is: none; about the beats; about the beats, which take two whole lines, and above the way there. */
type Air = 'none' | 'little' | 'much';
/** From so many lines on there is air. With fewer than those the letters are worth more. */
const littleAirRows = 18;
const muchAirRows = 25;
/** Lines that are not large letters: head, beats, the last one, and those left empty. */
const plainLines: Readonly<Record<Air, number>> = { none: 3, little: 4, much: 7 };
/** Of the lines of large letters the share of what comes and of the way there, and from how many on the fingers are large too. */
const nextShare = 0.37;
const wayShare = 0.27;
const fingersFrom = 22;
/** From this many columns on a word says what is now and what comes, in columns of its own. */
const labelled = { from: 76, columns: 6 } as const;
/** What has to fit its place in full size: longer labels are drawn smaller. */
const usualNumber = 'b7';
const usualChord = 'B♭m';
/** A pixel wider, and as common in keys with sharps: where it fits in the usual chord's size, it is to go on fitting. */
const widerChord = 'F♯m';
const usualFrets = '10-9-8-7';
/** Beats of the bar that empties at most. */
const mostSlots = 32;
/** Where it is not known how long a chord lasts, the bar has this many. */
const usualSlots = 8;

/** How a screen is divided: by its size alone, never by what is shown, so that nothing jumps. */
interface Places {
  /** Columns of the words beside what is now and what comes. */
  readonly label: number;
  /** Columns of a number; its chord follows. */
  readonly split: number;
  /** Columns of the next chord; its frets have the rest. */
  readonly chord: number;
  readonly nowLines: number;
  readonly nextLines: number;
  readonly wayLines: number;
  readonly fingerLines: number;
}

/**
 * The stand for reading across a room, on exactly `rows` lines. From the top: number and chord of now; a bar that empties with
 * every beat until the change; number and chord of what comes, with its frets where there is room; the way there in large
 * arrows and words. No two figures that mean different things stand side by side.
 */
export function farLines(view: FarView, columns: number, rows: number): Line[] {
  const places = placesOf(columns, rows, view.unicode);
  const air = airOn(rows);
  const [way = '', fingers = ''] = view.glance.split(' · ');
  const lines: Line[] = [
    [piece(` ${fitText(view.head, columns - 2)}`, 'dim')],
    ...nowLines(view, places, columns),
    ...beatLines(view, columns, air),
    ...nextLines(view, places, columns),
    ...(air === 'much' ? [[]] : []),
    ...largeWords(way, columns - 2, places.wayLines, view.unicode),
    ...largeWords(
      fingers,
      columns - 2,
      places.fingerLines,
      view.unicode,
      view.unicode ? loweredFont : wordFont,
    ),
  ];
  while (lines.length < rows - 1) lines.push([]);
  const said = places.fingerLines > 0 ? '' : plainWay(fingers, view.unicode);
  const last = lastLine(said, view, columns);
  return [...lines.slice(0, rows - 1), last].map((line) => fitLine(line, columns));
}

function airOn(rows: number): Air {
  return rows >= muchAirRows ? 'much' : rows >= littleAirRows ? 'little' : 'none';
}

/** The beats, with air about them where there is room: on a white screen letters and bar have one colour, and where they touch neither can be read. */
function beatLines(view: FarView, columns: number, air: Air): Line[] {
  const whole = view.unicode ? { on: '█', off: '░' } : { on: '#', off: '-' };
  const line = beatLine(view, columns, whole);
  if (air === 'none') return [line];
  if (air === 'much') return [[], line, line, []];
  if (!view.unicode || isWritten(view, columns)) return [[], line];
  // Two halves make a line that has half a line of air on both sides.
  return [
    { on: '▄', off: ' ' },
    { on: '▀', off: '─' },
  ].map((signs) => beatLine(view, columns, signs));
}

/** Whether the beats of the bar are so many that the one that sounds is written out. */
function isWritten({ beatsLeft, counting, beats }: FarView, columns: number): boolean {
  return (beatsLeft === null || counting !== null) && beats > columns - 2;
}

function nowLines({ now, counting, unicode }: FarView, places: Places, columns: number): Line[] {
  const { label, split, nowLines } = places;
  const room = columns - label - split - 2;
  // A beat that is counted is not a number of a chord: it has the beats' colour, and no chord beside it.
  const [text, style]: [string, Style] =
    counting === null ? [now?.number ?? '', 'number'] : [String(counting), 'count'];
  const number = block(text, split - 2, nowLines, unicode, style, usualNumber);
  const chord = block(
    counting === null ? (now?.chord ?? '') : '',
    room,
    nowLines,
    unicode,
    'chord',
    usualChord,
  );
  const said = counting === null ? 'now' : 'count';
  return Array.from({ length: nowLines }, (_, line) =>
    row([labelPiece(said, line, label), number[line], chord[line]], [label, split, room]),
  );
}

function nextLines({ next, frets, unicode }: FarView, places: Places, columns: number): Line[] {
  const { label, split, chord: chordColumns, nextLines } = places;
  const number = block(next?.number ?? '', split - 2, nextLines, unicode, 'number', usualNumber);
  const chord = block(next?.chord ?? '', chordColumns - 2, nextLines, unicode, 'chord', usualChord);
  const room = columns - label - split - chordColumns - 2;
  // Beside a number alone the figures of frets could be taken for more of it.
  const shown = next !== null && next.chord !== '' ? frets : '';
  const fretLines = fretsBlock(shown, room, nextLines, unicode);
  return Array.from({ length: nextLines }, (_, line) =>
    row(
      [labelPiece('next', line, label), number[line], chord[line], fretLines[line]],
      [label, split, chordColumns, room],
    ),
  );
}

function labelPiece(text: string, line: number, columns: number): Piece {
  return piece(line === 0 && columns > 0 ? text : '', 'dim');
}

/** Frets, where they fit in large letters: whatever they are, so that they are there always or never. */
function fretsBlock(frets: string, columns: number, lines: number, unicode: boolean): readonly Piece[] {
  const scale = fitScale(usualFrets, columns, lines, unicode, wordFont);
  if (scale <= 0 || frets === '') return [];
  const drawn = bigText(frets.toUpperCase(), { scale, unicode }, wordFont);
  const above = Array.from({ length: lines - drawn.length }, () => piece(''));
  return [...above, ...drawn.map((line) => piece(line))];
}

/** Words and arrows in large letters where they fit, as plain text where they do not; always as many lines. */
function largeWords(
  text: string,
  columns: number,
  lines: number,
  unicode: boolean,
  font: BigFont = wordFont,
): Line[] {
  const blank = Array.from({ length: lines }, (): Line => []);
  if (text === '' || lines === 0) return blank;
  const capitals = text.toUpperCase();
  const known = [...capitals].every((sign) => sign in font.letters);
  const scale = known ? fitScale(capitals, columns, lines, unicode, font) : 0;
  const drawn =
    scale > 0 ? bigText(capitals, { scale, unicode }, font) : [fitText(plainWay(text, unicode), columns)];
  const top = Math.floor((lines - drawn.length) / 2);
  drawn.forEach((line, index) => {
    blank[top + index] = [piece(' '), piece(line, scale > 0 ? 'count' : 'move')];
  });
  return blank;
}

function plainWay(text: string, unicode: boolean): string {
  return unicode ? text : plainGlance(text);
}

/** What the fingers do, where it is not large; what the program has to say; at the right the place in the music. What has no room beside the notice is not there. */
function lastLine(said: string, { notice, foot }: FarView, columns: number): Line {
  const right = fitText(foot, columns - 2);
  const told = notice.filter(({ text }) => text.trim() !== '');
  const free = columns - 2 - lineWidth(told);
  const move = told.length === 0 ? fitText(said, Math.max(0, free - textWidth(right) - 3)) : said;
  const isBeside = move !== '' && textWidth(move) + 3 <= free;
  const left: Line = [
    ...(isBeside ? [piece(move, 'move'), piece(told.length === 0 ? '' : '   ')] : []),
    ...told,
  ];
  const gap = columns - 2 - lineWidth(left) - textWidth(right);
  const end =
    gap < 3 && lineWidth(left) > 0 ? [] : [piece(' '.repeat(Math.max(0, gap))), piece(right, 'dim')];
  return [piece(' '), ...left, ...end];
}

function placesOf(columns: number, rows: number, unicode: boolean): Places {
  const room = Math.max(3, rows - plainLines[airOn(rows)]);
  const label = columns >= labelled.from ? labelled.columns : 0;
  const width = columns - label;
  // What comes and the way there are plain text where there is no room for them in large letters.
  const wayLines = linesWithin(Math.floor(room * wayShare), wordFont, unicode);
  const fingerLines = room >= fingersFrom ? bigHeight({ scale: 1, unicode }, wordFont) : 0;
  // What comes is never larger than what is now.
  const half = (room - wayLines - fingerLines) / 2;
  const nextLines = linesWithin(Math.floor(Math.min(room * nextShare, half)), chordFont, unicode);
  const nowLines = Math.max(1, room - nextLines - wayLines - fingerLines);
  const split = splitOf(width, nowLines, unicode);
  const scale = fitScale(usualChord, width - split - 2, nextLines, unicode);
  const chord = scale === 0 ? width - split : bigWidth(usualChord, { scale, unicode }) + 4;
  return { label, split, chord: Math.min(chord, width - split), nextLines, nowLines, wayLines, fingerLines };
}

/** The lines of the largest letters that fit so many; one for plain text where none do. */
function linesWithin(lines: number, font: BigFont, unicode: boolean): number {
  let scale = 1;
  while (bigHeight({ scale: scale + 1, unicode }, font) <= lines) scale += 1;
  const height = bigHeight({ scale, unicode }, font);
  return height <= lines ? height : 1;
}

/**
 * Where the chord is beside the number now. Halves waste columns, because a number is narrower than its chord: the
 * number is as large as lines and columns allow while the chord stays at least half as tall and no smaller than halves
 * make it.
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
    if (noSmaller && chord >= Math.max(1, scale / 2)) return apart + 2;
  }
  return half;
}

function row(pieces: readonly (Piece | undefined)[], widths: readonly number[]): Line {
  const placed = pieces.flatMap((one, index) => [
    one ?? piece(''),
    piece(' '.repeat(Math.max(0, (widths[index] as number) - (one ? textWidth(one.text) : 0)))),
  ]);
  return [piece(' '), ...placed];
}

/** What fills a beat, of those that are to come or sound, and of the others. */
interface BeatSigns {
  readonly on: string;
  readonly off: string;
}

/** The time until the change as a bar that empties, a block a beat; the beats of the bar while nobody knows when it comes, and while it is counted in. */
function beatLine(view: FarView, columns: number, signs: BeatSigns): Line {
  const { beatsLeft, span, counting } = view;
  if (beatsLeft === null || counting !== null) return railLine(view, columns, signs);
  const width = columns - 2;
  const slots = Math.max(
    1,
    Math.min(mostSlots, Math.floor(width / 2), Math.max(beatsLeft, span ?? usualSlots)),
  );
  const full = Math.min(slots, beatsLeft);
  return [
    piece(' '),
    ...Array.from({ length: slots }, (_, index): Piece[] => {
      const from = Math.floor((index * width) / slots);
      const to = Math.floor(((index + 1) * width) / slots);
      const isOn = index < full;
      return [
        piece((isOn ? signs.on : signs.off).repeat(to - from - 1), isOn ? 'count' : 'rail'),
        piece(' '),
      ];
    }).flat(),
  ];
}

/**
 * The beats of the bar as blocks across the screen, the one that sounds drawn full. Where there are too many for gaps the
 * blocks touch, and where there are more than columns a figure stands for them: the beat that sounds is never out of sight.
 */
function railLine({ beat, beats, counting }: FarView, columns: number, signs: BeatSigns): Line {
  const width = columns - 2;
  const count = Math.max(1, beats);
  // A count-in of two bars may count on past the first.
  const at = counting === null ? beat : (counting - 1) % count;
  if (count > width)
    return [
      piece(` ${fitText(`${at === null ? '' : at + 1}/${count}`, width)}`, at === null ? 'rail' : 'rail-on'),
    ];
  const gap = 2 * count <= width ? 1 : 0;
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
