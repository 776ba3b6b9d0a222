import PDFDocument from 'pdfkit';
import { safeText } from '../base/safe-text.js';
import { wrapText } from '../base/wrap-text.js';
import { type Frets, fretsText } from '../hand/fingering.js';
import type { PrintedBar, PrintedCell, PrintedSection, PrintedShape, PrintedSheet } from './sheet.js';
import { type Blank, markCount } from './sheet-text.js';

/** How sheets are printed. */
export interface PdfOptions {
  readonly paper: 'A4' | 'letter';
  readonly large: boolean;
  readonly leftHanded: boolean;
  readonly blank: Blank;
  /** Whether each sheet has lines to mark by hand how it went. */
  readonly marks?: boolean;
  /** The font, with the musician's signs, as a TrueType file: regular and bold. */
  readonly fonts: { readonly regular: Uint8Array; readonly bold: Uint8Array };
}

/** The first page of a set: a line for each song. */
export interface PrintedOrder {
  readonly title: string;
  readonly date: string | null;
  readonly lines: readonly {
    readonly title: string;
    readonly key: string;
    readonly about: string;
    readonly notes: string | null;
  }[];
}

/** Points from line to line of what is said over a bar, and of words. */
const smallStep = 9.5;
const wordStep = 12.5;

/** Lines that stand over a bar of a row, and where they begin. */
interface Over {
  readonly x: number;
  readonly texts: readonly string[];
}

/** Points of the margins; sheets are held by clips and torn at the edges. */
const margin = 42;

/** Sheets as a PDF, black on white, a song a page or more; a set's running order first, the answers of blank ones last. */
export async function sheetPdf(
  sheets: readonly PrintedSheet[],
  options: PdfOptions,
  order: PrintedOrder | null = null,
): Promise<Uint8Array> {
  const page = new Page(options, order?.title ?? sheets[0]?.title ?? '');
  if (order) page.order(order);
  for (const sheet of sheets) page.sheet(sheet);
  if (options.blank !== null) page.answers(sheets);
  return page.done();
}

/** The frets a shape is drawn in: from the nut where it lies there, else from its lowest. */
function windowOf(frets: Frets): { readonly first: number; readonly rows: number } {
  const played = frets.flatMap((fret) => (fret === null || fret === 0 ? [] : [fret]));
  const highest = Math.max(4, ...played);
  const first = highest <= 4 ? 1 : Math.min(...played);
  return { first, rows: Math.max(4, highest - first + 1) };
}

class Page {
  private readonly doc: PDFKit.PDFDocument;
  private readonly chunks: Uint8Array[] = [];
  private readonly scale: number;
  private y = margin;
  private pages = 0;
  private foot = '';

  constructor(
    private readonly options: PdfOptions,
    title: string,
  ) {
    this.scale = options.large ? 1.4 : 1;
    this.doc = new PDFDocument({
      size: options.paper === 'A4' ? 'A4' : 'LETTER',
      margin: 0,
      autoFirstPage: false,
      info: { Title: title, Creator: 'barkline' },
    });
    this.doc.registerFont('regular', Buffer.from(options.fonts.regular));
    this.doc.registerFont('bold', Buffer.from(options.fonts.bold));
    this.doc.on('data', (chunk: Uint8Array) => this.chunks.push(chunk));
  }

  async done(): Promise<Uint8Array> {
    const ended = new Promise<void>((resolve, reject) => {
      this.doc.on('end', () => resolve());
      this.doc.on('error', reject);
    });
    this.doc.end();
    await ended;
    return Buffer.concat(this.chunks);
  }

  /** The running order, a song a line. */
  order({ title, date, lines }: PrintedOrder): void {
    this.turn(title);
    this.words(title, 22, 'bold');
    if (date !== null) this.words(date, 11);
    this.gap(14);
    lines.forEach(({ title: song, key, about, notes }, index) => {
      this.room(notes === null ? 26 : 40);
      this.put(`${index + 1}`, margin, 13, 'regular');
      this.put(song, margin + 28 * this.scale, 15, 'bold');
      this.put(key, this.width() - margin - 190 * this.scale, 15, 'bold');
      this.put(about, this.width() - margin - 150 * this.scale, 10, 'regular', 3);
      this.gap(20);
      if (notes !== null) {
        this.put(notes, margin + 28 * this.scale, 9.5, 'regular');
        this.gap(14);
      }
      this.gap(4);
    });
  }

