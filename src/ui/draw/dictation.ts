import { leads } from '../../band/band.js';
import type { PlayedBar } from '../../chart/chart.js';
import { numberLabel } from '../../chart/label.js';
import { passView } from '../../playback/pass-view.js';
import { isSameChord, onDegree } from '../../shed/dictation/answer-key.js';
import { dictationLevels, levelAt } from '../../shed/dictation/levels.js';
import { beatsBefore } from '../../shed/dictation/questions.js';
import { isRight, standingAfter } from '../../shed/dictation/round.js';
import { cadenceBars } from '../../shed/dictation/source.js';
import { parseNumber } from '../../theory/number.js';
import { keyLabel } from '../keys/names.js';
import type { Model } from '../state/model.js';
import type { DictationPlay } from '../state/modes.js';
import { type StandView, standView } from '../state/select.js';
import { footLine } from './foot.js';
import { headLine } from './head.js';
import { fillLines, fitLine, type Line, type Piece, piece } from './line.js';
import { noticeLine } from './notice.js';
import { wordLines } from './words.js';

/** Bars on a line. */
const perLine = 4;

/** What the screen of changes that are named by ear is drawn from. */
interface View {
  readonly shown: StandView;
  readonly naming: DictationPlay;
  readonly bars: readonly PlayedBar[];
  readonly unicode: boolean;
}

/**
 * The screen while changes are named by ear: what is asked, a box for each bar, and in it what was pressed while it sounded. After the
 * phrase it tells what each bar was and what was answered to its changes. Before that it goes by the clock and by the keys alone: nothing of it
 * says that a change has come, where, or what it was. Exactly `rows - 1` lines.
 */
export function dictationLines(model: Model): Line[] {
  const { columns, rows } = model.size;
  const height = rows - 1;
  const shown = standView(model);
  const naming = shown?.drill?.dictation ?? null;
  if (!shown || !naming) return fillLines([], columns, height);
  const bars = passView(shown.performance)?.bars ?? [];
  const view: View = { shown, naming, bars, unicode: model.look.unicode };
  const head = [headLine(model, shown, columns), levelLine(view), []];
  const notice = noticeLine(model, null, columns);
  const keys = footLine(bindingsNow(model, naming), columns, view.unicode, 'dictation');
  const says = saysLines(model, view, columns);
  const room = height - head.length - says.length - 2;
  const body = barLines(view, columns, room);
  // What is asked is right below the bars, where the eyes are.
  const asked = body.length < room ? [...body, [], ...says] : [...body, ...says];
  const filled = fillLines([...head, ...asked], columns, height - 2);
  return fillLines([...filled, notice, keys], columns, height);
}

/** The keys that do something now, with the word for what the first of them does. */
function bindingsNow({ bindings, session }: Model, { phase }: DictationPlay): Model['bindings'] {
  const running = session.link.state === 'running';
  const asks = phase === 'asking';
  const idle: readonly string[] = asks
    ? ['hear-again', 'bar-back', 'bar-on']
    : ['answer-unknown', 'write-erase'];
  return bindings
    .filter(({ place, action }) => place === 'dictation' && !idle.includes(action))
    .map((one) => {
      if (one.action !== 'go-on') return one;
      return {
        ...one,
        foot: asks ? (running ? 'break off' : 'begin') : phase === 'again' ? 'stop' : 'next phrase',
      };
    });
}

function levelLine({ naming }: View): Line {
  const { round, start } = naming.dictation;
  const { level, index } = round;
  const phrase = `phrase ${index + 1}${hasTune(naming) && start.asks !== 'tune' ? ', a tune over it' : ''}`;
  if (!level) return [piece(` ${phrase}: ${asksWords[start.asks]}`, 'dim')];
  const at = (levelAt(level.name) ?? 0) + 1;
  // The numbers that are asked for stand apart from the others.
  return [piece(` ${phrase}; level ${at} of ${dictationLevels.length} (${level.says})`, 'dim')];
}

/** Whether a tune is played over the phrase. */
function hasTune({ dictation }: DictationPlay): boolean {
  return dictation.round.chart.tune !== undefined;
}

