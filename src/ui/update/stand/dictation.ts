import { passView } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import { pause, type Session, withPerformance, withSetup } from '../../../playback/session.js';
import { beatMs } from '../../../playback/setup.js';
import { playOrPause } from '../../../playback/transport.js';
import { isSameChord, numberByDigit, turnedTo } from '../../../shed/dictation/answer-key.js';
import {
  type Answer,
  isClosed,
  type Margins,
  marginsAt,
  noAnswers,
  questionFor,
  withAnswer,
} from '../../../shed/dictation/answers.js';
import type { DictationFigures } from '../../../shed/dictation/figures.js';
import { beatsBefore } from '../../../shed/dictation/questions.js';
import {
  beginDictation,
  type Dictation,
  type DictationStart,
  figuresOf,
  nextRound,
} from '../../../shed/dictation/round.js';
import { soloedMix } from '../../../shed/dictation/solo.js';
import { cadenceBars } from '../../../shed/dictation/source.js';
import { goodFrom, shareRight } from '../../../shed/dictation/standing.js';
import type { PassResult } from '../../../shed/ladder.js';
import { positionAt } from '../../../time/conductor.js';
import { tickAt } from '../../../time/segment.js';
import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import type { DictationPlay } from '../../state/modes.js';
import { inTurn, type ModeEvent, noticed, played, type Step, step } from '../step.js';
import { openOverlay } from './choose.js';
import { passRecord } from './pass-record.js';
import { type Practising, withPlay } from './rungs.js';

/** In a sitting the next phrase begins this long after the one before, ms: time to read what it was. */
const readMs = 8000;

/** This many presses are shown at most, the newest. */
const mostPressed = 64;

/** What is said to an answer while the key is given. */
const notYet = 'not yet: these chords give the key';

/** A drill in which changes are named by ear. */
type Naming = Practising & { readonly play: { readonly dictation: DictationPlay } };

/** Whether changes are named by ear in this drill. */
export function isNaming(mode: Practising): mode is Naming {
  return mode.play.dictation !== null;
}

/** The first phrase, of which nothing has sounded. */
export function firstPhrase(start: DictationStart): DictationPlay {
  return unanswered(beginDictation(start));
}

function unanswered(dictation: Dictation): DictationPlay {
  return {
    dictation,
    answers: noAnswers(dictation.round.questions),
    pressed: [],
    last: null,
    phase: 'asking',
    reached: null,
    began: null,
    figures: null,
    chosen: 0,
    until: null,
  };
}

/** The phrase after the one whose answers are shown. */
export function nextPhrase({ dictation, figures }: DictationPlay): DictationPlay {
  return unanswered(nextRound(dictation, figures));
}

/** A key while changes are named. `next`: the next phrase is to come onto the stand. */
export function dictationAction(
  model: Model,
  mode: Naming,
  action: Action,
  at: number,
  next: () => Step,
): Step {
  const { phase } = mode.play.dictation;
  const degree = /^degree-([1-7])$/.exec(action)?.[1];
  if (degree !== undefined) return byDigit(model, mode, Number(degree), at);
  switch (action) {
    case 'answer-unknown':
      return answered(model, mode, at, () => null);
    case 'write-minor':
    case 'write-seventh':
      return turned(model, mode, action === 'write-minor' ? 'minor' : 'seventh', at);
    case 'write-erase':
      return takenBack(model, mode, at);
    case 'go-on':
    case 'play':
      if (phase === 'told') return next();
      return played(model, playOrPause(model.session));
    case 'hear-again':
      return phase === 'asking' ? step(model) : hearAgain(model, mode);
    case 'bar-back':
    case 'bar-on':
      return phase === 'told' ? chosen(model, mode, action === 'bar-on' ? 1 : -1) : step(model);
    default:
      return (opens.includes(action) ? openOverlay(model, action) : null) ?? step(model);
  }
}

/** What may be in front of it: where it sounds, and the keys. Voices are the drill's, and nothing of the chart is to be seen; a pedal may ask for more. */
const opens: readonly Action[] = ['choose-output', 'help'];

/** What happens while changes are named. */
export function dictationHeard(model: Model, mode: Naming, event: ModeEvent): Step {
  const { dictation } = mode.play;
  switch (event.kind) {
    case 'play-sent':
      return noticed(model, '');
    case 'moved':
      return dictation.phase === 'asking' ? reached(model, mode, event.at) : step(model);
    case 'halted':
      if (event.state !== 'paused') return step(model);
      return dictation.phase === 'asking'
        ? brokenOff(model, mode, event.at)
        : heardAgain(model, mode, event.at);
    case 'named-chord':
      return playedChord(model, mode, event);
    case 'take-ended':
      return dictation.phase === 'asking'
        ? phraseOver(model, mode, event.at)
        : heardAgain(model, mode, event.at);
    default:
      return step(model);
  }
}

/** In a sitting: when the phrase has been read, ms; `null` where nothing is waited for. */
export function readUntil(mode: Practising): number | null {
  return mode.play.dictation?.until ?? null;
}

