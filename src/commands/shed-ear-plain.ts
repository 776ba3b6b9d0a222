import { createInterface } from 'node:readline/promises';
import { quoted } from '../base/safe-text.js';
import { quarterTempo } from '../chart/chart.js';
import { appendLine, diaryPath, type Who } from '../config/diary-file.js';
import { settled } from '../playback/arranging.js';
import { readyAt } from '../playback/performance.js';
import { firstSession, inTurn } from '../playback/session.js';
import { type Setup, setupOf } from '../playback/setup.js';
import { diaryLine } from '../shed/diary.js';
import { typedAnswer } from '../shed/dictation/answer-key.js';
import { type Answers, noAnswers, withAnswer } from '../shed/dictation/answers.js';
import { dictationDrill } from '../shed/dictation/drill.js';
import { earMix, earStart } from '../shed/dictation/ear-start.js';
import type { DictationFigures } from '../shed/dictation/figures.js';
import { levelAt } from '../shed/dictation/levels.js';
import {
  beginDictation,
  type Dictation,
  type DictationStart,
  figuresOf,
  isRight,
  nextRound,
  standingAfter,
} from '../shed/dictation/round.js';
import { soloedMix } from '../shed/dictation/solo.js';
import { cadenceBars } from '../shed/dictation/source.js';
import { goodFrom, shareRight } from '../shed/dictation/standing.js';
import type { Drill } from '../shed/drill.js';
import type { PassResult } from '../shed/ladder.js';
import { keyName } from '../theory/key.js';
import { counted, spokenKey, spokenWritten, writtenNumber } from '../ui/typed/spoken.js';
import { exit, print, say } from './exit.js';
import { outputsFor } from './outputs.js';
import { PlainPlayer } from './plain-player.js';
import { lastWords, writePatiently } from './plain-terminal.js';
import { ask } from './print.js';
import { settingsOf } from './settings.js';
import type { StandFlags } from './shed-common.js';
import { standStart } from './stand-start.js';

/** The flags of `shed ear` that matter when answers are typed. */
export type EarPlainFlags = Pick<StandFlags, 'out'> & { readonly count?: number };

/** What is typed for “not known”, and to hear it again. */
const unknown = ['0', '?'];
const again = ['again', 'r'];

/** Phrases without `--count`. */
const usualCount = 5;

/** How the typing ended. */
type Typed = { readonly answers: Answers; readonly over: boolean };

/**
 * Changes are named by ear without a screen: a phrase sounds, then each change is asked for in turn, a line for each answer. Time does
 * not count. An empty line, or the end of the input, ends it. Answers the exit status.
 */
export async function earPlain(start: DictationStart, flags: EarPlainFlags, who: Who): Promise<number> {
  writePatiently();
  const drill = dictationDrill(start);
  const path = diaryPath(who);
  const input = createInterface({ input: process.stdin, output: process.stderr, terminal: false });
  const lines = input[Symbol.asyncIterator]();
  let dictation = beginDictation(start);
  let [right, asked] = [0, 0];
  let status: number = exit.done;
  try {
    for (let phrase = 0; phrase < (flags.count ?? usualCount); phrase += 1) {
      print(`${phrase + 1}. ${headText(dictation)}`);
      const began = performance.now();
      status = await sound(dictation, drill, flags, who);
      if (status !== exit.done) break;
      const { answers, over } = await typed(dictation, lines, () => sound(dictation, drill, flags, who));
      const count = over ? answers.indexOf(null) : answers.length;
      const figures = figuresOf(dictation, answers, count < 0 ? answers.length : count);
      asked += figures.moves.length;
      right += figures.moves.filter(([, , , good]) => good).length;
      if (figures.moves.length > 0) {
        const ms = Math.round(performance.now() - began);
        const failed = appendLine(path, entryLine(dictation, drill, figures, over, ms));
        if (failed) say(failed);
      }
      if (over) break;
      const next = standingAfter(dictation, figures).level;
      if (next !== dictation.standing.level)
        print(`   ${next > dictation.standing.level ? 'up' : 'down'} to level ${next + 1}`);
      dictation = nextRound(dictation, figures);
    }
  } finally {
    input.close();
  }
  print(`${right} of ${asked} right`);
  await lastWords();
  return status;
}

