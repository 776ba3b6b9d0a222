import type { Fingering } from '../hand/fingering.js';
import { arrangeOptions, type Setup } from '../playback/setup.js';
import type { Chord } from '../theory/chord.js';
import { type Arrangement, arrange } from '../time/arrange.js';

/** A song to be exported: a chart, how it is played and how often, and what a set says about it. */
export interface Song {
  readonly setup: Setup & { readonly passes: number };
  readonly notes: string | null;
}

/** A song as the player would have it. */
export function arrangementOf({ setup }: Song): Arrangement {
  return arrange(setup.chart, arrangeOptions(setup));
}

/** The shape of each chord of a song: the first that its plan has for it. */
export function shapesOf(song: Song): (chord: Chord) => Fingering | null {
  const named = ({ root, quality, bass }: Chord): string => `${root} ${quality} ${bass}`;
  const shapes = new Map<string, Fingering>();
  for (const { chord, fingering } of arrangementOf(song).plan.changes)
    if (fingering && !shapes.has(named(chord))) shapes.set(named(chord), fingering);
  return (chord) => shapes.get(named(chord)) ?? null;
}
