import { quality } from '../theory/quality.js';

/** What a voicing of a quality must hold, and what it may leave out, as half steps above the root. */
export interface Tones {
  readonly essential: readonly number[];
  readonly optional: readonly number[];
}

const perfectFifth = 7;

/**
 * The tones of a quality sorted by need: root and third, or what defines the quality (its seventh, sixth, sus,
 * altered fifth, highest extension), are essential. The perfect fifth may go, a ninth may below an eleventh or
 * thirteenth, and so may the third of an eleventh, which it grates against. Common practice.
 */
export function tonesOf(id: string): Tones {
  const { steps } = quality(id);
  const highest = Math.max(...steps);
  const mayGo = (step: number): boolean =>
    (step === perfectFifth && steps.length > 2) ||
    (step === 14 && highest > 14) ||
    (step === 4 && highest === 17);
  return { essential: steps.filter((step) => !mayGo(step)), optional: steps.filter(mayGo) };
}

/**
 * The two tones that say most of a quality, as half steps above the root: third and seventh (a fourth or second stands
 * for a third, a sixth for a seventh), in triads root and third, in a bare fifth root and fifth. Common practice.
 */
export function heartOf(id: string): readonly number[] {
  const { steps } = quality(id);
  const third =
    steps.find((step) => step === 3 || step === 4) ?? steps.find((step) => step === 5 || step === 2);
  const seventh = steps.find((step) => step >= 9 && step <= 11);
  return [seventh ?? 0, third ?? perfectFifth];
}

const names: Readonly<Record<number, string>> = {
  0: 'root',
  2: 'second',
  3: 'third',
  4: 'third',
  5: 'fourth',
  6: 'fifth',
  7: 'fifth',
  8: 'fifth',
  9: 'sixth',
  10: 'seventh',
  11: 'seventh',
  13: 'ninth',
  14: 'ninth',
  15: 'ninth',
  17: 'eleventh',
  21: 'thirteenth',
};

/** What a tone is called in a sentence: `fifth`. */
export function toneName(step: number): string {
  return names[step] ?? `tone ${step}`;
}
