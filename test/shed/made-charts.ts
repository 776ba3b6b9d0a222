import { unseenChart } from '../../src/shed/unseen.js';
import { type UnseenLevel, unseenLevels } from '../../src/shed/unseen-levels.js';
import type { Key } from '../../src/theory/key.js';

/** A section of a chart: its bars, each the numbers that share it, without the marks of early chords. */
export type MadeSection = readonly (readonly string[])[];

/** So many charts of each level and mode are looked at. */
export const madeCount = 1000;

/** The sections of the charts of a level, by the seeds from 0 on; the lifted chorus, which is the chorus, is left out. */
export function madeSections(level: UnseenLevel, mode: Key['mode']): readonly (readonly MadeSection[])[] {
  return made.get(`${level} ${mode}`) as readonly (readonly MadeSection[])[];
}

const made = new Map(
  unseenLevels.flatMap((level) =>
    (['major', 'minor'] as const).map((mode) => {
      const charts = Array.from({ length: madeCount }, (_, seed) =>
        sectionsOf(unseenChart({ seed, key: { tonic: 'A', mode }, level, bpm: 160 })),
      );
      return [`${level} ${mode}`, charts] as const;
    }),
  ),
);

function sectionsOf(text: string): readonly MadeSection[] {
  const sections = text.slice(text.indexOf('sections:')).split(/^ {2}(\w+): \|$/m);
  return sections.flatMap((body, at) =>
    at % 2 === 0 && at > 0 && sections[at - 1] !== 'lift'
      ? [(body.match(/\([^)]*\)|\S+/g) ?? []).map((bar) => bar.replace(/[(')]/g, '').split(' '))]
      : [],
  );
}

/** How often each number sounds, in shares of all bars, and how often each change comes, in shares of all changes within sections. */
export function tally(sections: readonly MadeSection[]): {
  share: (number: string) => number;
  change: (change: string) => number;
} {
  const times = new Map<string, number>();
  const changes = new Map<string, number>();
  const add = (map: Map<string, number>, name: string, much: number) =>
    map.set(name, (map.get(name) ?? 0) + much);
  for (const bars of sections) {
    let last: string | undefined;
    for (const bar of bars)
      for (const number of bar) {
        // A seventh is the same number for this: the collection writes them as it likes.
        const plain = number.replace(/\^7(b5)?$/, '');
        add(times, plain, 1 / bar.length);
        if (last !== undefined && last !== plain) add(changes, `${last} ${plain}`, 1);
        last = plain;
      }
  }
  const total = (map: Map<string, number>) => [...map.values()].reduce((sum, much) => sum + much, 0);
  const all = { times: total(times), changes: total(changes) };
  return {
    share: (number) => (times.get(number) ?? 0) / all.times,
    change: (change) => (changes.get(change) ?? 0) / all.changes,
  };
}
