import { tempoLimits } from '../../../chart/change.js';
import { meterText } from '../../../chart/chart.js';
import { meters } from '../../../chart/click-chart.js';
import { tempoLabel } from '../../../chart/label.js';
import { type Key, keyName, parseKey } from '../../../theory/key.js';
import { type Action, shareActions } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import { alone, asking, fill, type Order, type OrderStep, press, telling, type Word } from '../order.js';
import { spokenKey, withoutKeys } from '../spoken.js';
import { nothing } from './playing.js';

/** The tempo as it is set, with its share of the chart's own; a click has no chart. */
function tempoText({ mode, session: { performance } }: Model): string {
  if (!performance) return nothing;
  const { chart, bpm } = performance.setup;
  const exact = Math.round(bpm * 10) / 10;
  const percent = Math.round((100 * bpm) / chart.tempo.bpm);
  const share = mode.kind === 'click' ? '' : `, ${percent} percent of the chart’s`;
  return `tempo ${tempoLabel({ ...chart.tempo, bpm: exact })}${share}`;
}

/** The tempo after a change, or why there was none. */
function tempoAnswer(before: Model, after: Model, said: string): string {
  const changed = before.session.performance?.setup.bpm !== after.session.performance?.setup.bpm;
  const isLimit = said.startsWith('the tempo goes from');
  if (isLimit && !changed) return said;
  return after.session.performance ? tempoText(after) : said || nothing;
}

/** The meter of a click, in as many steps as lead to it. */
function meter(rest: string): Order | string {
  const names = meters.map(meterText);
  const wanted = rest.replaceAll(' ', '');
  if (!names.includes(wanted)) return `a click’s meter is one of ${names.join(', ')}`;
  const here = ({ session: { performance } }: Model): string =>
    performance ? meterText(performance.setup.chart.meter) : '';
  const next: OrderStep = {
    send: (model, at) => (here(model) === wanted ? [] : [{ kind: 'action', action: 'next-meter', at }]),
  };
  return { steps: names.map(() => next), answer: (_, after) => meterAnswer(here(after)) };
}

function meterAnswer(meter: string): string {
  return meter === '' ? nothing : `meter ${meter}`;
}

const limits = `the tempo goes from ${tempoLimits.least} to ${tempoLimits.most}, or is a share: tempo 180, tempo 80 %`;

const noShare = 'a click has no chart whose tempo could be shared; say the beats a minute: tempo 180';

/** A tempo in beats a minute, or a share of the chart's own. */
function tempo(text: string): Order | string {
  const share = /^(\d{1,4}) ?(?:%|percent)$/i.exec(text)?.[1];
  if (share !== undefined)
    return {
      steps: [press('share-typed'), ...fill(share)],
      answer: (before, after, said) => {
        if (after.mode.kind === 'click') return noShare;
        return after.overlay?.kind === 'line' && after.overlay.fault !== ''
          ? after.overlay.fault
          : tempoAnswer(before, after, said);
      },
    };
  const bpm = /^\d{1,4}(\.\d)?$/.test(text) ? Number(text) : null;
  if (bpm === null || bpm < tempoLimits.least || bpm > tempoLimits.most) return limits;
  return asking(() => ({ kind: 'tempo', bpm }), tempoAnswer);
}

function stepping(action: Action): Word['read'] {
  return alone(() => ({ steps: [press(action)], answer: tempoAnswer }));
}

/** The key that is named, in the mode of the chart; a text for what is wrong. */
export function keyNamed(text: string, mode: Key['mode']): Key | string {
  const plain = text
    .replace(/ ?(sharp|flat)\b/gi, (_, sign) => (sign.toLowerCase() === 'sharp' ? '#' : 'b'))
    .replace(/ ?(minor|major)\b/gi, (_, word) => (word.toLowerCase() === 'minor' ? 'm' : ''))
    .replace(/^\w/, (letter) => letter.toUpperCase())
    .trim();
  const isMinor = mode === 'minor' && !/m$/.test(plain) && !/major/i.test(text);
  const read = parseKey(isMinor ? `${plain}m` : plain);
  if (!read.ok) {
    return 'there is no key of that name; key D, key B flat and key F sharp minor are some';
  }
  return read.value.mode === mode
    ? read.value
    : `this chart is in ${mode}; it cannot be played in a ${read.value.mode} key`;
}

