import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import { standMode } from '../../state/select.js';
import type { Sight } from '../../state/sight.js';
import { alone, asking, press, type Talk, telling, type Word } from '../order.js';
import { nothing } from './playing.js';

const talks: readonly (readonly [Talk, readonly string[], string])[] = [
  ['everything', ['more', 'everything', 'every bar'], 'every bar is announced as it begins'],
  ['changes', ['less', 'changes'], 'bars are announced where the chord or the section changes'],
  ['nothing', ['nothing', 'no bars'], 'no bars are announced; where says the place'],
];

/** How much is said: `more` and `less` go a step, the others name it. */
function say(rest: string) {
  const wanted = rest.toLowerCase();
  const found = talks.find(([, words]) => words.includes(wanted));
  if (!found) return 'say more, say less or say nothing: say more announces every bar, say less only changes';
  const [talk, , says] = found;
  return telling(() => says, { talk });
}

function onOrOff(
  name: string,
  action: Action,
  says: string,
  of: (on: boolean) => Partial<Sight>,
  words: readonly [on: string, off: string],
): Word {
  return {
    name,
    takes: 'on or off',
    says,
    group: 'what is announced',
    actions: [action],
    read: (rest) => {
      const wanted = rest.toLowerCase();
      if (!['on', 'off', 'show', 'hide'].includes(wanted)) return `${name} is on or off: ${name} off`;
      const on = wanted === 'on' || wanted === 'show';
      return asking(
        () => ({ kind: 'sight', changes: of(on) }),
        (before) => (standMode(before) ? (on ? words[0] : words[1]) : nothing),
      );
    },
  };
}

const names = {
  both: 'numbers and chords are announced',
  numbers: 'only numbers are announced',
  chords: 'only chords are announced',
} as const;

/** What is told by itself, and in which words. */
export const toldWords: readonly Word[] = [
  {
    name: 'say',
    takes: 'more, less or nothing',
    says: 'how much is said by itself: every bar, only changes, nothing',
    group: 'what is announced',
    actions: [],
    anywhere: true,
    read: say,
  },
  {
    name: 'show',
    takes: 'numbers, chords or both',
    says: 'what names a chord',
    group: 'what is announced',
    actions: ['names'],
    read: (rest) => {
      const wanted = (Object.keys(names) as (keyof typeof names)[]).find((one) => one === rest.toLowerCase());
      if (!wanted) return 'what names a chord is numbers, chords or both: show numbers';
      return asking(
        () => ({ kind: 'sight', changes: { names: wanted } }),
        (before) => (standMode(before) ? names[wanted] : nothing),
      );
    },
  },
  onOrOff('hand', 'hide-hand', 'frets and motions, or not', (hand) => ({ hand }), [
    'frets and motions are announced',
    'the hand is hidden: frets and motions are not announced',
  ]),
  onOrOff('ahead', 'hide-ahead', 'what comes next, or not', (ahead) => ({ ahead }), [
    'what comes next is announced',
    'what comes is hidden',
  ]),
  onOrOff('words', 'hide-words', 'what is sung, or not', (words) => ({ words }), [
    'the words are announced',
    'the words are not announced',
  ]),
  {
    name: 'listen',
    takes: 'on or off',
    says: 'listen to what is played, or no longer',
    group: 'what is announced',
    actions: ['listen'],
    read: (rest) => {
      const wanted = rest.toLowerCase();
      if (!['', 'on', 'off'].includes(wanted)) return 'listening is on or off: listen on';
      const toggles = ({ ear }: Model): boolean => wanted === '' || (wanted === 'on') !== ear.on;
      return {
        steps: [{ send: (model, at) => (toggles(model) ? [{ kind: 'action', action: 'listen', at }] : []) }],
        answer: (before, { ear }, said) =>
          toggles(before) ? said : ear.on ? 'it listens already' : 'it does not listen',
      };
    },
  },
  {
    name: 'tune',
    also: ['tuning'],
    says: 'tuning: sound the courses; where it listens, hear each; again: done',
    group: 'what is announced',
    actions: ['tune'],
    read: alone(() => ({
      steps: [press('tune')],
      answer: (before, after, said) => {
        if (said !== '') return said;
        if (!after.session.performance) return nothing;
        if (after.overlay?.kind === 'tuning') return 'strike one course; tone sounds it, tune ends it';
        return before.overlay?.kind === 'tuning'
          ? 'the tuning is done'
          : 'the courses are sounded; tune ends it';
      },
      stays: true,
    })),
  },
  {
    name: 'tone',
    takes: 'next or back, or nothing',
    says: 'while it hears the tuning: sound this course, the next, the one before',
    group: 'what is announced',
    actions: ['course-tone', 'course-back', 'course-on'],
    anywhere: true,
    read: (rest) => {
      const wanted = rest.toLowerCase();
      if (!['', 'next', 'back'].includes(wanted)) return 'tone sounds a course: tone, tone next, tone back';
      const moves =
        wanted === 'next' ? [press('course-on')] : wanted === 'back' ? [press('course-back')] : [];
      return {
        steps: [...moves, press('course-tone')],
        answer: (before, after) =>
          before.overlay?.kind === 'tuning' && after.overlay?.kind === 'tuning'
            ? `course ${after.overlay.at + 1} sounds`
            : 'that is for tuning where it listens: listen on, then tune',
        stays: true,
      };
    },
  },
];
