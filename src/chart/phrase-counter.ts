import type { PlayedBar } from './chart.js';
import { versesFor } from './phrase-words.js';

/** Counts how often each phrase with words has been played in a part of the form, so that each time has its verse. */
export class PhraseCounter {
  private readonly played = new Map<string, number>();

  constructor(private readonly allVerses: boolean) {}

  /** A phrase's first bar with those of its words that are for this time. */
  withWords(bar: PlayedBar, words: readonly string[]): PlayedBar {
    const name = `${bar.section}/${bar.source.section}/${bar.source.line}`;
    const time = (this.played.get(name) ?? 0) + 1;
    this.played.set(name, time);
    const now = this.allVerses ? words : versesFor(words, time);
    return now.length === 0 ? bar : { ...bar, words: now };
  }
}