const asksWords = {
  changes: 'the changes of a song',
  bass: 'the bass of a song',
  tune: 'a tune alone; which chord fits?',
} as const;

/** What is to be done now, and which keys answer. */
function saysLines(model: Model, view: View, columns: number): Line[] {
  const { naming, shown } = view;
  const { performance } = shown;
  const running = model.session.link.state === 'running';
  const words = (text: string, style: Line[number]['style'] = 'plain'): Line[] =>
    wordLines(text, columns, style);
  if (naming.phase !== 'asking') return toldLines(view, columns);
  const keys = words(keyWords(view), 'dim');
  const alone = model.band && leads(model.band.band) ? words('The band does not hear it.', 'dim') : [];
  if (!running) {
    const begin = performance.eager ? 'It begins at once.' : `${keyLabel('space', view.unicode)} begins.`;
    return [
      ...words(
        `The first four chords give the key. ${then[naming.dictation.start.asks]}; you have until the next change. The bars are filled in at the end.`,
      ),
      ...alone,
      ...words(begin, 'title'),
      ...keys,
    ];
  }
  const { counting } = performance.cursor;
  const inCadence = naming.reached === null || counting || performance.cursor.bar < cadenceBars;
  const { asks } = naming.dictation.start;
  if (inCadence)
    return [
      ...words('Listen: this is the key. Then name each chord when it changes.', 'title'),
      ...alone,
      ...keys,
    ];
  const does =
    asks === 'changes' && hasTune(naming)
      ? 'Where does it go under the tune? Name each change.'
      : asking[asks];
  return [...words(does, 'title'), ...keys];
}

const then = {
  changes: 'Then press the number of each chord when it changes',
  bass: 'Then only the bass sounds: press the number of each chord when it changes',
  tune: 'Then only the tune sounds: press the number of the chord that fits, each time it changes',
} as const;

const asking = {
  changes: 'Where does it go? Name each change.',
  bass: 'Where does the bass go? Name each change.',
  tune: 'Which chord fits? Name it where it changes.',
} as const;

/** Which digits name what: `1  4  5  6: 6-  2: 2-, twice 2⁷`. */
function keyWords({ naming, unicode }: View): string {
  const { numbers } = naming.dictation.round;
  const named = [1, 2, 3, 4, 5, 6, 7].flatMap((degree): string[] => {
    const here = onDegree(numbers, degree).map((text) => labelOf(text, unicode));
    const [one, other] = here;
    if (one === undefined) return [];
    const first = one === String(degree) ? one : `${degree} is ${one}`;
    return [other === undefined ? first : `${first} (twice: ${here.slice(1).join(', ')})`];
  });
  return `Keys: ${named.join(', ')}; 0 not known`;
}

function labelOf(text: string, unicode: boolean): string {
  const read = parseNumber(text);
  return read.ok ? numberLabel(read.value, unicode) : text;
}

/** After a phrase: how many were right, the change that can be heard again, and what comes. */
function toldLines(view: View, columns: number): Line[] {
  const { naming, unicode } = view;
  const { dictation, answers, chosen, figures, phase } = naming;
  const { questions, notes, level } = dictation.round;
  const words = (text: string, style: Line[number]['style'] = 'plain'): Line[] =>
    wordLines(text, columns, style);
  const right = questions.filter((one, at) =>
    isRight(answers[at]?.number ?? null, one.to, notes?.[at] ?? null),
  ).length;
  const share = figures ? `${right} of ${questions.length} right` : 'Stopped early: it does not count';
  const next = standingAfter(dictation, figures);
  const moves =
    level && next.level !== dictation.standing.level
      ? `; ${next.level > dictation.standing.level ? 'up' : 'down'} to level ${next.level + 1}`
      : '';
  const question = questions[chosen];
  if (!question) return words(`${share}${moves}.`, 'title');
  const move = `${labelOf(question.from, unicode)} to ${labelOf(question.to, unicode)}`;
  const answer = answers[chosen]?.number ?? null;
  const said =
    answer === null
      ? 'not answered'
      : isSameChord(answer, question.to)
        ? 'right'
        : isRight(answer, question.to, notes?.[chosen] ?? null)
          ? `you said ${labelOf(answer, unicode)}, which fits as well`
          : `you said ${labelOf(answer, unicode)}`;
  const sounds = phase === 'again' ? 'sounding again' : 'r: hear it again';
  return [
    ...words(`${share}${moves}.`, 'title'),
    ...words(`${unicode ? '▸' : '>'} ${move}: ${said}; ${sounds}`),
    ...words('Space: the next phrase.', 'dim'),
  ];
}