function headText({ round, start }: Dictation): string {
  const { chart, level, numbers, questions } = round;
  const what = {
    changes: chart.tune ? 'bass and chop, a tune over them' : 'bass and chop',
    bass: 'the bass by itself',
    tune: 'a tune by itself',
  }[start.asks];
  const where = level
    ? `level ${(levelAt(level.name) ?? 0) + 1}: ${spokenWritten(level.says)}`
    : `chords: ${numbers.map(spokenWritten).join(', ')}`;
  return `key ${spokenKey(chart.key)}, ${what}; ${where}; ${counted(questions.length, 'change')}`;
}

/** Asks for each change in turn. */
async function typed(
  { round }: Dictation,
  lines: AsyncIterator<string>,
  soundAgain: () => Promise<number>,
): Promise<Typed> {
  const { questions, numbers, chart, notes } = round;
  let answers = noAnswers(questions);
  for (const [index, { from, to }] of questions.entries()) {
    for (;;) {
      ask(`   from ${spokenWritten(from)} to?`);
      const line = await lines.next();
      const text = line.done ? '' : line.value.trim();
      if (text === '') return { answers, over: true };
      if (again.includes(text.toLowerCase())) {
        if ((await soundAgain()) !== exit.done) return { answers, over: true };
        continue;
      }
      const number = unknown.includes(text)
        ? null
        : typedAnswer(writtenNumber(text), numbers, chart.key.mode);
      if (number === null && !unknown.includes(text)) {
        say(
          `${quoted(text)} is not a number; write 4, 6 minor, flat 7 or 2 seventh; write 0 if you do not know, or “again” to hear it again`,
        );
        continue;
      }
      answers = withAnswer(answers, index, { number, at: 0 });
      const good = isRight(number, to, notes?.[index] ?? null);
      print(
        good
          ? `   right${number === to ? '' : `; it is ${spokenWritten(to)}`}`
          : `   no: ${spokenWritten(to)}`,
      );
      break;
    }
  }
  return { answers, over: false };
}

/** Plays a phrase to its end. Nothing that is printed tells its chords. */
async function sound(
  { round, start }: Dictation,
  drill: Drill,
  flags: EarPlainFlags,
  who: Who,
): Promise<number> {
  const settings = settingsOf(who);
  const { sight: _, from, ...own } = standStart(round.chart, null, {}, settings);
  const { voices } = drill.start;
  const setup: Setup = setupOf(round.chart, {
    ...own,
    from,
    passes: 1,
    ...earStart(round.chart),
    mix: earMix(own.mix, voices ?? {}),
  });
  const player = new PlainPlayer({
    outputs: outputsFor(flags, settings),
    follow: null,
    stats: false,
    session: { ...firstSession, performance: { ...readyAt(setup, 0), eager: true } },
    settle: (played, at) => inTurn(played, (now) => settled(soloedMix(now, start.asks), at)),
    barText: (_playing, _pass, bar) => (bar < cadenceBars ? 'the key' : `bar ${bar - cadenceBars + 1}`),
    onStopped: (ended) => ended.end(exit.done),
  });
  return player.run();
}

function entryLine(
  { round }: Dictation,
  drill: Drill,
  dictation: DictationFigures,
  over: boolean,
  ms: number,
): string {
  const result: PassResult = over ? 'unmarked' : shareRight(dictation) >= goodFrom ? 'clean' : 'miss';
  const bpm = quarterTempo(round.chart.tempo);
  return diaryLine({
    at: Date.now(),
    what: 'drill',
    drill: drill.kind,
    title: drill.title,
    file: null,
    changes: [],
    key: keyName(round.chart.key),
    bpm,
    target: bpm,
    pattern: null,
    result,
    ms,
    dictation,
  });
}
