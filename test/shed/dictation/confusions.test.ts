import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { Rating } from 'ts-fsrs';
import { describe, expect, test } from 'vitest';
import { appendLine } from '../../../src/config/diary-file.js';
import { type DiaryEntry, diaryLine, readDiary } from '../../../src/shed/diary.js';
import { moveGrade, moveReviews } from '../../../src/shed/dictation/due-moves.js';
import type { AskedMove } from '../../../src/shed/dictation/figures.js';
import { startFromDiary } from '../../../src/shed/dictation/from-diary.js';
import { dictationLevels, levelAt, levelOf } from '../../../src/shed/dictation/levels.js';
import { askedMoves, moveTable, moveText, moveWeights } from '../../../src/shed/dictation/move-table.js';
import { movesIn } from '../../../src/shed/dictation/phrase.js';
import { beginDictation, nextRound } from '../../../src/shed/dictation/round.js';
import { afterPhrase, firstStanding, standingOf } from '../../../src/shed/dictation/standing.js';
import { seeded } from '../../../src/shed/seeded.js';
import { answersOf, type Confusions, entryOf } from './simulated-player.js';

const day = 86_400_000;

/** So many phrases of one level, answered by such a player, written into a diary in a file and read back from it. */
function keptDiary(
  confusions: Confusions,
  level: string,
  phrases: number,
  seed: number,
): readonly DiaryEntry[] {
  const file = join(mkdtempSync(join(tmpdir(), 'ears-')), 'diary.jsonl');
  const standing = { ...firstStanding, level: levelAt(level) ?? 0 };
  const random = seeded(seed);
  let dictation = beginDictation(startFromDiary([], 'changes', { seed, now: 0, standing }));
  for (let at = 0; at < phrases; at += 1) {
    const entry = entryOf(dictation, answersOf(dictation, confusions, random), at * 60_000);
    expect(appendLine(file, diaryLine(entry))).toBeNull();
    // It stays at the level, whatever comes of it: as if it was chosen each time.
    dictation = { ...nextRound(dictation, entry.dictation), standing };
  }
  const { entries, aside } = readDiary(readFileSync(file, 'utf8'));
  expect(aside).toEqual([]);
  expect(entries).toHaveLength(phrases);
  return entries;
}

describe('the answers of a player with known confusions', () => {
  test('are found again in the table: what for what, and how often', () => {
    const confusions: Confusions = {
      '1>5': { '4': 0.4 },
      '4>1': { '5': 0.2, none: 0.2 },
      '1>6-': { '4': 0.5 },
    };
    const entries = keptDiary(confusions, 'six', 300, 11);
    const table = moveTable(askedMoves(entries));
    for (const { from, to, asked, right, none, takenFor } of table) {
      const known = confusions[`${from}>${to}`] ?? {};
      const wrong = Object.entries(known).filter(([answer]) => answer !== 'none');
      expect(right + none + takenFor.reduce((sum, { times }) => sum + times, 0)).toBe(asked);
      // Exactly the answers that this player gives, and none that he does not.
      expect(takenFor.map(({ number }) => number).sort()).toEqual(wrong.map(([answer]) => answer).sort());
      // Four standard errors of a share from so many answers.
      const within = (times: number, share: number): void =>
        expect(Math.abs(times / asked - share)).toBeLessThanOrEqual(
          4 * Math.sqrt((share * (1 - share)) / asked) + 1e-9,
        );
      for (const { number, times } of takenFor) within(times, known[number] ?? 0);
      within(none, known.none ?? 0);
      if (wrong.length > 0) expect(asked).toBeGreaterThan(60);
    }
    // The ones that are misheard stand first.
    expect(
      table
        .slice(0, 3)
        .map(({ from, to }) => `${from}>${to}`)
        .sort(),
    ).toEqual(['1>5', '1>6-', '4>1']);
  });

  test('whatever confusion it is, at whatever level', () => {
    const found = fc
      .integer({ min: 0, max: dictationLevels.length - 1 })
      .chain((place) =>
        fc.record({ place: fc.constant(place), seed: fc.nat(1e6), pick: fc.nat(1e6), other: fc.nat(1e6) }),
      );
    fc.assert(
      fc.property(found, ({ place, seed, pick, other }) => {
        const level = levelOf(place);
        // A move that such phrases have, always taken for another chord of the level.
        const first = beginDictation(
          startFromDiary([], 'changes', { seed, now: 0, standing: { ...firstStanding, level: place } }),
        );
        const { questions } = first.round;
        const { from, to } = questions[pick % questions.length] ?? { from: '1', to: '4' };
        const others = level.numbers.filter((number) => number !== to);
        const takenFor = others[other % others.length] as string;
        const entries = keptDiary({ [`${from}>${to}`]: { [takenFor]: 1 } }, level.name, 4, seed);
        const [worst] = moveTable(askedMoves(entries));
        expect(worst).toMatchObject({ from, to, right: 0, none: 0 });
        expect(worst?.takenFor).toEqual([{ number: takenFor, times: worst?.asked }]);
        expect(moveText(worst as NonNullable<typeof worst>)).toBe(
          `${from} to ${to}, taken for ${takenFor}: ${worst?.asked} of ${worst?.asked} times`,
        );
      }),
      { numRuns: 30 },
    );
  });

  test('bring more of what is misheard: each phrase has it, as long as it is', () => {
    const confusions: Confusions = { '4>5': { '1': 1 } };
    const entries = keptDiary(confusions, 'bars', 6, 3);
    expect(moveWeights(askedMoves(entries)).get('4>5')).toBeGreaterThan(3);
    let dictation = beginDictation(
      startFromDiary(entries, 'changes', { seed: 5, now: day, standing: { ...firstStanding, level: 1 } }),
    );
    const misheard: boolean[] = [];
    for (let at = 0; at < 30; at += 1) {
      misheard.push(dictation.round.questions.some(({ from, to }) => from === '4' && to === '5'));
      // From now on everything is right.
      const answers = dictation.round.questions.map(({ to, at: beat }) => ({ number: to, at: beat }));
      const entry = entryOf(dictation, answers, at);
      dictation = { ...nextRound(dictation, entry.dictation), standing: { ...firstStanding, level: 1 } };
    }
    // While its last answers were wrong each phrase has it; later it comes as usual.
    expect(misheard.slice(0, 5).every(Boolean)).toBe(true);
    expect(moveWeights(dictation.moves).size).toBe(0);
  });
});