/** Rows of bars: what each was, as far as it can be told, and below it what was answered. */
function barLines(view: View, columns: number, room: number): Line[] {
  const { bars } = view;
  const asked = bars.slice(cadenceBars);
  const rows = Math.ceil(asked.length / perLine);
  const airy = rows * 3 - 1 <= room;
  const width = Math.floor((columns - 2) / perLine);
  const lines: Line[] = [];
  for (let row = 0; row < rows; row += 1) {
    const places = Array.from({ length: perLine }, (_, at) => cadenceBars + row * perLine + at).filter(
      (index) => index < bars.length,
    );
    if (row > 0 && airy) lines.push([]);
    lines.push([piece(' '), ...places.flatMap((index) => fitLine(boxOf(view, index, width), width))]);
    lines.push([piece(' '), ...places.flatMap((index) => fitLine(answersIn(view, index), width))]);
  }
  return lines;
}

function boxOf(view: View, index: number, width: number): Piece[] {
  const { bars, shown, unicode, naming } = view;
  const bar = bars[index] as PlayedBar;
  const { cursor } = shown.performance;
  const isHere = cursor.bar === index && cursor.beat !== null && !cursor.counting;
  const edge = piece(unicode ? '│' : '|', isHere ? 'rail-on' : 'rail');
  if (naming.phase !== 'asking') {
    const text = bar.cells.map(({ number }) => (number ? numberLabel(number, unicode) : '')).join(' ');
    return [
      edge,
      piece(' '),
      piece(text, isHere ? 'here' : 'number'),
      piece(chosenSign(view, index), 'count'),
    ];
  }
  if (!isHere) return [edge];
  // Only the beats: where in the bar a change comes is asked, too.
  const beats = Array.from({ length: Math.min(Math.ceil(bar.beats), Math.floor((width - 3) / 2)) }, (_, at) =>
    piece(
      at === cursor.beat ? (unicode ? '━ ' : '= ') : unicode ? '─ ' : '- ',
      at === cursor.beat ? 'rail-on' : 'rail',
    ),
  );
  return [edge, piece(' '), ...beats];
}

function chosenSign({ naming, unicode }: View, index: number): string {
  const { chosen, phase, dictation } = naming;
  return phase !== 'asking' && dictation.round.questions[chosen]?.bar === index
    ? unicode
      ? ' ◂'
      : ' <'
    : '';
}

/** While it asks what was pressed in a bar; then what was answered to its changes, with a sign for each. */
function answersIn(view: View, index: number): Piece[] {
  const { naming, unicode, bars } = view;
  const space = piece('  ');
  if (naming.phase === 'asking') {
    const start = beatsBefore(bars, index);
    const end = start + (bars[index]?.beats ?? 0);
    const here = naming.pressed.filter(({ at }) => at >= start && at < end);
    return [space, ...here.map(({ number }) => piece(`${saidText(number, unicode)} `))];
  }
  const { dictation, answers } = naming;
  const { questions, notes } = dictation.round;
  const signs = questions.flatMap((one, at): Piece[] => {
    if (one.bar !== index) return [];
    const answer = answers[at] ?? null;
    const right = isRight(answer?.number ?? null, one.to, notes?.[at] ?? null);
    const sign = right ? (unicode ? '✓' : '+') : unicode ? '✗' : 'x';
    const said = answer ? saidText(answer.number, unicode) : unicode ? '–' : '-';
    return [piece(`${said}${sign} `, right ? 'dim' : 'count')];
  });
  return [space, ...signs];
}

/** An answer as it is shown: `0` where it was not known. */
function saidText(number: string | null, unicode: boolean): string {
  return number === null ? '0' : labelOf(number, unicode);
}
