import type { Excerpt, Section } from './chart.js';
import { playThrough } from './play-through.js';

/**
 * Answers how many bars a section has when its repeats are played. Each section is counted once; one made of others is
 * the sum of their counts.
 */
export function barCounter(sections: readonly Section[]): (name: string) => number {
  const counts = new Map<string, number>();
  const indices = new Map(sections.map((section, index) => [section.name, index]));
  const barsOf = (name: string): number => {
    const found = counts.get(name);
    if (found !== undefined) return found;
    // Until it is worked out: a section that is made of itself finds nothing here.
    counts.set(name, 0);
    const index = indices.get(name) ?? -1;
    const section = sections[index];
    const count = !section
      ? 0
      : section.derived
        ? section.derived.reduce((sum, { of, take }) => sum + taken(take, barsOf(of)), 0)
        : playThrough(section, index, true).reduce((sum, { kind }) => sum + (kind === 'bar' ? 1 : 0), 0);
    counts.set(name, count);
    return count;
  };
  return barsOf;
}

/** How many bars are taken from a section with this many bars. */
function taken(take: Excerpt['take'], bars: number): number {
  if (take.kind === 'all') return bars;
  if (take.kind === 'own') return take.items.filter(({ kind }) => kind === 'bar').length;
  if (take.kind !== 'bars') return Math.min(take.bars, bars);
  return Math.max(0, Math.min(take.to, bars) - Math.max(0, take.from - 1));
}