/** The drill is left, or the program: what was asked of a phrase until now is kept. */
export function dictationLeft(model: Model, mode: Naming, at: number): Step {
  const { phase } = mode.play.dictation;
  return phase === 'asking' ? brokenOff(model, mode, at) : step(model);
}

/** A felt beat of the music at a time; `null` while it counts in, or nothing runs. */
function placeAt({ link, performance }: Session, at: number): number | null {
  const view = performance && passView(performance);
  if (!performance?.conductor || !view || link.state !== 'running' || link.spans.length === 0) return null;
  const position = positionAt(performance.conductor, tickAt(link.spans, at));
  if (position.phase === 'count-in') return null;
  const before = beatsBefore(view.bars, position.bar);
  if (position.phase === 'end') return before + (view.bars[position.bar]?.beats ?? 0);
  return before + position.beat + position.into;
}

function marginsOf({ setup }: Performance): Margins {
  return marginsAt(beatMs(setup));
}

function withDictation<M extends Practising>(mode: M, dictation: DictationPlay): M {
  return withPlay(mode, { dictation });
}

/** An answer at a time goes to the question that it is for; `numberOf` says which number it is, given what stood there. */
export function answered(
  model: Model,
  mode: Naming,
  at: number,
  numberOf: (before: string | null) => string | null,
): Step {
  const { performance } = model.session;
  const { dictation } = mode.play;
  const place = placeAt(model.session, at);
  if (dictation.phase !== 'asking' || !performance || model.session.link.state !== 'running')
    return step(model);
  if (place === null || place < cadenceEnd(performance)) return noticed(model, notYet);
  const { questions } = dictation.dictation.round;
  const index = questionFor(questions, dictation.answers, place, marginsOf(performance));
  const before = index === null ? null : (dictation.answers[index]?.number ?? null);
  const answer: Answer = { number: numberOf(before), at: place };
  const pressed = [...dictation.pressed, answer].slice(-mostPressed);
  // A press that answers nothing is shown like any other: otherwise the player could see that nothing has changed yet.
  const next =
    index === null
      ? { ...dictation, pressed, last: null }
      : { ...dictation, pressed, answers: withAnswer(dictation.answers, index, answer), last: index };
  return noticed({ ...model, mode: withDictation(mode, next) }, '');
}

/** The felt beats of the cadence. */
function cadenceEnd(performance: Performance): number {
  return beatsBefore(passView(performance)?.bars ?? [], cadenceBars);
}

function byDigit(model: Model, mode: Naming, degree: number, at: number): Step {
  const { numbers, chart } = mode.play.dictation.dictation.round;
  return answered(model, mode, at, (before) => numberByDigit(numbers, chart.key.mode, degree, before));
}

/** A chord was played. Playing the chord before a change again is not an answer to it; otherwise the last one played counts. */
function playedChord(model: Model, mode: Naming, { number, at }: { number: string; at: number }): Step {
  const { performance } = model.session;
  const { dictation } = mode.play;
  const place = placeAt(model.session, at);
  if (dictation.phase !== 'asking' || !performance || place === null) return step(model);
  const { questions } = dictation.dictation.round;
  const index = questionFor(questions, dictation.answers, place, marginsOf(performance));
  const question = index === null ? undefined : questions[index];
  if (question && !isSameChord(number, question.from)) return answered(model, mode, at, () => number);
  const { pressed } = dictation;
  const isShown = place < cadenceEnd(performance) || pressed.at(-1)?.number === number;
  if (isShown) return step(model);
  const next = { ...dictation, pressed: [...pressed, { number, at: place }].slice(-mostPressed) };
  return step({ ...model, mode: withDictation(mode, next) });
}

/** The last answer made minor or a seventh, while it is in time. */
function turned(model: Model, mode: Naming, way: 'minor' | 'seventh', at: number): Step {
  return changed(model, mode, at, (answer) =>
    answer.number === null ? answer : { ...answer, number: turnedTo(answer.number, way) },
  );
}

function takenBack(model: Model, mode: Naming, at: number): Step {
  return changed(model, mode, at, () => null);
}

function changed(model: Model, mode: Naming, at: number, to: (answer: Answer) => Answer | null): Step {
  const { performance } = model.session;
  const { dictation } = mode.play;
  const { last, answers, pressed } = dictation;
  const place = placeAt(model.session, at);
  const shown = pressed.at(-1);
  if (dictation.phase !== 'asking' || !performance || place === null || !shown) return step(model);
  // It is shown even if its time is over: otherwise the player could see that the next change has come.
  const other = to(shown);
  const next = { ...dictation, pressed: [...pressed.slice(0, -1), ...(other ? [other] : [])] };
  const question = last === null ? undefined : dictation.dictation.round.questions[last];
  const answer = last === null ? undefined : answers[last];
  const isOpen = question && answer && !isClosed(question, place, marginsOf(performance));
  const counted =
    isOpen && last !== null ? { ...next, answers: withAnswer(answers, last, to(answer)) } : next;
  return step({ ...model, mode: withDictation(mode, counted) });
}