  sheet(sheet: PrintedSheet): void {
    this.turn(`${sheet.title}, ${sheet.key}`);
    this.head(sheet);
    for (const section of sheet.sections) this.section(section);
    this.gap(4);
    const bars = sheet.sections.flatMap(({ rows }) => rows.flat());
    const holds = bars.some(({ cells }) => cells.some(({ number }) => number.endsWith('_')));
    const held = holds ? '    _ held until released' : '';
    this.put(`' early    ~ let it ring    ! choked stop${held}    ▴ a hard change`, margin, 8, 'regular');
    this.gap(18);
    this.shapes(sheet);
    this.changes(sheet);
    this.room(44);
    this.gap(4);
    this.words(sheet.pattern, 10);
    this.words(sheet.capo, 10);
    if (sheet.notes !== null) this.words(sheet.notes, 10);
    if (this.options.marks) this.marks();
  }

  /** A line a day, to be filled in by hand: date, tempo, a box for each pass, and what to look at. */
  private marks(): void {
    const columns = [margin, margin + this.size(90), margin + this.size(160), margin + this.size(300)];
    const [date = 0, tempo = 0, passes = 0, look = 0] = columns;
    this.room(40 + 20 * markCount);
    this.gap(10);
    const heads = ['date', 'tempo', 'passes: tick the clean ones', 'what to look at'];
    heads.forEach((text, index) => {
      this.put(text, columns[index] as number, 8.5, 'regular');
    });
    for (let row = 0; row < markCount; row += 1) {
      this.gap(20);
      const base = this.y + this.size(12);
      this.line(date, base, tempo - this.size(12), base, 0.5);
      this.line(tempo, base, passes - this.size(12), base, 0.5);
      for (let box = 0; box < 5; box += 1)
        this.doc
          .lineWidth(0.7)
          .rect(passes + box * this.size(22), base - this.size(11), this.size(11), this.size(11))
          .stroke();
      this.line(look, base, this.width() - margin, base, 0.5);
    }
    this.gap(18);
  }

  /** What was left blank, for all sheets together. */
  answers(sheets: readonly PrintedSheet[]): void {
    this.turn('answers');
    this.words('Answers', 20, 'bold');
    for (const { title, key, shapes } of sheets) {
      this.gap(8);
      this.room(40);
      this.words(`${title}, ${key}`, 12, 'bold');
      for (const { number, chord, fingering } of shapes) {
        this.room(16);
        this.put(number, margin + 12, 11, 'bold');
        this.put(chord, margin + 70 * this.scale, 11, 'regular');
        this.put(fretsText(fingering.frets), margin + 140 * this.scale, 11, 'regular');
        this.gap(15);
      }
    }
  }

  private width(): number {
    return this.doc.page.width;
  }

  private bottom(): number {
    return this.doc.page.height - margin - 14;
  }

  private size(points: number): number {
    return points * this.scale;
  }

  private gap(points: number): void {
    this.y += this.size(points);
  }

  /** A new page, with its foot. */
  private turn(foot: string): void {
    this.foot = foot;
    this.doc.addPage();
    this.pages += 1;
    this.y = margin;
    const text = `${this.foot}   ${this.pages}`;
    this.doc.font('regular').fontSize(8).fillColor('black');
    this.doc.text(text, this.width() - margin - this.doc.widthOfString(text), this.doc.page.height - margin, {
      lineBreak: false,
    });
  }

  /** A block that needs this much room is not cut: it goes to the next page as a whole. */
  private room(points: number): void {
    if (this.y + this.size(points) > this.bottom()) this.turn(this.foot);
  }

  private put(text: string, x: number, points: number, font: 'regular' | 'bold', down = 0): void {
    this.doc
      .font(font)
      .fontSize(this.size(points))
      .fillColor('black')
      .text(text, x, this.y + this.size(down), { lineBreak: false });
  }

  private widthOf(text: string, points: number, font: 'regular' | 'bold'): number {
    return this.doc.font(font).fontSize(this.size(points)).widthOfString(text);
  }

  /** Words in as many lines as they need. */
  private words(text: string, points: number, font: 'regular' | 'bold' = 'regular'): void {
    const width = this.width() - 2 * margin;
    for (const line of this.wrapped(text, points, font, width)) {
      this.room(points * 1.4);
      this.put(line, margin, points, font);
      this.gap(points * 1.4);
    }
  }

  private wrapped(text: string, points: number, font: 'regular' | 'bold', width: number): readonly string[] {
    const lines: string[] = [];
    for (const word of text.split(/\s+/)) {
      const longer = lines.length === 0 ? word : `${lines.at(-1)} ${word}`;
      if (lines.length > 0 && this.widthOf(longer, points, font) <= width) lines[lines.length - 1] = longer;
      else lines.push(word);
    }
    return lines;
  }

