import type { SheetBar } from './lead-sheet.js';

/** What a reader says where words that are sung to the notes were left out. */
export const sungLeftOut = 'lyrics';

/** A line of aligned words (ABC 2.1, 5.1) as text: syllables put together, signs of alignment left out. */
export function abcSung(text: string): string {
  return text
    .replace(/\\-/g, '\u0001')
    .replace(/\s*-\s*/g, '')
    .replace(/[_*|]/g, ' ')
    .replace(/~/g, ' ')
    .replace(/\u0001/g, '-')
    .replace(/\s+/g, ' ')
    .trim();
}

/** A syllable of a score's note (MusicXML 4.0, `lyric`): its verse, text, and how it belongs to a word. */
export interface Syllable {
  readonly verse: string;
  readonly text: string;
  readonly syllabic: string;
}

/** Measures of a line where a score says no lines. */
const perLine = 4;

/** Puts syllables together to the words of lines: each line has the bar it begins with, and a text for each verse. */
export class SungLines {
  private readonly lines: { readonly bar: number; readonly verses: Map<string, string> }[] = [];
  private joins = new Set<string>();

  /** The syllables of a measure that becomes this bar; `begins`: a line of the page begins with it. */
  add(bar: number, begins: boolean, syllables: readonly Syllable[]): void {
    const last = this.lines.at(-1);
    if (!last || begins || bar - last.bar >= perLine) this.lines.push({ bar, verses: new Map() });
    const { verses } = this.lines.at(-1) as (typeof this.lines)[number];
    for (const { verse, text, syllabic } of syllables) {
      const before = verses.get(verse) ?? '';
      verses.set(verse, before + (before === '' || this.joins.has(verse) ? '' : ' ') + text);
      if (syllabic === 'begin' || syllabic === 'middle') this.joins.add(verse);
      else this.joins.delete(verse);
    }
  }

  /** The bars, each that begins a line with what is sung in it. */
  over(bars: readonly SheetBar[]): SheetBar[] {
    const all = [...bars];
    for (const { bar, verses } of this.lines) {
      const first = all[bar];
      const sung = [...verses.values()].filter((text) => text !== '');
      if (first && sung.length > 0) all[bar] = { ...first, sung };
    }
    return all;
  }
}

/** Bars with what is sung as words of their phrases: of several verses each has its number. */
export function withSungWords(bars: readonly SheetBar[]): readonly SheetBar[] {
  return bars.map((bar) => {
    const { sung, words = [] } = bar;
    if (!sung) return bar;
    const verses = sung.length === 1 ? sung : sung.map((text, index) => `${index + 1}. ${text}`);
    return { ...bar, words: [...words, ...verses] };
  });
}
