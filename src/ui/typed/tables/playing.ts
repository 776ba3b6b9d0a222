import { passView } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import { drillOf } from '../../state/select.js';
import { sectionWord } from '../bar-words.js';
import { alone, asking, type Order, press, pressing, type Word, wholeOf } from '../order.js';
import { counted } from '../spoken.js';

/** Said where nothing is on the stand. */
export const nothing = 'there is nothing to play here; list prints the charts, open TITLE opens one';

/** Plays where nothing plays, and only there. */
function play(): Order {
  const runs = ({ session }: Model): boolean => session.link.state === 'running';
  return {
    steps: [
      {
        send: (model, at) =>
          runs(model) || model.session.performance?.eager
            ? []
            : [{ kind: 'action', action: onAction(model), at }],
      },
    ],
    answer: (before, after, said) => {
      const { performance } = after.session;
      if (!performance) return said || nothing;
      if (runs(before)) return 'it plays already';
      if (said !== '' && !said.includes('play')) return said;
      return `plays from bar ${performance.cursor.bar + 1}${sectionAt(performance)}${countText(performance.setup.countIn)}`;
    },
  };
}

/** What begins the music where the model is: on cards and between the parts of a sitting, going on does. */
function onAction({ mode }: Model): Action {
  const isCard = mode.kind === 'set' && mode.run.phase !== 'song';
  const isRest = mode.kind === 'sitting' && mode.phase !== 'playing';
  return isCard || isRest || drillOf(mode)?.dictation ? 'go-on' : 'play';
}

function countText(bars: number): string {
  return bars === 0 ? ', no count-in' : `, after ${counted(bars, 'bar')} of count-in`;
}

/** The section under the cursor. */
function sectionAt(performance: Performance): string {
  const { bars } = passView(performance) ?? {};
  const bar = bars?.[performance.cursor.bar];
  return bars && bar ? sectionWord(bars, bar, ', ') : ', the hand is being planned';
}

function pause(): Order {
  return {
    steps: [
      {
        send: ({ session }, at) =>
          session.link.state === 'running' || session.performance?.eager
            ? [{ kind: 'action', action: 'play', at }]
            : [],
      },
    ],
    answer: ({ session }) =>
      session.performance && (session.link.state === 'running' || session.performance.eager)
        ? `paused at bar ${session.performance.cursor.bar + 1}`
        : 'nothing plays',
  };
}

function passes(count: number | null): Order {
  return asking(
    ({ session }) => (session.performance ? { kind: 'passes', passes: count } : null),
    ({ session }) => {
      if (!session.performance) return nothing;
      return count === null ? 'it goes on without end' : `${counted(count, 'pass', 'passes')} in all`;
    },
  );
}

/** Playing, and how it ends. */
export const playingWords: readonly Word[] = [
  {
    name: 'play',
    also: ['start', 'begin'],
    says: 'play; begin the song of a card',
    group: 'playing',
    actions: ['play', 'go-on'],
    read: alone(play),
  },
  {
    name: 'pause',
    also: ['stop'],
    says: 'stop here; play goes on',
    group: 'playing',
    actions: ['play'],
    anywhere: true,
    read: alone(pause),
  },
  {
    name: 'end',
    also: ['last pass'],
    says: 'end with this pass',
    group: 'playing',
    actions: ['last-pass'],
    read: alone(() =>
      asking(
        ({ session }) =>
          session.performance ? { kind: 'passes', passes: session.performance.cursor.pass } : null,
        ({ session }) => (session.performance ? 'it ends with this pass' : nothing),
      ),
    ),
  },
  {
    name: 'passes',
    takes: '3, or endless',
    says: 'how often it is played in all',
    group: 'playing',
    actions: ['last-pass'],
    read: (rest) => {
      if (/^(endless|without end|forever)$/i.test(rest)) return passes(null);
      const count = wholeOf(rest);
      return count !== null && count >= 1 && count <= 1000
        ? passes(count)
        : 'how often is a number from 1 to 1000, or endless: passes 3';
    },
  },
  {
    name: 'count-in',
    also: ['count in', 'count'],
    takes: '0, 1 or 2',
    says: 'bars of count-in',
    group: 'playing',
    actions: ['count-in'],
    read: (rest) => {
      if (rest === '') return pressing('count-in');
      const countIn = rest === 'off' || rest === 'none' ? 0 : wholeOf(rest);
      if (countIn === null || countIn > 2) return 'a count-in has 0, 1 or 2 bars: count-in 1';
      return asking(
        ({ session }) => (session.performance ? { kind: 'sounds', changes: { countIn } } : null),
        ({ session }) =>
          session.performance
            ? countIn === 0
              ? 'no count-in'
              : `${counted(countIn, 'bar')} of count-in`
            : nothing,
      );
    },
  },
  {
    name: 'once more',
    also: ['extend'],
    says: 'this section once more when it ends',
    group: 'playing',
    actions: ['extend'],
    anywhere: true,
    read: alone(() => whilePlaying('extend')),
  },
  {
    name: 'ending',
    says: 'to the ending after this section; again: as written',
    group: 'playing',
    actions: ['ending'],
    anywhere: true,
    read: alone(() => whilePlaying('ending')),
  },
  {
    name: 'one more pass',
    says: 'one more pass of all of it',
    group: 'playing',
    actions: ['one-pass-more'],
    anywhere: true,
    read: alone(() => whilePlaying('one-pass-more')),
  },
  {
    name: 'hold',
    says: 'wait on this chord until go',
    group: 'playing',
    actions: ['hold'],
    anywhere: true,
    read: alone(() => whilePlaying('hold')),
  },
  {
    name: 'go on',
    also: ['release', 'cue'],
    says: 'let a held chord go; the next step where something waits',
    group: 'playing',
    actions: ['hold', 'go-on', 'next-chord'],
    anywhere: true,
    read: alone(() => ({
      steps: [{ send: (model, at) => goOn(model).map((action) => ({ kind: 'action', action, at })) }],
      answer: (before, _, said) => {
        if (said !== '') return said;
        return goOn(before).length === 0 ? 'nothing waits' : 'it goes on';
      },
    })),
  },
  {
    name: 'lateness',
    says: 'how late the clock has been',
    group: 'playing',
    actions: ['lateness'],
    anywhere: true,
    read: alone(() => ({
      steps: [
        {
          send: ({ session }, at) =>
            session.performance ? [{ kind: 'action', action: 'lateness', at }] : [],
          until: ({ notice, session }) => notice !== '' || !session.performance,
        },
      ],
      answer: ({ session }, _, said) => (session.performance ? said : nothing),
    })),
  },
];

/** What goes on where something waits; nothing elsewhere. */
function goOn(model: Model): readonly Action[] {
  const { mode, session } = model;
  const drill = drillOf(mode);
  if (mode.kind === 'set' && mode.run.phase !== 'song') return ['go-on'];
  if (mode.kind === 'sitting' && mode.phase !== 'playing') return ['go-on'];
  if (drill?.dictation) return ['go-on'];
  if (drill?.drill.start.waits) return ['next-chord'];
  const { vamp, cursor } = session.performance ?? {};
  return vamp || cursor?.waits ? ['hold'] : [];
}

function whilePlaying(action: Action): Order {
  return {
    steps: [press(action)],
    answer: (before, _, said) =>
      before.session.performance === null
        ? nothing
        : said !== ''
          ? said
          : before.session.link.state === 'running'
            ? 'done'
            : 'that is for music that plays: play first',
  };
}
