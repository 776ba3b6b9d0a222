import type { Chart } from '../../chart/chart.js';
import { unroll } from '../../chart/unroll.js';
import { type Key, keyName } from '../../theory/key.js';
import { bareChart } from '../make-chart.js';
import { seeded, shuffled } from '../seeded.js';
import { isSameChord } from './answer-key.js';
import type { Answers } from './answers.js';
import type { AskedMove, DictationFigures, DictationKind } from './figures.js';
import { fitsTune, notesUnder, type SpanNote } from './fits.js';
import { moveName } from './grammar.js';
import { type DictationLevel, levelOf } from './levels.js';
import { makeTune } from './make-tune.js';
import { moveWeights } from './move-table.js';
import { makePhrase, type PhraseWishes, phraseText } from './phrase.js';
import { askedSection, phraseChart, titleOf } from './phrase-chart.js';
import { type Question, questionsOf } from './questions.js';
import { askedKeys, type ChartSource, cadenceBars, keysNear, numbersOf, sourceChart } from './source.js';
import { afterPhrase, type Standing } from './standing.js';
import { hasTuneOver } from './tune-over.js';

/** How naming changes by ear begins: what sounds, where the player stands, and what the diary knows. */
export interface DictationStart {
  readonly asks: DictationKind;
  readonly standing: Standing;
  /** What was asked and answered so far. */
  readonly moves: readonly AskedMove[];
  /** Moves whose day of review has come, by name. */
  readonly due: readonly string[];
  readonly seed: number;
  /** The key that was asked for; `null`: another one each time. */
  readonly key: Key | null;
  /** Quarters a minute; `null`: as the level or the chart has it. */
  readonly bpm: number | null;
  /** Whether a tune is played over changes; `null`: over a chart's own, and else by the level (`hasTuneOver`). */
  readonly tune: boolean | null;
  /** Sections of charts to ask about, in place of phrases that are made up; needed where the tune alone sounds. */
  readonly sources: readonly ChartSource[];
}

/** One phrase: what sounds, what is asked, and how it can be answered. */
export interface Round {
  /** From 0. */
  readonly index: number;
  /** The cadence and the phrase. Nothing of it may be shown while it is asked. */
  readonly chart: Chart;
  readonly questions: readonly Question[];
  /** What the tune has under each of them, where the tune alone sounds. */
  readonly notes: readonly (readonly SpanNote[])[] | null;
  /** What digits name. */
  readonly numbers: readonly string[];
  /** `null` for a chart's own changes. */
  readonly level: DictationLevel | null;
}

/** Changes being named by ear: the phrase at hand, and what came of those before. */
export interface Dictation {
  readonly start: DictationStart;
  readonly standing: Standing;
  readonly moves: readonly AskedMove[];
  /** The phrases that were there, by their text. */
  readonly seen: readonly string[];
  readonly round: Round;
}

/** The first phrase. Throws where the tune alone is to sound and no section has one. */
export function beginDictation(start: DictationStart): Dictation {
  const { standing, moves } = start;
  return withRound({ start, standing, moves, seen: [] }, 0, null);
}

/** The next phrase, after one with these figures: its level and moves follow from them. `null`: it was stopped, or is passed over. */
export function nextRound(dictation: Dictation, figures: DictationFigures | null): Dictation {
  const { moves, round, standing } = dictation;
  return withRound(
    {
      ...dictation,
      moves: figures ? [...moves, ...figures.moves] : moves,
      standing: standingAfter({ standing, round }, figures),
    },
    round.index + 1,
    round.chart.key,
  );
}

/** The standing after a phrase; a chart's own changes do not move it. */
export function standingAfter(
  { standing, round }: Pick<Dictation, 'standing' | 'round'>,
  figures: DictationFigures | null,
): Standing {
  return figures && round.level ? afterPhrase(standing, figures) : standing;
}

/** The result of a phrase: each change with its answer. `closed`: this many of its changes count, the first ones. */
export function figuresOf({ start, round }: Dictation, answers: Answers, closed?: number): DictationFigures {
  const { questions, notes, level } = round;
  return {
    asks: start.asks,
    level: level?.name ?? null,
    moves: questions.slice(0, closed ?? questions.length).map(({ from, to }, index): AskedMove => {
      const answered = answers[index]?.number ?? null;
      return [from, to, answered, isRight(answered, to, notes?.[index] ?? null)];
    }),
  };
}