  private head({ title, by, key, tempo, meter, form, family }: PrintedSheet): void {
    const pace = `${tempo}   ${meter}`;
    const right = this.width() - margin;
    this.put(key, right - this.widthOf(key, 26, 'bold'), 26, 'bold', -4);
    const room = right - margin - this.widthOf(key, 26, 'bold') - 20;
    for (const line of this.wrapped(title, 20, 'bold', room)) {
      this.put(line, margin, 20, 'bold');
      this.gap(25);
    }
    const about = [by, pace, family === null ? null : `${family} family`]
      .filter((text) => text !== null)

      .join('  ·  ');
    this.words(about, 10.5);
    this.words(`Form: ${form}`, 10.5);
    this.gap(6);
  }

  private section({ name, who, rows, same }: PrintedSection): void {
    if (same !== null) {
      this.room(26);
      this.gap(4);
      this.put(name, margin, 12, 'bold');
      this.put(`as ${same}${who === null ? '' : `, ${who}`}`, margin + this.size(73), 12, 'regular');
      this.gap(22);
      return;
    }
    const left = margin + this.size(68);
    const barWidth = (this.width() - margin - left) / 4;
    let inEnding = false;
    rows.forEach((row, index) => {
      const said = this.overRow(row, left, barWidth);
      const lines = said.reduce((most, { texts }) => Math.max(most, texts.length), 0);
      const over = inEnding || lines > 0 || row.some((bar) => bar.ending !== null);
      const words = this.wordsOfRow(row, left, barWidth);
      // Words alone stand clear of the dots over chords.
      const raised = over ? 13 + Math.max(0, lines - 1) * smallStep : words.length > 0 ? 4 : 0;
      const worded = words.reduce((most, { texts }) => Math.max(most, texts.length), 0) * wordStep;
      // Words and bars stay together; more words than half a page holds go over its end.
      const together = this.size(worded) < this.doc.page.height / 2;
      const first = index === 0 ? 4 : 0;
      const height = row.some(({ tune }) => tune !== undefined) ? 49 : 38;
      if (together) this.room(worded + Math.max(3, raised) + height + first);
      this.gap(first);
      this.overText(words, 9.5, wordStep, together);
      if (!together) this.room(Math.max(3, raised) + height);
      if (index === 0) {
        const down = raised + (over ? 3 : 6);
        this.put(name, margin, 12, 'bold', down);
        if (who !== null) this.put(who, margin, 8.5, 'regular', down + 15);
      }
      this.gap(raised);
      this.raisedText(said);
      row.forEach((bar, place) => {
        inEnding = inEnding || bar.ending !== null;
        if (inEnding) this.endingLine(bar, left + place * barWidth, barWidth);
        if (bar.endsEnding) inEnding = false;
        this.bar(bar, left + place * barWidth, barWidth);
      });
      const end = left + row.length * barWidth;
      this.line(end, this.y, end, this.y + this.size(32), 0.8);
      const tuned = row.some(({ tune }) => tune !== undefined);
      row.forEach(({ tune = '' }, place) => {
        const points = this.fitted(tune, 8.5, 'regular', barWidth - 8);
        this.put(tune, left + place * barWidth + 4, points, 'regular', 34);
      });
      this.gap(tuned ? 52 : 41);
    });
  }

  /** What is said over the bars of a row, wrapped to the room up to the next bar over which something stands. */
  private overRow(row: readonly PrintedBar[], left: number, barWidth: number): readonly Over[] {
    const taken = row.map((bar) => bar.over.length > 0 || bar.ending !== null);
    return row.flatMap((bar, place) => {
      if (bar.over.length === 0) return [];
      const next = taken.indexOf(true, place + 1);
      const x = left + place * barWidth + (bar.ending === null ? 2 : this.size(30));
      const end = next < 0 ? this.width() - margin : left + next * barWidth;
      const texts = bar.over.flatMap((text) => this.broken(text, 8, end - x - 3));
      return [{ x, texts }];
    });
  }

  /** The words of the phrases that begin in a row, each wrapped to its phrase's width. */
  private wordsOfRow(row: readonly PrintedBar[], left: number, barWidth: number): readonly Over[] {
    const taken = row.map(({ words }) => words !== undefined);
    return row.flatMap(({ words }, place) => {
      if (!words) return [];
      const next = taken.indexOf(true, place + 1);
      const x = left + place * barWidth + 2;
      const end = next < 0 ? this.width() - margin : left + next * barWidth;
      return [{ x, texts: words.flatMap((text) => this.broken(text, 9.5, end - x - 6)) }];
    });
  }

