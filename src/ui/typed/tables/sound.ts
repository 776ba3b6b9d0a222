import { didYouMean } from '../../../base/nearest.js';
import { safeText } from '../../../base/safe-text.js';
import { pedalUses, pedalWords } from '../../../playback/pedals.js';
import type { Setup } from '../../../playback/setup.js';
import type { Destinations, OutSpec } from '../../../player/messages.js';
import { clickKinds } from '../../../time/click.js';
import { type Voice, voices } from '../../../time/event.js';
import { isMadeFor, type Pattern, patterns } from '../../../time/pattern.js';
import { type Mix, mostLevel } from '../../../time/sound.js';
import type { Model } from '../../state/model.js';
import { alone, asking, type Order, press, telling, type Word, wholeOf } from '../order.js';
import { withoutKeys } from '../spoken.js';
import { nothing } from './playing.js';

/** What the voices are called by people, beside their names. */
const voiceNames: Readonly<Record<string, Voice>> = {
  melody: 'lead',
  tune: 'lead',
  chops: 'chop',
  clicks: 'click',
};

function voiceText(voice: Voice, { on, alone: only, levels }: Mix): string {
  const state = only === null ? (on[voice] ? 'on' : 'off') : only === voice ? 'alone' : 'silent';
  return `${voice} ${state}, ${levels[voice]} percent`;
}

/** One voice on or off, alone, or so loud. */
function voice(rest: string): Order | string {
  const [first = '', ...words] = rest.toLowerCase().split(' ');
  const named = voices.find((one) => one === first) ?? voiceNames[first];
  if (!named)
    return `“${safeText(first)}” is not a voice${didYouMean(first, voices) || `; there are ${voices.join(', ')}`}`;
  const how = words.join(' ');
  const level = wholeOf(how.replace(/ ?(%|percent)$/, ''));
  if (
    !['on', 'off', 'alone', 'with the others', 'softer', 'louder'].includes(how) &&
    (level === null || level > mostLevel)
  )
    return `a voice is on, off, alone, softer, louder, or has a level from 0 to ${mostLevel} percent: voice ${named} 60`;
  return asking(
    ({ session: { performance } }) =>
      performance ? { kind: 'sounds', changes: soundOf(performance.setup, named, how, level) } : null,
    (_, { session: { performance } }) => (performance ? voiceText(named, performance.setup.mix) : nothing),
  );
}

function soundOf({ mix, melody }: Setup, named: Voice, how: string, level: number | null) {
  const by = how === 'softer' ? -10 : how === 'louder' ? 10 : 0;
  const loud = Math.max(0, Math.min(mostLevel, level ?? mix.levels[named] + by));
  switch (how) {
    case 'alone':
      return { mix: { ...mix, alone: named } };
    case 'with the others':
      return { mix: { ...mix, alone: null } };
    case 'on':
    case 'off': {
      // Who turns the tune on wants to hear it, whatever the output.
      const heard = named === 'lead' && how === 'on' && (melody ?? 'sound') === 'sound';
      return {
        mix: { ...mix, alone: null, on: { ...mix.on, [named]: how === 'on' } },
        ...(heard ? { melody: 'others' as const } : {}),
      };
    }
    default:
      return { mix: { ...mix, levels: { ...mix.levels, [named]: loud } } };
  }
}

const melodies = {
  off: 'the tune is silent',
  sound: 'the tune where others lead, through the built-in sound only',
  others: 'the tune where others lead, through every output',
  all: 'the tune in every part',
} as const;

function melody(rest: string): Order | string {
  const where = (Object.keys(melodies) as (keyof typeof melodies)[]).find(
    (one) => one === rest.toLowerCase(),
  );
  if (!where) return 'the tune is off, sound, others or all: melody all';
  return asking(
    ({ session: { performance } }) => {
      if (!performance) return null;
      const { mix } = performance.setup;
      const heard = { ...mix, on: { ...mix.on, lead: where !== 'off' } };
      return { kind: 'sounds', changes: { mix: heard, ...(where === 'off' ? {} : { melody: where }) } };
    },
    ({ session }) => (session.performance ? melodies[where] : nothing),
  );
}

