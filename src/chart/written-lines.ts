import type { Item, Section } from './chart.js';

/**
 * What is written in a section, by the index that `BarSource.line` has: its lines, or in a derived section its pieces, of
 * which those that are taken from elsewhere have nothing of their own.
 */
export function writtenLines(section: Section): readonly (readonly Item[])[] {
  if (section.derived) return section.derived.map(({ take }) => (take.kind === 'own' ? take.items : []));
  return section.lines.map(({ items }) => items);
}

/** All that is written in a section, in order. */
export function writtenItems(section: Section): readonly Item[] {
  return writtenLines(section).flat();
}
