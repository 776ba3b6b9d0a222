import { type Entry, heardAs, type Story, storyOf } from './entry-story.js';
import type { ExpectedChord } from './expected.js';
import type { Matched } from './matched.js';
import { type HeardChord, wasChord } from './timed-stroke.js';

/** A chord that was played in place of the right one. */
export interface WrongChord {
  readonly bar: number;
  readonly beat: number;
  readonly chord: ExpectedChord;
  /** What it sounded like, by its name; `null` when nothing known. */
  readonly heard: string | null;
  /** Another chord was held for all of its time, or the next one for most of it; else it is one stroke. */
  readonly whole: boolean;
  /** Strokes that were heard wrong, and how likely it was really wrong. */
  readonly strokes: number;
  readonly confidence: number;
}

/** An entry with what was made of it. */
export interface ToldEntry extends Entry {
  readonly story: Story;
}

/** A single stroke is called wrong from this much of the ear's confidence on. */
const surely = 0.95;

/** The entries of chords in a pass, each with what best explains what was heard of it. */
export function toldEntries(strokes: readonly Matched[]): ToldEntry[] {
  const entries: { chord: ExpectedChord; from: ExpectedChord | null; strokes: Matched[]; entry: number }[] =
    [];
  for (const stroke of strokes) {
    const { chord, from, entry } = stroke.expected;
    const last = entries.at(-1);
    if (last?.entry === entry) last.strokes.push(stroke);
    else entries.push({ chord, from, entry, strokes: [stroke] });
  }
  return entries.map((entry, index) => ({
    ...entry,
    story: storyOf(entry, entries[index + 1]?.chord ?? null),
  }));
}

/** The wrong chords of an entry: all of it, or single strokes that its story does not explain. */
export function wrongOf({ chord, strokes, story }: ToldEntry): WrongChord[] {
  const wrong = strokes.filter(({ heard }) => heard && wasChord(heard, chord.name) === false);
  const told = (
    first: Matched,
    whole: boolean,
    rest: Omit<WrongChord, 'bar' | 'beat' | 'chord' | 'whole'>,
  ): WrongChord => ({
    bar: first.expected.bar,
    beat: first.expected.beat,
    chord,
    whole,
    ...rest,
  });
  // The unsure strokes are part of what all strokes say together.
  const others = strokes.filter((one) => {
    const was = heardAs(one);
    return was !== null && was.name !== '';
  });
  const [first] = others;
  const isWhole = story.kind === 'wrong' || isMostlyNext({ strokes, story });
  if (isWhole && first)
    return [told(first, true, { heard: story.heard, strokes: others.length, confidence: story.confidence })];
  return (
    wrong
      // Late changes are reported as such; a chord that came early was wrong where it came.
      .filter((one) => story.kind !== 'old' || strokes.indexOf(one) >= story.strokes)
      .flatMap((one) => {
        const { best = null, confidence = 0 } = one.heard?.chord ?? {};
        return confidence < surely ? [] : [told(one, false, { heard: best, strokes: 1, confidence })];
      })
  );
}

/** Whether a chord that came early was there for most of the time, or may have been for all of it: low notes of both chords do not tell them apart. */
function isMostlyNext({ strokes, story }: Pick<ToldEntry, 'strokes' | 'story'>): boolean {
  if (story.kind !== 'early') return false;
  if (story.strokes > 1 && 2 * story.strokes >= strokes.length) return true;
  return strokes.every(({ heard, expected }) => {
    const chord = heard?.chord ?? null;
    const was = heard && wasChord(heard, expected.chord.name);
    return was == null || isExplained(chord, story.heard) || (chord?.mayBe ?? []).includes(story.heard ?? '');
  });
}

/** Whether a stroke that was wrong may have been the chord of its entry's story. */
function isExplained(chord: HeardChord | null, name: string | null): boolean {
  if (!chord || name === null) return false;
  return chord.best === name || (chord.best === null && (chord.mayBe ?? []).includes(name));
}