/** A phrase of so many right answers among so many. */
function phrase(right: number, of: number): { readonly moves: readonly AskedMove[] } {
  return {
    moves: Array.from({ length: of }, (_, at): AskedMove => ['1', '4', at < right ? '4' : '5', at < right]),
  };
}

describe('the level', () => {
  test.each([
    ['two good ones lead up', [5, 5], [0, 1]],
    ['one between begins the count anew', [5, 4, 5], [0, 0, 0]],
    ['and then two more lead up', [5, 4, 5, 5], [0, 0, 0, 1]],
    ['two bad ones lead down', [5, 5, 2, 2], [0, 1, 1, 0]],
    ['a bad one alone does not', [5, 5, 2, 4, 2], [0, 1, 1, 1, 1]],
    ['below the first there is none', [0, 0, 0], [0, 0, 0]],
  ] as const)('%s', (_, rights, levels) => {
    let standing = firstStanding;
    const found = rights.map((right) => {
      standing = afterPhrase(standing, phrase(right, 5));
      return standing.level;
    });
    expect(found).toEqual(levels);
  });

  test('rises to the last one and no further, and falls to the first', () => {
    let standing = firstStanding;
    for (let at = 0; at < 100; at += 1) standing = afterPhrase(standing, phrase(6, 6));
    expect(standing.level).toBe(dictationLevels.length - 1);
    for (let at = 0; at < 100; at += 1) standing = afterPhrase(standing, phrase(1, 6));
    expect(standing.level).toBe(0);
  });

  test('is read from the diary: begun at the first, gone on from one that was chosen, broken-off phrases left out', () => {
    const entry = (level: string, right: number, result: DiaryEntry['result'] = 'clean'): DiaryEntry => ({
      ...(keptDiary({}, 'bars', 1, 1)[0] as DiaryEntry),
      result,
      dictation: { asks: 'changes', level, ...phrase(right, 5) },
    });
    expect(standingOf([], 'changes')).toEqual(firstStanding);
    const risen = [entry('two-bars', 5), entry('two-bars', 5)];
    expect(standingOf(risen, 'changes').level).toBe(1);
    expect(standingOf(risen, 'bass').level).toBe(0);
    expect(standingOf([...risen, entry('minor', 5)], 'changes')).toMatchObject({ level: 8, goodInRow: 1 });
    expect(
      standingOf([...risen, entry('bars', 0, 'unmarked'), entry('bars', 0, 'unmarked')], 'changes').level,
    ).toBe(1);
  });
});

describe('the review of moves', () => {
  test.each([
    [1, 1, Rating.Good],
    [4, 4, Rating.Easy],
    [3, 4, Rating.Hard],
    [2, 4, Rating.Again],
    [0, 1, Rating.Again],
  ])('%d right of %d', (right, of, grade) => {
    expect(moveGrade(phrase(right, of).moves)).toBe(grade);
  });

  test('what is known comes later than what is not, and each move has its own day', () => {
    const entries = keptDiary({ '1>5': { '4': 1 } }, 'bars', 6, 2);
    const reviews = new Map(
      moveReviews(entries, 'changes').map(({ move, card }) => [move, card.due.getTime()]),
    );
    const known = reviews.get('1>4') ?? 0;
    expect(reviews.get('1>5')).toBeLessThan(known);
    expect(moveReviews(entries, 'bass')).toEqual([]);
    const asked = new Set(
      entries.flatMap(({ dictation }) => dictation?.moves.map(([from, to]) => `${from}>${to}`) ?? []),
    );
    expect([...reviews.keys()].sort()).toEqual([...asked].sort());
  });
});

test('what the diary has of it is bounded and checked, and the phrase stays where it does not read', () => {
  const [entry] = keptDiary({}, 'bars', 1, 1) as [DiaryEntry];
  const broken: readonly unknown[] = [
    null,
    7,
    { asks: 'songs', level: null, moves: [] },
    { asks: 'changes', level: '\u001b[2J', moves: [] },
    { asks: 'changes', level: null, moves: [['1', '4', '4']] },
    { asks: 'changes', level: null, moves: [['1', '<b>', '4', true]] },
    { asks: 'changes', level: null, moves: Array.from({ length: 65 }, () => ['1', '4', '4', true]) },
  ];
  for (const dictation of broken) {
    const line = diaryLine({ ...entry, dictation } as DiaryEntry);
    const { entries, aside } = readDiary(line);
    expect(aside).toEqual([]);
    expect(entries).toHaveLength(1);
    expect(entries[0]?.dictation).toBeUndefined();
  }
  expect(readDiary(diaryLine(entry)).entries[0]?.dictation).toEqual(entry.dictation);
  expect(movesIn([['1'], ['4']])).toEqual(['1>4']);
});