function key(text: string): Order {
  return {
    steps: [
      {
        send: ({ session: { performance } }) => {
          const named = performance && keyNamed(text, performance.setup.chart.key.mode);
          return named && typeof named !== 'string' ? [{ kind: 'key-chosen', key: named }] : [];
        },
      },
    ],
    answer: ({ session: { performance } }, after, said) => {
      if (!performance) return nothing;
      const named = keyNamed(text, performance.setup.chart.key.mode);
      if (typeof named === 'string') return named;
      return keyAnswer(performance.setup.key, after, said);
    },
  };
}

/** The key after a change, and whether the hand stays in its family. */
function keyAnswer(before: Key, { session: { performance } }: Model, said: string): string {
  if (!performance) return nothing;
  const { key: now } = performance.setup;
  const same = keyName(before) === keyName(now);
  const family = !same && said.startsWith('key ') ? said.slice(said.indexOf(':') + 1).trim() : '';
  return `key ${spokenKey(now)}${same ? ', as it was' : ''}${family === '' ? '' : `: ${withoutKeys(family)}`}`;
}

function halfStep(action: Action): Word['read'] {
  return alone(() => ({
    steps: [press(action)],
    answer: (before, after, said) =>
      before.session.performance
        ? keyAnswer(before.session.performance.setup.key, after, said)
        : said || nothing,
  }));
}

/** Tempo and key. */
export const tempoWords: readonly Word[] = [
  {
    name: 'click meter',
    takes: '3/4',
    says: 'the meter of a click without a song',
    group: 'tempo and key',
    actions: ['next-meter'],
    read: meter,
  },
  {
    name: 'tempo',
    takes: '180, or 80 %',
    says: 'beats a minute, or a share of the chart’s own tempo',
    group: 'tempo and key',
    actions: ['share-typed', ...shareActions, 'faster'],
    read: (rest) => (rest === '' ? telling((_, after) => tempoText(after)) : tempo(rest)),
  },
  {
    name: 'faster',
    says: 'five beats a minute more',
    group: 'tempo and key',
    actions: ['faster'],
    read: stepping('faster'),
  },
  {
    name: 'slower',
    says: 'five beats a minute less',
    group: 'tempo and key',
    actions: ['slower'],
    read: stepping('slower'),
  },
  {
    name: 'share up',
    says: 'ten percent of the chart’s tempo more',
    group: 'tempo and key',
    actions: ['share-up', 'share-typed'],
    read: stepping('share-up'),
  },
  {
    name: 'share down',
    says: 'ten percent of the chart’s tempo less',
    group: 'tempo and key',
    actions: ['share-down', 'share-typed'],
    read: stepping('share-down'),
  },
  {
    name: 'tap',
    says: 'the tempo by tapping: then Enter on empty lines, once a beat',
    group: 'tempo and key',
    actions: ['tap'],
    read: alone(() => ({ steps: [press('tap')] })),
  },
  {
    name: 'key',
    takes: 'D, or B flat',
    says: 'another key, also while it plays; the hand is planned again',
    group: 'tempo and key',
    actions: ['choose-key'],
    read: (rest) =>
      rest === ''
        ? telling((_, { session: { performance } }) =>
            performance ? `key ${spokenKey(performance.setup.key)}` : nothing,
          )
        : key(rest),
  },
  {
    name: 'key up',
    says: 'a half step up',
    group: 'tempo and key',
    actions: ['key-up'],
    read: halfStep('key-up'),
  },
  {
    name: 'key down',
    says: 'a half step down',
    group: 'tempo and key',
    actions: ['key-down'],
    read: halfStep('key-down'),
  },
];
