import type { DiaryEntry } from '../../../src/shed/diary.js';
import { type Answers, withAnswer } from '../../../src/shed/dictation/answers.js';
import type { DictationFigures } from '../../../src/shed/dictation/figures.js';
import { moveName } from '../../../src/shed/dictation/grammar.js';
import { type Dictation, figuresOf } from '../../../src/shed/dictation/round.js';
import { goodFrom, shareRight } from '../../../src/shed/dictation/standing.js';
import { byWeight } from '../../../src/shed/seeded.js';
import { keyName } from '../../../src/theory/key.js';

/** By move (`1>5`) what a player answers in place of what sounds, and how often; `none`: nothing. What is left is right. */
export type Confusions = Readonly<Record<string, Readonly<Record<string, number>>>>;

/** The answers of a player with known confusions to the phrase at hand. */
export function answersOf({ round }: Dictation, confusions: Confusions, random: () => number): Answers {
  let answers: Answers = round.questions.map(() => null);
  round.questions.forEach(({ from, to, at }, index) => {
    const wrong = Object.entries(confusions[moveName(from, to)] ?? {});
    const left = 1 - wrong.reduce((sum, [, share]) => sum + share, 0);
    const number = byWeight(
      [[left, to], ...wrong.map(([answer, share]) => [share, answer] as const)],
      random,
    );
    if (number !== 'none') answers = withAnswer(answers, index, { number, at: at + 1 });
  });
  return answers;
}

/** A phrase and its answers as the diary keeps them. */
export function entryOf(
  dictation: Dictation,
  answers: Answers,
  at: number,
): DiaryEntry & { dictation: DictationFigures } {
  const figures = figuresOf(dictation, answers);
  return {
    at,
    what: 'drill',
    drill: 'ear-changes',
    title: 'changes by ear',
    file: null,
    changes: [],
    key: keyName(dictation.round.chart.key),
    bpm: 120,
    target: 120,
    pattern: null,
    result: shareRight(figures) >= goodFrom ? 'clean' : 'miss',
    ms: 30_000,
    dictation: figures,
  };
}