/** Whether an answer counts as right: it is the chord, or, where the tune alone sounds, fits it as well. */
export function isRight(answered: string | null, to: string, notes: readonly SpanNote[] | null): boolean {
  if (answered === null) return false;
  return notes ? fitsTune(answered, to, notes) : isSameChord(answered, to);
}

function withRound(before: Omit<Dictation, 'round'>, index: number, lastKey: Key | null): Dictation {
  const random = seeded(before.start.seed * 7919 + index);
  const { start, standing } = before;
  if (start.sources.length > 0) return withSource(before, index, lastKey, random);
  const level = levelOf(standing.level);
  const seen = new Set(before.seen);
  const bars = makePhrase(level, random, { ...wishesOf(before), seen });
  const own = start.key?.mode === level.mode ? start.key : null;
  const key = own ?? anotherKey(askedKeys[level.mode], lastKey, random);
  const chart: Chart = {
    ...phraseChart(bars, key, level, start.bpm ?? level.bpm),
    title: titleOf(start.asks),
    ...(hasTuneOver(start.asks, start.tune, standing)
      ? { tune: [makeTune(bars, key, askedSection, seeded(start.seed * 7919 + 250_000 + index))] }
      : {}),
  };
  const questions = questionsOf(unroll(chart).bars, cadenceBars);
  return {
    ...before,
    seen: [...before.seen, phraseText(bars)],
    round: { index, chart, questions, notes: null, numbers: level.numbers, level },
  };
}

/** A move that is due comes twice as often, until it was asked since. */
const dueWeight = 2;

/** How much more often each move should come, and which are wanted most: what is misheard, else what is due. */
function wishesOf({ start, moves }: Omit<Dictation, 'round'>): Omit<PhraseWishes, 'seen'> {
  const since = new Set(moves.slice(start.moves.length).map(([from, to]) => moveName(from, to)));
  const due = start.due.filter((move) => !since.has(move));
  const misheard = moveWeights(moves);
  return {
    weights: new Map([...due.map((move) => [move, dueWeight] as const), ...misheard]),
    wanted: misheard.size > 0 ? [...misheard.keys()] : due,
  };
}

function withSource(
  before: Omit<Dictation, 'round'>,
  index: number,
  lastKey: Key | null,
  random: () => number,
): Dictation {
  const { start } = before;
  // Every section once, in an order of its own, before one comes again.
  const turn = Math.floor(index / start.sources.length);
  const order = shuffled(start.sources, seeded(start.seed * 7919 + 500_000 + turn));
  const source = order[index % order.length] as ChartSource;
  const own = start.key?.mode === source.chart.key.mode ? start.key : null;
  const key = own ?? anotherKey(keysNear(source.chart.key), lastKey, random);
  const { tune, ...made } = sourceChart(source, key) ?? bareChart(key, start.bpm ?? 120);
  const chart: Chart = {
    ...made,
    ...(tune && (start.asks === 'tune' || start.tune !== false) ? { tune } : {}),
    title: titleOf(start.asks),
    tempo: start.bpm === null ? slowed(made) : { ...made.tempo, bpm: start.bpm },
  };
  const { bars } = unroll(chart);
  const questions = questionsOf(bars, cadenceBars);
  const notes = start.asks === 'tune' ? notesUnder(chart, bars, questions) : null;
  return {
    ...before,
    round: { index, chart, questions, notes, numbers: numbersOf(chart), level: null },
  };
}

/** A song is played no faster than the levels: at two thirds of its tempo, and at most this. */
const mostBeats = 120;

function slowed({ tempo }: Chart): Chart['tempo'] {
  return { ...tempo, bpm: Math.max(40, Math.min(mostBeats, Math.round((tempo.bpm * 2) / 3))) };
}

function anotherKey(keys: readonly Key[], last: Key | null, random: () => number): Key {
  const others = keys.filter((key) => last === null || keyName(key) !== keyName(last));
  return others[Math.floor(random() * others.length)] as Key;
}
