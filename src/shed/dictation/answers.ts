import type { Question } from './questions.js';

/** This long after the next change an answer still counts for the one before, where that has none: nobody names a chord sooner, ms (ours; choices among several sounds take longer). */
export const graceMs = 400;
/** An answer counts for the next change this long before it, if the one before is answered already, ms. */
export const earlyMs = 200;

/** What was answered to a question: a number, or `null` for “do not know”; and when, in felt beats from the chart's beginning. */
export interface Answer {
  readonly number: string | null;
  readonly at: number;
}

/** The answers to the questions of a phrase, by their places; `null` where there is none yet. */
export type Answers = readonly (Answer | null)[];

/** The two margins in felt beats. */
export interface Margins {
  readonly grace: number;
  readonly early: number;
}

/** The margins at a tempo: `beat` is a felt beat, ms. */
export function marginsAt(beat: number): Margins {
  return { grace: graceMs / beat, early: earlyMs / beat };
}

/** No answer to any of this many questions. */
export function noAnswers(questions: readonly Question[]): Answers {
  return questions.map(() => null);
}

/**
 * The question that an answer at a place is for: the oldest one that has begun, has no answer and is in time; else, just before the
 * next change, that one; else the last one that was answered, whose answer is replaced, as long as it is in time. `null`: none.
 */
export function questionFor(
  questions: readonly Question[],
  answers: Answers,
  at: number,
  { grace, early }: Margins,
): number | null {
  const isOpen = (one: Question, index: number): boolean =>
    one.at <= at && at < one.until + grace && answers[index] === null;
  const open = questions.findIndex(isOpen);
  if (open >= 0) return open;
  const coming = questions.findIndex(
    (one, index) => one.at > at && one.at - early <= at && answers[index] === null,
  );
  if (coming >= 0) return coming;
  const held = questions.findLastIndex(
    (one, index) => answers[index] !== null && (one.at <= at || one.at - early <= at) && at < one.until,
  );
  return held >= 0 ? held : null;
}

/** The answers with one at its place. */
export function withAnswer(answers: Answers, index: number, answer: Answer | null): Answers {
  return answers.map((one, at) => (at === index ? answer : one));
}

/** Whether the time for a question is over at a place: nothing that comes now counts for it. */
export function isClosed({ until }: Question, at: number, { grace }: Margins): boolean {
  return at >= until + grace;
}