/** The click by its kind, or bars with and without it by turns. */
function click(rest: string): Order | string {
  const [, heard, silent] = /^(\d{1,2})(?: ?-| and| on) ?(\d{1,2})$/.exec(rest) ?? [];
  const kind = clickKinds.find((one) => one.kind === rest.toLowerCase())?.kind;
  const isGaps = heard !== undefined && silent !== undefined;
  if (isGaps && (Number(heard) < 1 || Number(heard) > 64 || Number(silent) < 1 || Number(silent) > 64))
    return 'from 1 to 64 bars with a click and without: click 3-1';
  if (!kind && !isGaps && rest.toLowerCase() !== 'in two')
    return `the click is ${clickKinds.map((one) => one.kind).join(', ')}, in two, or bars with and without: click 3-1`;
  const send = ({ session: { performance } }: Model, at: number) => {
    if (!performance) return [];
    const { stages: _, ...now } = performance.setup.click;
    const chosen = isGaps
      ? {
          ...now,
          kind: now.kind === 'off' ? ('every' as const) : now.kind,
          gaps: { heard: Number(heard), silent: Number(silent) },
        }
      : kind
        ? { ...now, kind, gaps: null }
        : { ...now, kind: 'first' as const, gaps: { heard: 1, silent: 1 } };
    return [{ kind: 'click-chosen', click: chosen, at } as const];
  };
  return { steps: [{ send }], answer: (_, after) => clickText(after) };
}

function clickText({ session: { performance } }: Model): string {
  if (!performance) return nothing;
  const { kind, gaps } = performance.setup.click;
  const says = clickKinds.find((one) => one.kind === kind)?.says ?? '';
  return `click ${kind}: ${says}${gaps ? `; ${gaps.heard} bars with it, ${gaps.silent} without` : ''}`;
}

/** The right-hand patterns that fit some bar of the chart. */
function patternsOf({ session: { performance } }: Model): readonly Pattern[] {
  if (!performance) return [];
  const { setup, arrangement } = performance;
  const meters = [setup.chart.meter, ...(arrangement?.bars ?? []).map(({ meter }) => meter)];
  return [...setup.patterns, ...patterns.filter((one) => meters.some((meter) => isMadeFor(one, meter)))];
}

function pattern(rest: string): Order {
  const find = (model: Model): Pattern | null | undefined =>
    rest.toLowerCase() === 'chart'
      ? null
      : patternsOf(model).find(({ name }) => name.toLowerCase() === rest.toLowerCase());
  return {
    steps: [
      {
        send: (model) => {
          const found = find(model);
          return found === undefined || !model.session.performance
            ? []
            : [{ kind: 'pattern-chosen', pattern: found }];
        },
      },
    ],
    answer: (before) => {
      if (!before.session.performance) return nothing;
      const found = find(before);
      const names = patternsOf(before).map(({ name }) => safeText(name));
      if (found === undefined)
        return `“${safeText(rest)}” is no pattern for this meter; there are chart, ${names.join(', ')}`;
      return found
        ? `pattern ${safeText(found.name)}: ${safeText(found.says)}`
        : 'pattern: as the chart has it';
    },
  };
}

/** What can be played to now, in the order in which it is told. */
export function outputsOf(destinations: Destinations | null): readonly { name: string; out: OutSpec }[] {
  const ports = (destinations?.ports ?? []).map((port) => ({
    name: `MIDI ${safeText(port)}`,
    out: { kind: 'midi', port } as const,
  }));
  const sound =
    destinations && !destinations.sound ? [{ name: 'sound', out: { kind: 'sound' } as const }] : [];
  const own =
    destinations?.midi === null
      ? [{ name: 'a port of our own', out: { kind: 'virtual', name: 'barkline' } as const }]
      : [];
  return [...ports, ...sound, ...own, { name: 'silence', out: { kind: 'none' } }];
}

function known(model: Model): ReturnType<typeof outputsOf> {
  return outputsOf(model.overlay?.kind === 'outputs' ? model.overlay.destinations : null);
}

