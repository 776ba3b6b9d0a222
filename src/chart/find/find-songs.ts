import { beginsWord, searchText } from '../../base/search-text.js';
import { sameKey } from '../../theory/key.js';
import { meterText, quarterTempo } from '../chart.js';
import { type Asked, asked, withoutEnding } from './asked.js';
import { runFinder } from './number-run.js';
import type { SongFacts } from './song-facts.js';

/** What is searched: a song, or another entry of the list, which has only its text. */
export interface Findable {
  /** All of it that is text. */
  readonly text: string;
  /** The same as `searchText` has it. */
  readonly plain: string;
  /** `null` for anything that is not a song. */
  readonly facts: SongFacts | null;
}

/** How well something fits: 2 if its key is meant or one of its words begins with what was typed, 1 if it contains it elsewhere, `null` if it does not fit. */
export type Fit = 2 | 1 | null;

/**
 * A song, ready to be searched.
 *
 * @param more further text that it is found by: its file's name
 */
export function findable(facts: SongFacts, more = ''): Findable {
  const { title, by, tags } = facts;
  const text = [title, by ?? '', ...tags, withoutEnding(more)].join(' ');
  return { text, plain: searchText(text), facts };
}

/** Something other than a song, ready to be searched. */
export function findableText(text: string): Findable {
  return { text, plain: searchText(text), facts: null };
}

/** A function that says how well something fits the typed words; everything fits if nothing was typed. */
export function finder(query: string): (one: Findable) => Fit {
  const tests = asked(query).map(testOf);
  return (one) => {
    let least: Fit = 2;
    for (const test of tests) {
      const fit = test(one);
      if (fit === null) return null;
      if (fit < least) least = fit;
    }
    return least;
  };
}

function testOf(one: Asked): (one: Findable) => Fit {
  switch (one.kind) {
    case 'word':
      return ({ plain, facts }) =>
        inText(plain, one.word) ??
        (facts && (tempoIs(facts, one.word) || meterIs(facts, one.word)) ? 2 : null);
    case 'key':
      return ({ text, plain, facts }) => {
        if (facts && sameKey(facts.key, one.key)) return 2;
        // A title may have the letter as a word: “A Penny Short”.
        if (one.isSure) return hasWord(text, one.typed) ? 1 : null;
        return inText(plain, searchText(one.typed));
      };
    case 'tempo':
      return ({ plain, facts }) => {
        if (facts && isWithin(facts, one.from, one.to)) return 2;
        return inText(plain, one.typed) && 1;
      };
    case 'numbers': {
      const hasRun = runFinder(one.numbers);
      return ({ plain, facts }) => {
        if (facts && hasRun(facts.runs)) return 2;
        return beginsWord(plain, one.typed) ? 1 : null;
      };
    }
  }
}

function inText(plain: string, word: string): Fit {
  if (!plain.includes(word)) return null;
  return beginsWord(plain, word) ? 2 : 1;
}

function hasWord(text: string, word: string): boolean {
  return text.split(/[^\p{L}\p{N}#]+/u).includes(word);
}

function isWithin({ tempo }: SongFacts, from: number, to: number): boolean {
  const quarters = quarterTempo(tempo);
  return (from <= tempo.bpm && tempo.bpm <= to) || (from <= quarters && quarters <= to);
}

/** A number alone may be the chart's tempo, or the beginning of it. */
function tempoIs({ tempo }: SongFacts, word: string): boolean {
  return /^\d{2,3}$/.test(word) && String(tempo.bpm).startsWith(word);
}

/** `3/4`, or as much of it as is typed; `cut`. */
function meterIs({ meter }: SongFacts, word: string): boolean {
  const text = meterText(meter);
  return /^\d+\//.test(word) ? text.startsWith(word) : word === 'cut' && text === '2/2';
}