  /** Blocks of lines side by side, ending together, and the place below them. */
  private overText(blocks: readonly Over[], points: number, step: number, together: boolean): void {
    const height = blocks.reduce((most, { texts }) => Math.max(most, texts.length), 0);
    for (let down = 0; down < height; down += 1) {
      if (!together) this.room(step);
      for (const { x, texts } of blocks) {
        const text = texts[down - (height - texts.length)];
        if (text !== undefined) this.put(text, x, points, 'regular');
      }
      this.gap(step);
    }
  }

  /** What is said right over the bars, the last line of each lowest. */
  private raisedText(blocks: readonly Over[]): void {
    for (const { x, texts } of blocks)
      texts.forEach((text, index) => {
        const up = 11 + (texts.length - 1 - index) * smallStep;
        this.small(text, x, this.y - this.size(up));
      });
  }

  /** A text on lines no wider than so many points on the page, a word that is wider in parts. Letters are put together with their
   * accents: next to signs that the font does not have, they would be drawn separately. */
  private broken(text: string, points: number, width: number): readonly string[] {
    return wrapText(safeText(text.normalize('NFC')), width, (part) => this.widthOf(part, points, 'regular'));
  }

  private line(x1: number, y1: number, x2: number, y2: number, width: number): void {
    this.doc.lineWidth(width).strokeColor('black').moveTo(x1, y1).lineTo(x2, y2).stroke();
  }

  /** The line over a bar of an ending: down where it begins and where it ends. */
  private endingLine({ ending, endsEnding }: PrintedBar, x: number, width: number): void {
    const high = this.y - this.size(12);
    const low = this.y - this.size(3);
    const right = endsEnding ? x + width - 3 : x + width;
    this.line(x, high, right, high, 0.8);
    if (ending !== null) this.line(x, high, x, low, 0.8);
    if (endsEnding) this.line(right, high, right, low, 0.8);
  }

  /** A bar: its lines and signs, numbers large, chords below, what is said above. */
  private bar(bar: PrintedBar, x: number, width: number): void {
    const top = this.y;
    const bottom = top + this.size(32);
    this.line(x, top, x, bottom, 0.8);
    if (bar.opens) this.repeatSign(x + 1, 1);
    if (bar.closes !== null) {
      this.repeatSign(x + width - 1, -1);
      if (bar.closes > 2) this.small(`×${bar.closes}`, x + width - this.size(22), top - this.size(11));
    }
    if (bar.ending !== null) this.small(bar.ending, x + 4, top - this.size(11));
    const before = bar.opens ? this.size(13) : 5;
    const inner = x + before;
    const room = width - before - (bar.closes === null ? 3 : this.size(11));
    const beats = bar.cells.map(({ dots }) => dots ?? 1);
    const all = beats.reduce((sum, one) => sum + one, 0);
    let at = inner;
    bar.cells.forEach((cell, index) => {
      this.cell(cell, at, (room * (beats[index] as number)) / all, bar.cells.length);
      at += (room * (beats[index] as number)) / all;
    });
    // Chords that share a bar are underlined together, as the trade writes them.
    if (bar.cells.length > 1)
      this.line(inner, top + this.size(20.5), inner + room - 2, top + this.size(20.5), 0.6);
  }

  private cell({ number, chord, dots, hard }: PrintedCell, x: number, width: number, count: number): void {
    const text = `${number}${hard ? '▴' : ''}`;
    const points = this.fitted(text, count > 1 ? 14 : 17, 'bold', width - 2);
    this.put(text, x, points, 'bold', 17 - points);
    if (dots !== null) {
      for (let dot = 0; dot < dots; dot += 1)
        this.doc
          .circle(x + this.size(2) + dot * this.size(4), this.y - this.size(1), this.size(0.9))
          .fill('black');
    }
    if (this.options.blank === 'chords')
      this.line(
        x,
        this.y + this.size(32),
        x + Math.min(width - 4, this.size(34)),
        this.y + this.size(32),
        0.4,
      );
    else this.put(chord, x, this.fitted(chord, 10, 'regular', width - 2), 'regular', 21.5);
  }

