import type { PlayedBar } from './chart.js';
import { versesFor } from './phrase-words.js';

/** Counts how often each phrase with words has been played in a part of the form, so that each time has its verse. */
export class PhraseCounter {
  private readonly played = new Map<string, number>();

  constructor(private readonly allVerses: boolean) {}

  /** The words of a phrase that are for this time, when its first bar is played. */
  wordsNow(
    { section, source }: Pick<PlayedBar, 'section' | 'source'>,
    words: readonly string[],
  ): readonly string[] {
    if (this.allVerses) return words;
    const name = `${section}/${source.section}/${source.line}`;
    const time = (this.played.get(name) ?? 0) + 1;
    this.played.set(name, time);
    return versesFor(words, time);
  }
}
