import { glyphs, missingGlyph } from './glyphs.js';

/** Block letters: rows of pixels from the top, `#` set, as many for each sign. */
export interface BigFont {
  /** Pixels a letter is tall. */
  readonly tall: number;
  readonly letters: Readonly<Record<string, readonly string[]>>;
  /** What stands for a sign that has no letter. */
  readonly missing: readonly string[];
}

/** The letters of numbers and chords. */
export const chordFont: BigFont = { tall: 7, letters: glyphs, missing: missingGlyph };

/** How large letters are drawn. */
export interface BigLook {
  /** Columns a pixel takes; a whole number from 1. */
  readonly scale: number;
  readonly unicode: boolean;
}

/** Pixels between letters. */
const gap = 1;

/**
 * Draws a text in block letters: lines of equal width. With Unicode two rows of pixels share a line by half blocks, so
 * that a pixel is `scale` columns wide and half as many lines tall, which is square where a cell is twice as tall as wide.
 * Without, it is half as many whole lines tall, at least one.
 */
export function bigText(text: string, look: BigLook, font: BigFont = chordFont): string[] {
  const rows = pixelRows(text, font);
  const wide = rows.map((row) => row.replace(/./g, (pixel) => pixel.repeat(look.scale)));
  if (!look.unicode)
    return wide.flatMap((row) =>
      Array.from({ length: linesPerPixel(look.scale) }, () => row.replace(/\./g, ' ')),
    );
  const halves = wide.flatMap((row) => Array.from({ length: look.scale }, () => row));
  if (halves.length % 2 === 1) halves.push('.'.repeat(halves[0]?.length ?? 0));
  return Array.from({ length: halves.length / 2 }, (_, line) =>
    halfBlocks(halves[2 * line] as string, halves[2 * line + 1] as string),
  );
}

/** Columns a text takes in block letters. */
export function bigWidth(text: string, { scale }: BigLook, font: BigFont = chordFont): number {
  return (pixelRows(text, font)[0]?.length ?? 0) * scale;
}

/** Lines a text takes in block letters. */
export function bigHeight({ scale, unicode }: BigLook, { tall }: BigFont = chordFont): number {
  return unicode ? Math.ceil((tall * scale) / 2) : tall * linesPerPixel(scale);
}

/** The largest scale in which a text fits; 0 where none does. */
export function fitScale(
  text: string,
  columns: number,
  lines: number,
  unicode: boolean,
  font: BigFont = chordFont,
): number {
  let scale = Math.floor(columns / Math.max(1, bigWidth(text, { scale: 1, unicode }, font)));
  while (scale > 0 && bigHeight({ scale, unicode }, font) > lines) scale -= 1;
  return scale;
}

function linesPerPixel(scale: number): number {
  return Math.max(1, Math.round(scale / 2));
}

function pixelRows(text: string, { letters: known, missing, tall }: BigFont): string[] {
  const letters = [...text].map((sign) => known[sign] ?? missing);
  return Array.from({ length: tall }, (_, row) =>
    letters.map((letter) => letter[row] as string).join('.'.repeat(gap)),
  );
}

function halfBlocks(upper: string, lower: string): string {
  return [...upper]
    .map((pixel, index) => {
      const below = lower[index] === '#';
      if (pixel === '#') return below ? '█' : '▀';
      return below ? '▄' : ' ';
    })
    .join('');
}