  /** The largest size, down to half, at which a text has room. */
  private fitted(text: string, points: number, font: 'regular' | 'bold', width: number): number {
    const full = this.widthOf(text, points, font);
    return full <= width ? points : Math.max(points / 2, (points * width) / full);
  }

  private small(text: string, x: number, y: number): void {
    this.doc.font('regular').fontSize(this.size(8)).fillColor('black').text(text, x, y, { lineBreak: false });
  }

  /** A thick and a thin line and two dots, opening to the right (1) or to the left. */
  private repeatSign(x: number, way: 1 | -1): void {
    const top = this.y;
    const bottom = top + this.size(32);
    this.line(x, top, x, bottom, 2.4);
    this.line(x + way * 3, top, x + way * 3, bottom, 0.8);
    for (const down of [11, 21]) this.doc.circle(x + way * 6, top + this.size(down), 1.3).fill('black');
  }

  /** Each shape once, as many in a row as there is room for. */
  private shapes({ shapes, courses }: PrintedSheet): void {
    const across = this.size(84);
    const perRow = Math.max(1, Math.floor((this.width() - 2 * margin) / across));
    for (let from = 0; from < shapes.length; from += perRow) {
      const row = shapes.slice(from, from + perRow);
      const tall = 48 + 12 * Math.max(...row.map(({ fingering }) => windowOf(fingering.frets).rows));
      this.room(tall);
      row.forEach((shape, place) => {
        this.shape(shape, courses, margin + place * across);
      });
      this.gap(tall);
    }
  }

  /** A shape as drawn with the neck upright: bass course left, or right for a left-handed player; the nut above. */
  private shape({ number, chord, fingering }: PrintedShape, courses: readonly string[], x: number): void {
    const { frets, fingers } = fingering;
    const blank = this.options.blank === 'shapes';
    const { first, rows } = windowOf(frets);
    const step = this.size(11);
    const row = this.size(12);
    const left = x + this.size(16);
    const top = this.y + this.size(30);
    const width = step * (courses.length - 1);
    this.put(number, x + this.size(8), 12, 'bold');
    if (this.options.blank !== 'chords')
      this.put(chord, x + this.size(16) + this.widthOf(number, 12, 'bold'), 10, 'regular', 2);
    const place = (index: number): number =>
      left + step * (this.options.leftHanded ? courses.length - 1 - index : index);
    for (let fret = 0; fret <= rows; fret += 1)
      this.line(
        left,
        top + fret * row,
        left + width,
        top + fret * row,
        fret === 0 && first === 1 ? 2.2 : 0.6,
      );
    courses.forEach((_, index) => {
      this.line(place(index), top, place(index), top + rows * row, 0.6);
    });
    if (blank) return;
    if (first > 1) this.small(String(first), left - this.size(14), top + this.size(1.5));
    frets.forEach((fret, index) => {
      const at = place(index);
      if (fret === null || fret === 0) {
        this.small(fret === null ? '×' : '○', at - this.size(2.5), top - this.size(10));
        return;
      }
      const y = top + (fret - first + 0.5) * row;
      this.doc.circle(at, y, this.size(4.6)).fill('black');
      const finger = fingers[index];
      if (finger === null || finger === undefined) return;
      const text = String(finger);
      this.doc.font('bold').fontSize(this.size(7)).fillColor('white');
      this.doc.text(text, at - this.doc.widthOfString(text) / 2, y - this.size(4), { lineBreak: false });
    });
    this.small(fretsText(frets), left - this.size(6), top + rows * row + this.size(4));
  }

  /** Each change in words, the hardest marked, two in a row. */
  private changes({ changes }: PrintedSheet): void {
    if (changes.length === 0 || this.options.blank === 'shapes') return;
    const columns = this.options.large ? 1 : 2;
    const width = (this.width() - 2 * margin) / columns;
    const points = 9;
    for (let from = 0; from < changes.length; from += columns) {
      const row = changes
        .slice(from, from + columns)
        .map(({ from: one, to, says, hard }) =>
          this.wrapped(
            `${hard ? '▴ ' : ''}${one} → ${to}  ${says}`,
            points,
            hard ? 'bold' : 'regular',
            width - this.size(12),
          ).map((line): readonly [string, 'bold' | 'regular'] => [line, hard ? 'bold' : 'regular']),
        );
      const tall = Math.max(...row.map((lines) => lines.length));
      this.room(tall * 12 + 2);
      row.forEach((lines, place) => {
        lines.forEach(([line, font], down) => {
          this.put(line, margin + place * width, points, font, down * 12);
        });
      });
      this.gap(tall * 12 + 3);
    }
  }
}
