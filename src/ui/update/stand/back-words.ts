import { meterText } from '../../../chart/chart.js';
import { keyName } from '../../../theory/key.js';
import { clickKinds } from '../../../time/click-kinds.js';
import { type Voice, voices } from '../../../time/event.js';
import { melodySays } from '../../../time/melody.js';
import type { Mix } from '../../../time/sound.js';
import { type BackStep, type Chosen, type Thing, thingsOf } from '../../state/history.js';
import { layoutWords, nameWords } from './sight.js';

const countWords = ['no count-in again', 'count-in back to one bar', 'count-in back to two bars'];

const voiceWords: Readonly<Record<Voice, string>> = {
  click: 'click',
  bass: 'bass',
  low: 'low notes',
  chop: 'chops',
  lead: 'tune',
};

/** What a step back does, in a few words: `key back to A, from C`. `now`: what it takes the place of. */
export function backText(step: BackStep, now: Chosen): string {
  const before = { ...now, ...step.before };
  return thingsOf(step)
    .map((thing) => words[thing](before, now))
    .join('; ');
}

const words: Readonly<Record<Thing, (before: Chosen, now: Chosen) => string>> = {
  key: (before, now) => `key back to ${keyName(before.key)}, from ${keyName(now.key)}`,
  bpm: (before, now) => `tempo back to ${Math.round(before.bpm)}, from ${Math.round(now.bpm)}`,
  countIn: ({ countIn }) => countWords[countIn] ?? `count-in back to ${countIn} bars`,
  click: ({ click }, now) => clickText(click, now.click),
  pattern: ({ pattern }) => (pattern ? `pattern back to ${pattern.name}` : 'the chart’s own pattern again'),
  mix: ({ mix }, now) => mixText(mix, now.mix),
  melody: ({ melody = 'sound' }) => `the tune again: ${melodySays[melody]}`,
  range: ({ range }) => (range ? `loop back to bars ${range.from + 1} to ${range.to}` : 'no loop again'),
  picks: ({ picks }, now) => shapeText(picks, now.picks),
  chart: ({ chart }) => (chart ? `meter back to ${meterText(chart.meter)}` : 'meter as before'),
  layout: ({ layout }) => `back to: ${layoutWords[layout]}`,
  names: ({ names }) => `back to: ${nameWords[names]}`,
  hand: ({ hand }) => (hand ? 'the hand is shown again' : 'the hand is hidden again'),
  ahead: ({ ahead }) => (ahead ? 'what comes is shown again' : 'what comes is hidden again'),
  words: ({ words }) => (words ? 'the words are shown again' : 'the words are hidden again'),
  tune: ({ tune }) => (tune ? 'the tune is shown again' : 'the tune is hidden again'),
};

function clickText(click: Chosen['click'], now: Chosen['click']): string {
  if (click.kind !== now.kind)
    return `click back to: ${clickKinds.find(({ kind }) => kind === click.kind)?.says ?? click.kind}`;
  if (click.accents !== now.accents) return click.accents ? 'accents again' : 'no accents again';
  return click.gaps
    ? `${click.gaps.heard} bars with a click, ${click.gaps.silent} without again`
    : 'no gaps again';
}

function mixText(mix: Mix, now: Mix): string {
  if (mix.alone !== now.alone)
    return mix.alone === null ? 'all voices are heard again' : `only the ${voiceWords[mix.alone]} again`;
  const turned = voices.find((voice) => mix.on[voice] !== now.on[voice]);
  if (turned) return `${voiceWords[turned]} ${mix.on[turned] ? 'on' : 'off'} again`;
  const louder = voices.find((voice) => mix.levels[voice] !== now.levels[voice]);
  return louder ? `${voiceWords[louder]} back to ${mix.levels[louder]} %` : 'voices as before';
}

/** Which chord's shape has changed: to the one chosen before, or to that of the plan. */
function shapeText(picks: Chosen['picks'], now: Chosen['picks']): string {
  const gone = now.find((one) => !picks.includes(one));
  const earlier = picks.find((one) => !now.includes(one));
  const chord = (gone ?? earlier)?.chord ?? '';
  return earlier ? `${chord} back to the shape ${earlier.frets}` : `${chord} back to the planned shape`;
}
