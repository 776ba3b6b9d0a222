import { safeText } from '../../../base/safe-text.js';
import type { CalledChord } from '../../../chart/transcript.js';
import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import { changeHere, shapeChoices } from '../../state/shapes.js';
import { chartLine } from '../chart-lines.js';
import { alone, asking, fill, type Order, press, pressing, telling, type Word, wholeOf } from '../order.js';
import { spokenChord, spokenDegree, spokenFrets, spokenNumber } from '../spoken.js';
import { moving } from './place.js';
import { nothing } from './playing.js';

const writeBar = 'a bar is written in the notation of charts: bar 5 1 (1 4); bar 5 alone goes there';

/** `bar 5` goes there; with notation after it the bar is rewritten. */
function bar(rest: string): Order | string {
  const [, number, text = ''] = /^(\d{1,4})(?: (.*))?$/.exec(rest) ?? [];
  if (number === undefined) return writeBar;
  if (text.trim() === '') return { ...moving(() => 'to-start'), steps: [press('go-to'), ...fill(number)] };
  return {
    ...asking(
      ({ session }) =>
        session.performance ? { kind: 'bar', bar: Number(number) - 1, text: text.trim() } : null,
      (before, after, said) =>
        before.session.performance === null ? nothing : said || written(before, after, Number(number)),
    ),
  };
}

function written(before: Model, after: Model, number: number): string {
  if (before.mode.kind !== 'chart' || after.mode.kind !== 'chart') return 'done';
  return before.mode.text.source === after.mode.text.source
    ? `bar ${number} has that already`
    : `bar ${number} is written`;
}

/** The shapes for the chord under the cursor: told, or one of them chosen. */
function shape(rest: string): Order | string {
  const place = wholeOf(rest);
  const isPlan = rest.toLowerCase() === 'plan';
  if (rest !== '' && place === null && !isPlan)
    return 'a shape is one of the list, or plan: shape, then shape 2';
  const choices = ({ session: { performance } }: Model) => {
    const change = performance && changeHere(performance);
    return change ? shapeChoices(change) : [];
  };
  const opened = ({ overlay }: Model): boolean => overlay?.kind === 'shapes';
  const open = press('choose-shape');
  if (rest === '')
    return {
      steps: [open],
      answer: (_, after, said) => {
        const { performance } = after.session;
        const change = performance && changeHere(performance);
        if (!opened(after) || !change) return said || nothing;
        const list = choices(after);
        return [
          `${list.length} shapes for ${spokenNumber(change.number)}, ${spokenChord(change.chord)}:`,
          ...list.map(({ fingering, moreMs }, index) => {
            const cost =
              index === 0
                ? 'as it is'
                : `${Math.abs(moreMs)} milliseconds a pass ${moreMs < 0 ? 'less' : 'more'}`;
            return `${index + 1} frets ${spokenFrets(fingering.frets)}, ${cost}${fingering.remark === '' ? '' : `, ${fingering.remark}`}`;
          }),
        ];
      },
    };
  return {
    steps: [
      open,
      {
        send: (model) => {
          const pick = place === null ? null : choices(model)[place - 1]?.pick;
          return opened(model) && pick !== undefined ? [{ kind: 'shape-chosen', pick }] : [];
        },
      },
    ],
    answer: (before, after, said) => {
      if (said !== '') return said;
      if (!before.session.performance) return nothing;
      if (opened(after)) return `there are shapes 1 to ${choices(before).length}; shape lists them`;
      const change = after.session.performance && changeHere(after.session.performance);
      return isPlan || !change?.fingering
        ? 'the shape is as the plan has it'
        : `frets ${spokenFrets(change.fingering.frets)}; the rest is planned round it`;
    },
  };
}

const isOpen = ({ overlay }: Model): boolean =>
  overlay?.kind === 'line' && overlay.purpose.kind === 'save-as';

function save(rest: string): Order | string {
  if (rest === '') return 'a chart is saved among your own under a name: save my weir';
  return {
    steps: [
      { send: (model, at) => (isOpen(model) ? [] : [{ kind: 'action', action: 'edit-bar', at }]) },
      { send: (model, at) => (isOpen(model) ? [] : [{ kind: 'action', action: 'line-done', at }]) },
      ...fill(rest).map((one) => ({
        ...one,
        send: (model: Model, at: number) => (isOpen(model) ? one.send(model, at) : []),
      })),
    ],
    answer: (_, after, said) =>
      said !== ''
        ? said
        : after.mode.kind === 'chart'
          ? 'what stands here is in its file already'
          : 'there is nothing here to save',
  };
}