/** Asks the player what can be heard; then the output that was named. */
function output(rest: string): Order {
  const wanted = rest.toLowerCase();
  const found = (model: Model) => {
    const outs = known(model);
    const place = wholeOf(wanted);
    if (place !== null) return outs[place - 1];
    if (wanted === 'none') return outs.at(-1);
    return outs.find(({ name }) => name.toLowerCase().includes(wanted));
  };
  const ask = {
    ...press('choose-output'),
    until: ({ overlay }: Model) => overlay?.kind !== 'outputs' || overlay.destinations !== null,
  };
  if (rest === '')
    return {
      steps: [ask],
      answer: (_, after) => {
        const outs = known(after);
        const now = after.session.link.output ?? 'nothing yet';
        return [
          `it plays to ${safeText(now)}; ${outs.length} outputs:`,
          ...outs.map(({ name }, index) => `${index + 1} ${name}`),
        ];
      },
    };
  return {
    steps: [
      ask,
      {
        send: (model) => {
          const one = found(model);
          return one ? [{ kind: 'out-chosen', out: one.out }] : [];
        },
        until: ({ session, notice }) => notice !== '' || session.link.output !== null,
      },
    ],
    answer: (_, after, said) =>
      after.overlay?.kind === 'outputs' && !found(after)
        ? `there is no output “${safeText(rest)}”; output lists what there is`
        : said || 'the output is being opened',
  };
}

/** What sounds, and where. */
export const soundWords: readonly Word[] = [
  {
    name: 'voices',
    says: 'which voices sound, and how loud: a list',
    group: 'what sounds',
    actions: ['choose-voices'],
    read: alone(() =>
      telling((_, { session: { performance } }) =>
        performance
          ? [`${voices.length} voices:`, ...voices.map((one) => voiceText(one, performance.setup.mix))]
          : nothing,
      ),
    ),
  },
  {
    name: 'voice',
    takes: 'bass off, or click 60 %',
    says: 'one voice: on, off, alone, with the others, softer, louder, a level',
    group: 'what sounds',
    actions: ['choose-voices', 'voice-toggle', 'voice-alone', 'voice-softer', 'voice-louder'],
    read: voice,
  },
  {
    name: 'melody',
    takes: 'off, sound, others or all',
    says: 'where the tune is heard',
    group: 'what sounds',
    actions: ['choose-voices', 'voice-melody'],
    read: melody,
  },
  {
    name: 'click',
    takes: 'backbeat, off, or 3-1',
    says: 'which beats click; bars with and without',
    group: 'what sounds',
    actions: ['choose-click'],
    read: (rest) => (rest === '' ? telling((_, after) => clickText(after)) : click(rest)),
  },
  {
    name: 'pattern',
    also: ['right hand'],
    takes: 'waltz, or chart',
    says: 'the right hand; alone: a list of the patterns',
    group: 'what sounds',
    actions: ['choose-pattern'],
    read: (rest) =>
      rest === ''
        ? telling((_, after) => {
            const list = patternsOf(after);
            return after.session.performance
              ? [
                  `${list.length} patterns:`,
                  ...list.map(({ name, says }) => `${safeText(name)}: ${safeText(says)}`),
                ]
              : nothing;
          })
        : pattern(rest),
  },
  {
    name: 'output',
    also: ['outputs', 'out'],
    takes: '2, sound or none',
    says: 'where it sounds; alone: a list of the outputs',
    group: 'what sounds',
    actions: ['choose-output'],
    read: output,
  },
  {
    name: 'pedal',
    also: ['pedals'],
    takes: 'play, then press it',
    says: 'learn a MIDI pedal; alone: a list of what it can be for',
    group: 'what sounds',
    actions: ['choose-pedals'],
    read: (rest) => {
      if (rest === '')
        return telling((_, { pedals }) => [
          `${pedals.known.length} known; a pedal can be for ${pedalUses.length} things:`,
          ...pedalUses.map((use) => `${use}: ${pedalWords[use]}`),
        ]);
      const use = pedalUses.find((one) => one === rest.toLowerCase());
      if (!use)
        return `“${safeText(rest)}” is not what a pedal can be for; there are ${pedalUses.join(', ')}`;
      return {
        steps: [press('choose-pedals'), { send: () => [{ kind: 'pedal-chosen', use }] }],
        answer: (_, __, said) =>
          said === '' ? 'press the pedal now; any command gives it up' : withoutKeys(said),
        stays: true,
      };
    },
  },
];