/** Time has gone on: what is over can be shown; and after the cadence only what is asked about sounds. */
function reached(model: Model, mode: Naming, at: number): Step {
  const { dictation } = mode.play;
  const place = placeAt(model.session, at);
  if (place === null) return step(model);
  const next: DictationPlay = { ...dictation, reached: place, began: dictation.began ?? at };
  const session = soloedMix(model.session, dictation.dictation.start.asks);
  const { performance } = session;
  const isKeyOver = performance !== null && place >= cadenceEnd(performance);
  const notice = isKeyOver && model.notice === notYet ? '' : model.notice;
  return step({ ...model, session, notice, mode: withDictation(mode, next) });
}

/** The phrase has come to its end: its result is kept and shown. */
function phraseOver(model: Model, mode: Naming, at: number): Step {
  const { dictation } = mode.play;
  const figures = figuresOf(dictation.dictation, dictation.answers);
  const isAnswered = dictation.answers.some((answer) => answer !== null);
  const result: PassResult = !isAnswered ? 'unmarked' : shareRight(figures) >= goodFrom ? 'clean' : 'miss';
  const told: DictationPlay = {
    ...dictation,
    phase: 'told',
    figures: isAnswered ? figures : null,
    chosen: Math.max(
      0,
      figures.moves.findIndex(([, , , right]) => !right),
    ),
    until: mode.kind === 'sitting' ? at + readMs : null,
  };
  return recorded({ ...model, at, mode: withDictation(mode, told) }, mode, figures, result, at);
}

/** The phrase was left before its end: of what was asked until then the answers are kept; it says nothing of the level. */
function brokenOff(model: Model, mode: Naming, at: number): Step {
  const { dictation } = mode.play;
  const { questions } = dictation.dictation.round;
  const { performance } = model.session;
  const place = dictation.reached;
  if (!performance || place === null) return step(model);
  const margins = marginsOf(performance);
  const count =
    1 +
    questions.findLastIndex(
      (one, index) => dictation.answers[index] != null || isClosed(one, place, margins),
    );
  const figures = figuresOf(dictation.dictation, dictation.answers, count);
  const until = mode.kind === 'sitting' ? at + readMs : null;
  const told: DictationPlay = { ...dictation, phase: 'told', figures: null, until };
  const left: Model = { ...model, at, mode: withDictation(mode, told) };
  return count === 0 ? step(left) : recorded(left, mode, figures, 'unmarked', at);
}

function recorded(
  model: Model,
  mode: Naming,
  dictation: DictationFigures,
  result: PassResult,
  at: number,
): Step {
  const { performance } = model.session;
  if (!performance) return step(model);
  const { drill, dictation: own } = mode.play;
  const record = passRecord(performance.setup, '', [], Math.max(0, at - (own.began ?? at)));
  const kept = {
    ...record,
    what: 'drill' as const,
    drill: drill.kind,
    title: drill.title,
    dictation,
    ...(drill.plan === undefined ? {} : { plan: drill.plan }),
  };
  return step(model, { kind: 'record', record: kept, result });
}

/** The chosen change is heard again, from the bar before it. */
function hearAgain(model: Model, mode: Naming): Step {
  const { dictation } = mode.play;
  const question = dictation.dictation.round.questions[dictation.chosen];
  const { performance, link } = model.session;
  const view = performance && passView(performance);
  if (!question || !performance || !view) return step(model);
  if (link.state === 'running') return played(model, pause(model.session));
  const start = beatsBefore(view.bars, question.bar);
  const from = question.at > start ? question.bar : Math.max(0, question.bar - 1);
  const to = Math.min(view.bars.length, question.bar + 1);
  const cursor = { ...performance.cursor, bar: from, pass: 1 };
  const there = withPerformance(withSetup(model.session, { range: { from, to }, countIn: 0 }), { cursor });
  const again = withDictation(mode, { ...dictation, phase: 'again', until: null });
  return inTurn(step({ ...model, session: there, mode: again }), (now) =>
    played(now, playOrPause(now.session)),
  );
}

/** The change was heard again. */
function heardAgain(model: Model, mode: Naming, at: number): Step {
  const { dictation } = mode.play;
  if (dictation.phase !== 'again') return step(model);
  const until = mode.kind === 'sitting' ? at + readMs : null;
  return step({ ...model, at, mode: withDictation(mode, { ...dictation, phase: 'told', until }) });
}

function chosen(model: Model, mode: Naming, way: 1 | -1): Step {
  const { dictation } = mode.play;
  const last = dictation.dictation.round.questions.length - 1;
  const place = Math.max(0, Math.min(last, dictation.chosen + way));
  return step({ ...model, mode: withDictation(mode, { ...dictation, chosen: place }) });
}

/** The result, as a sitting shows it at its end: how many of the changes were named right. */
export function dictationResult(title: string, { dictation, figures }: DictationPlay): string {
  const { start, round } = dictation;
  const moves = [...dictation.moves.slice(start.moves.length), ...(figures?.moves ?? [])];
  const right = moves.filter(([, , , isRight]) => isRight).length;
  const at = round.level ? `, level ${round.level.name}` : '';
  return `${title}: ${right} of ${moves.length} changes right${at}`;
}