/** A key of one who writes a chart down as it is called, or names chords by ear. */
function writing(name: string, action: Action, says: string, also: readonly string[] = []): Word {
  return {
    name,
    also,
    says,
    group: 'the chart',
    actions: [action],
    read: alone(() => pressing(action, (_, after, said) => said || calledText(after))),
  };
}

function calledChord({ degree, alter, minor, seventh }: CalledChord): string {
  return `${spokenDegree({ degree, alter })}${minor ? ' minor' : ''}${seventh ? ' seventh' : ''}`;
}

/** What was called or answered last. */
export function calledText({ mode }: Model): string {
  if (mode.kind === 'transcribe') {
    const bars = mode.transcript.bars.length;
    const last = mode.transcript.bars.at(-1);
    return `bar ${bars}: ${last ? last.chords.map(calledChord).join(', ') : 'nothing yet'}`;
  }
  if ('play' in mode && mode.play?.dictation) {
    const { pressed } = mode.play.dictation;
    const last = pressed.at(-1);
    return last ? `answer ${pressed.length}: ${last.number ?? 'not known'}` : 'no answer';
  }
  return 'done';
}

function takingBack(action: Action): Order {
  return pressing(action, ({ session }, _, said) =>
    session.performance ? said || 'it is taken back' : nothing,
  );
}

/** The chart: its bars, its shapes, and what is called while it is written down. */
export const chartWords: readonly Word[] = [
  {
    name: 'bar',
    takes: '5, or 5 1 (1 4)',
    says: 'go to a bar; with notation after it, rewrite that bar',
    group: 'the chart',
    actions: ['edit-bar', 'go-to'],
    read: bar,
  },
  {
    name: 'undo',
    says: 'take back what was chosen last: key, tempo, loop, shape, sounds',
    group: 'the chart',
    actions: ['take-back'],
    anywhere: true,
    read: alone(() => takingBack('take-back')),
  },
  {
    name: 'undo writing',
    says: 'take the last writing back',
    group: 'the chart',
    actions: ['undo'],
    anywhere: true,
    read: alone(() => takingBack('undo')),
  },
  {
    name: 'save',
    takes: 'a name',
    says: 'the chart among your own, where its file cannot be written',
    group: 'the chart',
    actions: ['edit-bar'],
    read: save,
  },
  {
    name: 'shape',
    also: ['shapes'],
    takes: '2, or plan',
    says: 'another shape for the chord here, while paused; alone: a list of them',
    group: 'the chart',
    actions: ['choose-shape'],
    read: shape,
  },
  {
    name: 'chart',
    says: 'the whole chart, a line a bar',
    group: 'the chart',
    actions: [],
    anywhere: true,
    reveals: true,
    read: alone(() => telling((_, after) => wholeChart(after))),
  },
  ...[1, 2, 3, 4, 5, 6, 7].map(
    (degree): Word =>
      writing(
        `chord ${degree}`,
        `degree-${degree}` as Action,
        `the bar is ${degree}, or it went to ${degree}; the figure alone does it too`,
      ),
  ),
  writing('minor', 'write-minor', 'the last chord is minor'),
  writing('seventh', 'write-seventh', 'the last chord has a seventh'),
  writing('flat', 'write-flat', 'the last chord is flat'),
  writing('sharp', 'write-sharp', 'the last chord is sharp'),
  writing('split', 'write-split', 'the next chord shares the bar'),
  writing('strike', 'write-erase', 'take the last chord or answer back', ['erase']),
  writing('meter', 'write-meter', 'the next meter, while a chart is written down'),
  writing('unknown', 'answer-unknown', 'by ear: the chord is not known'),
  writing('hear again', 'hear-again', 'by ear: hear the change again'),
  {
    name: 'done',
    takes: 'a title',
    says: 'what was written down is kept under this title',
    group: 'the chart',
    actions: ['write-done'],
    read: (rest) =>
      rest === ''
        ? 'a chart has a title: done Mill Race'
        : {
            steps: [press('write-done'), ...fill(rest)],
            answer: (_, __, said) => said || 'there is nothing to keep',
          },
  },
];

function wholeChart({ session: { performance } }: Model): string | readonly string[] {
  if (!performance) return nothing;
  const { chart } = performance.setup;
  const lines = (performance.arrangement?.bars ?? []).map(
    (played, index) =>
      `${index + 1} ${safeText(played.section)}: ${chartLine(played.cells.map(({ number }) => number))}`,
  );
  return [`${safeText(chart.title)}, ${lines.length} bars:`, ...lines];
}
