// What a terminal shows: takes what a program writes, and has the cells of the screen with their styles. It knows the codes that the program's screen
// writer sends (places, styles, erasing) and passes over all others.
import stringWidth from 'string-width';

/** A cell that nothing was written to. */
const plain = Object.freeze({ bold: false, dim: false, inverse: false, ink: null, ground: null });

/** A screen of so many columns and rows. A cell is `{ text, style }`; one that a wide character covers has the empty text. */
export class Cells {
  constructor(columns, rows) {
    Object.assign(this, { columns, rows, row: 0, column: 0, style: plain, rest: '' });
    this.erase();
  }

  /** Takes text as it was written; a code that is cut off waits for what comes. */
  write(text) {
    const all = this.rest + text;
    this.rest = '';
    const codes =
      /\u001b\[([?>=]?)([\d;:]*)([@-~])|\u001b\][^\u0007\u001b]*(?:\u0007|\u001b\\)|\u001b[^[\]]|[\r\n\b]|[^\u001b\r\n\b]+/gy;
    while (codes.lastIndex < all.length) {
      const from = codes.lastIndex;
      const match = codes.exec(all);
      if (!match) {
        this.rest = all.slice(from);
        return;
      }
      const [whole, mark, numbers = '', kind] = match;
      if (kind !== undefined) this.obey(mark, numbers.split(';').map(Number), kind);
      else if (whole === '\r') this.column = 0;
      else if (whole === '\n') this.row = Math.min(this.rows - 1, this.row + 1);
      else if (whole === '\b') this.column = Math.max(0, this.column - 1);
      else if (!whole.startsWith('\u001b')) this.put(whole);
    }
  }

  /** The screen as text, line by line, without spaces at the ends. */
  text() {
    return this.lines
      .map((line) =>
        line
          .map((cell) => cell.text)
          .join('')
          .trimEnd(),
      )
      .join('\n');
  }

  obey(mark, numbers, kind) {
    const [first = 0, second = 0] = numbers;
    if (mark !== '') return;
    if (kind === 'H' || kind === 'f') {
      this.row = Math.min(this.rows, Math.max(1, first)) - 1;
      this.column = Math.min(this.columns, Math.max(1, second)) - 1;
    } else if (kind === 'J' && first >= 2) this.erase();
    else if (kind === 'K' && first === 0)
      for (let at = this.column; at < this.columns; at += 1) this.lines[this.row][at] = this.blank();
    else if (kind === 'm') this.restyle(numbers);
  }

  put(text) {
    for (const { segment } of new Intl.Segmenter().segment(text)) {
      const wide = stringWidth(segment);
      if (wide === 0 || this.column + wide > this.columns) continue;
      this.lines[this.row][this.column] = { text: segment, style: this.style };
      if (wide === 2) this.lines[this.row][this.column + 1] = { text: '', style: this.style };
      this.column += wide;
    }
  }

  erase() {
    this.lines = Array.from({ length: this.rows }, () =>
      Array.from({ length: this.columns }, () => this.blank()),
    );
  }

  blank() {
    return { text: ' ', style: { ...plain, ground: this.style.ground } };
  }

  restyle(numbers) {
    const style = { ...this.style };
    for (let at = 0; at < numbers.length; at += 1) {
      const code = numbers[at];
      if (code === 0) Object.assign(style, plain);
      else if (code === 1) style.bold = true;
      else if (code === 2) style.dim = true;
      else if (code === 7) style.inverse = true;
      else if (code === 22) Object.assign(style, { bold: false, dim: false });
      else if (code === 27) style.inverse = false;
      else if (code === 39) style.ink = null;
      else if (code === 49) style.ground = null;
      else if (code >= 30 && code <= 37) style.ink = code - 30;
      else if (code >= 90 && code <= 97) style.ink = code - 82;
      else if (code >= 40 && code <= 47) style.ground = code - 40;
      else if (code >= 100 && code <= 107) style.ground = code - 92;
      else if (code === 38 || code === 48) {
        // One of 256 colours, or red, green and blue.
        const isIndex = numbers[at + 1] === 5;
        const value = isIndex ? numbers[at + 2] : numbers.slice(at + 2, at + 5);
        style[code === 38 ? 'ink' : 'ground'] = value;
        at += isIndex ? 2 : 4;
      }
    }
    this.style = style;
  }
}
