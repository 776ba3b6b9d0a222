import type { Pace } from './unseen-rules.js';

/** What a line of a section is: by its letter as in `sectionPlans`. */
export type LineTask = 'a' | 'A' | 'b' | 'c' | 'C' | 'h' | 'o' | 'z';

/** How a section is built of lines, with weights: which lines it has at which pace. */
export interface SectionPlan {
  readonly weight: number;
  readonly lines: readonly LineTask[];
  readonly paces: readonly Pace[];
}

/** Two lines make sixteen bars at two bars a chord, eight at a bar; four lines sixteen or, at half a bar, eight. */
const both: readonly Pace[] = [2, 1];
const quick: readonly Pace[] = [1, 0.5];

function plan(weight: number, lines: string, paces: readonly Pace[]): SectionPlan {
  return { weight, lines: lines.split(' ') as LineTask[], paces };
}

/**
 * The plans by what the section is. `a` sets out from home and `A` is the same with another end, which goes home; `b` is a second
 * line that sets out; `c` begins away from home, `C` is the same and goes home; `o` is left open on 5; `z` closes, and `h` does so from home. The same
 * letter twice in a plan is the same line twice.
 */
export const sectionPlans = {
  verse: [
    plan(6, 'a A', both),
    plan(6, 'a z', both),
    plan(3, 'a A a A', quick),
    plan(3, 'a z a z', quick),
    plan(3, 'a b a z', quick),
    plan(2, 'a A c A', quick),
    plan(2, 'a o a z', quick),
  ],
  chorus: [
    plan(6, 'c z', both),
    plan(3, 'c C', both),
    plan(2, 'a z', both),
    plan(3, 'c b c z', quick),
    plan(2, 'c o c z', quick),
    plan(2, 'c C c C', quick),
  ],
  /** Ends open: the verse comes after it. */
  bridge: [plan(3, 'c o', both), plan(2, 'c b c o', quick)],
  /** A part of a tune, in eight bars. */
  first: [plan(4, 'a A', [1]), plan(4, 'a z', [1]), plan(3, 'a A a A', [0.5]), plan(3, 'a b a z', [0.5])],
  second: [
    plan(4, 'c z', [1]),
    plan(3, 'c C', [1]),
    plan(2, 'a z', [1]),
    plan(2, 'c z c z', [0.5]),
    plan(2, 'c b c z', [0.5]),
  ],
  /** A part of a tune in four bars: short tunes, sixteen bars with their repeats. */
  'short first': [plan(1, 'a A', [0.5]), plan(1, 'a z', [0.5]), plan(2, 'h', [1])],
  'short second': [plan(1, 'c z', [0.5]), plan(1, 'c C', [0.5]), plan(2, 'C', [1])],
};

/** A section's kind: which plans it is built by; twelve bars have lines of their own. */
export type SectionKind = keyof typeof sectionPlans | 'twelve';

/** A song or tune: its sections with their kinds, and the forms that are usual for them. */
export interface SongPlan {
  readonly weight: number;
  readonly sections: Readonly<Record<string, SectionKind>>;
  readonly forms: readonly string[];
}

/** The songs; the last section of each form ends at home. */
export const songPlans: readonly SongPlan[] = [
  {
    weight: 10,
    sections: { V: 'verse', C: 'chorus' },
    forms: ['V, C, V, C', 'V x2, C, V, C', 'V, C, V, C x2', 'V, V, C, V'],
  },
  { weight: 2, sections: { V: 'verse', B: 'bridge' }, forms: ['V x2, B, V', 'V, B, V, B, V'] },
  { weight: 2, sections: { V: 'verse' }, forms: ['V x4'] },
  { weight: 4, sections: { A: 'first', B: 'second' }, forms: ['A x2, B x2'] },
  {
    weight: 1,
    sections: { A: 'short first', B: 'short second' },
    forms: ['A x2, B x2, A x2, B x2'],
  },
  { weight: 1.5, sections: { V: 'twelve' }, forms: ['V x3'] },
];
