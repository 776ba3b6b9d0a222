import type { StrokeKind } from './expected.js';

/** What the chord's ear said of a stroke. */
export interface HeardChord {
  /** The chord that was asked for, by its name. */
  readonly asked: string;
  /** Which chord it was, by its name; `null` when unsure, and when it was surely another than all that were thought of. */
  readonly best: string | null;
  /** Of a low note: other chords than the one that was asked for which have it, too. */
  readonly mayBe?: readonly string[];
  /** Whether it was the chord that was asked for; `null` when unsure. */
  readonly isAsked: boolean | null;
  /** How likely `isAsked` is right, from 0.5 to 1; when unsure, what it leans to. */
  readonly confidence: number;
  /** When unsure, though notes were heard: which chord it was more likely (`null`: another, which is not known), and whether the one that was asked for. */
  readonly leans?: { readonly best: string | null; readonly isAsked: boolean };
}

/** A stroke that was heard, on the clock that the expected strokes are on. */
export interface TimedStroke {
  /** Ms, as the expected strokes' `at`. */
  readonly at: number;
  readonly kind: StrokeKind;
  /** How sure the kind is, 0–1. */
  readonly kindSure: number;
  /** How clear its onset is; 0.02 is hardly one, 1 is plain. */
  readonly strength: number;
  /** Ms that it rang; `null` when that was not heard. */
  readonly ringMs: number | null;
  /** The MIDI note of a course that rang on when the others were still; `null` when none did. */
  readonly ringsOn: number | null;
  /** `null` when its chord was not asked for. */
  readonly chord: HeardChord | null;
}

/** Whether a stroke was a chord; `null` when that was not heard. What was asked for another chord is only told where it has a name. */
export function wasChord({ chord }: Pick<TimedStroke, 'chord'>, name: string): boolean | null {
  if (!chord || chord.isAsked === null) return null;
  if (chord.asked === name) return chord.isAsked;
  return chord.best === null ? null : chord.best === name;
}
