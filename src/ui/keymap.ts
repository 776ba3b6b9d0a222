import type { PedalUse } from '../player/pedals.js';

/** What a key can ask for. The names are also those by which settings give an action other keys. */
export const actions = [
  'play',
  'bar-back',
  'bar-on',
  'section-back',
  'section-on',
  'to-start',
  'to-end',
  'go-to',
  'slower',
  'faster',
  'share-down',
  'share-up',
  'tap',
  'loop-from',
  'loop-to',
  'loop-off',
  'last-pass',
  'key-down',
  'key-up',
  'choose-key',
  'choose-pattern',
  'choose-click',
  'choose-voices',
  'choose-output',
  'count-in',
  'tune',
  'choose-shape',
  'far',
  'layout',
  'names',
  'hide-hand',
  'hide-ahead',
  'peek',
  'mark-clean',
  'mark-miss',
  'next-chord',
  'choose-drill',
  'late-calls',
  'go-on',
  'song-next',
  'song-back',
  'song-again',
  'card-holds',
  'run-anew',
  'order',
  'extend',
  'ending',
  'hold',
  'one-pass-more',
  'mark-later',
  'order-back',
  'order-on',
  'order-jump',
  'order-earlier',
  'order-later',
  'order-out',
  'order-erase',
  'request',
  'choose-pedals',
  'edit-bar',
  'take-back',
  'lateness',
  'help',
  'help-page',
  'suspend',
  'voice-back',
  'voice-on',
  'voice-toggle',
  'voice-alone',
  'voice-softer',
  'voice-louder',
  'list-back',
  'list-on',
  'list-page-back',
  'list-page-on',
  'list-start',
  'list-end',
  'list-open',
  'list-erase',
  'degree-1',
  'degree-2',
  'degree-3',
  'degree-4',
  'degree-5',
  'degree-6',
  'degree-7',
  'take-minor',
  'take-seventh',
  'take-flat',
  'take-sharp',
  'take-split',
  'take-erase',
  'take-meter',
  'take-done',
  'entry-done',
  'entry-erase',
  'entry-left',
  'entry-right',
  'entry-start',
  'entry-end',
  'back',
  'leave',
] as const;
export type Action = (typeof actions)[number];

/**
 * Where a key is pressed: which of them hold depends on it. In the list and where a line is typed, a character that is
 * no key is text.
 */
export type Place =
  | 'asking'
  | 'waiting'
  | 'sitting'
  | 'card'
  | 'song'
  | 'order'
  | 'requests'
  | 'library'
  | 'stand'
  | 'taking'
  | 'panel'
  | 'voices'
  | 'help'
  | 'entry';

/** Under which heading the help screen shows a key. */
export type HelpGroup =
  | 'playing'
  | 'place'
  | 'tempo'
  | 'key and sound'
  | 'what is shown'
  | 'the chart'
  | 'list'
  | 'the shed'
  | 'a set, between songs'
  | 'a set, in a song'
  | 'a set, its order'
  | 'taking down'
  | 'everywhere';

/** Keys that do one thing in some places. `foot` is the short word on the stand's last line, if it has one. */
export interface Binding {
  readonly action: Action;
  readonly keys: readonly string[];
  readonly places: readonly Place[];
  readonly group: HelpGroup;
  readonly help: string;
  readonly foot?: string;
}

const stand = ['stand'] as const;
const standAndTaking = ['stand', 'taking'] as const;
const anywhere = [
  'asking',
  'waiting',
  'sitting',
  'card',
  'song',
  'order',
  'requests',
  'stand',
  'taking',
  'panel',
  'voices',
  'help',
  'library',
  'entry',
] as const;

const degrees = [1, 2, 3, 4, 5, 6, 7].map(
  (degree): Binding => ({
    action: `degree-${degree}` as Action,
    keys: [String(degree)],
    places: ['taking'],
    group: 'taking down',
    help: `the bar is ${degree}`,
  }),
);

/** Every key there is, unless the settings give some actions others. The help screen and the foot line are drawn from this table. */
export const usualBindings: readonly Binding[] = [
  {
    action: 'play',
    keys: ['space', 'enter'],
    places: stand,
    group: 'playing',
    help: 'play, or pause',
    foot: 'play',
  },
  {
    action: 'play',
    keys: ['space'],
    places: ['taking'],
    group: 'taking down',
    help: 'the count runs, or waits',
  },
  {
    action: 'last-pass',
    keys: ['e'],
    places: stand,
    group: 'playing',
    help: 'end with this pass, or without end',
  },
  {
    action: 'loop-from',
    keys: ['a'],
    places: stand,
    group: 'playing',
    help: 'the loop begins with this bar',
  },
  { action: 'loop-to', keys: ['z'], places: stand, group: 'playing', help: 'the loop ends with this bar' },
  { action: 'loop-off', keys: ['x'], places: stand, group: 'playing', help: 'no loop' },
  { action: 'count-in', keys: ['y'], places: stand, group: 'playing', help: 'count-in: one bar, two, none' },
  { action: 'bar-back', keys: ['left'], places: stand, group: 'place', help: 'a bar back', foot: 'bar' },
  { action: 'bar-on', keys: ['right'], places: stand, group: 'place', help: 'a bar on' },
  {
    action: 'section-back',
    keys: ['up', 'pageup'],
    places: stand,
    group: 'place',
    help: 'to the section’s start, then the one before',
    foot: 'section',
  },
  {
    action: 'section-on',
    keys: ['down', 'pagedown'],
    places: stand,
    group: 'place',
    help: 'to the next section',
  },
  { action: 'to-start', keys: ['home'], places: stand, group: 'place', help: 'to the first bar' },
  { action: 'to-end', keys: ['end'], places: stand, group: 'place', help: 'to the last section' },
  { action: 'go-to', keys: ['g'], places: stand, group: 'place', help: 'to a bar or section that you type' },
  {
    action: 'slower',
    keys: ['-', '_'],
    places: standAndTaking,
    group: 'tempo',
    help: 'slower',
    foot: 'tempo',
  },
  { action: 'faster', keys: ['+', '='], places: standAndTaking, group: 'tempo', help: 'faster' },
  {
    action: 'share-down',
    keys: ['['],
    places: stand,
    group: 'tempo',
    help: 'ten percent of the chart’s tempo less',
  },
  { action: 'share-up', keys: [']'], places: stand, group: 'tempo', help: 'ten percent more' },
  { action: 'tap', keys: ['t'], places: standAndTaking, group: 'tempo', help: 'tap the tempo, once a beat' },
  {
    action: 'choose-key',
    keys: ['k'],
    places: stand,
    group: 'key and sound',
    help: 'choose a key',
    foot: 'key',
  },
  {
    action: 'key-down',
    keys: ['<', ','],
    places: standAndTaking,
    group: 'key and sound',
    help: 'key a half step down',
  },
  {
    action: 'key-up',
    keys: ['>', '.'],
    places: standAndTaking,
    group: 'key and sound',
    help: 'key a half step up',
  },
  {
    action: 'choose-output',
    keys: ['o'],
    places: stand,
    group: 'key and sound',
    help: 'choose where it sounds',
    foot: 'output',
  },
  {
    action: 'choose-voices',
    keys: ['v'],
    places: stand,
    group: 'key and sound',
    help: 'which voices sound, and how loud',
  },
  { action: 'choose-click', keys: ['c'], places: stand, group: 'key and sound', help: 'choose a click' },
  {
    action: 'choose-pattern',
    keys: ['p'],
    places: stand,
    group: 'key and sound',
    help: 'choose a right-hand pattern',
  },
  {
    action: 'tune',
    keys: ['u'],
    places: stand,
    group: 'key and sound',
    help: 'sound each course in turn, for tuning',
  },
  {
    action: 'far',
    keys: ['f'],
    places: stand,
    group: 'what is shown',
    help: 'large letters, to be read across a room',
    foot: 'far',
  },
  {
    action: 'layout',
    keys: ['w'],
    places: stand,
    group: 'what is shown',
    help: 'four bars a line; lines as written; as written with its repeats',
  },
  {
    action: 'names',
    keys: ['n'],
    places: stand,
    group: 'what is shown',
    help: 'numbers and chords, only numbers, only chords',
  },
  {
    action: 'hide-hand',
    keys: ['h'],
    places: stand,
    group: 'what is shown',
    help: 'hide the hand, or show it',
  },
  {
    action: 'hide-ahead',
    keys: ['l'],
    places: stand,
    group: 'what is shown',
    help: 'hide the lines that come, or show them',
  },
  {
    action: 'peek',
    keys: ['tab'],
    places: stand,
    group: 'what is shown',
    help: 'peek at what is hidden, for eight beats',
  },
  {
    action: 'choose-shape',
    keys: ['s'],
    places: stand,
    group: 'the chart',
    help: 'another shape for this chord, while paused',
  },
  { action: 'edit-bar', keys: ['b'], places: stand, group: 'the chart', help: 'write this bar anew' },
  { action: 'take-back', keys: ['r'], places: stand, group: 'the chart', help: 'take the last writing back' },
  {
    action: 'lateness',
    keys: ['i'],
    places: stand,
    group: 'key and sound',
    help: 'how late the clock has been',
  },
  {
    action: 'choose-drill',
    keys: ['d'],
    places: stand,
    group: 'the shed',
    help: 'a drill made from this chart',
    foot: 'drill',
  },
  {
    action: 'mark-clean',
    keys: ['j'],
    places: stand,
    group: 'the shed',
    help: 'this pass, or the one just over, was clean',
  },
  { action: 'mark-miss', keys: ['m'], places: stand, group: 'the shed', help: 'it was not' },
  {
    action: 'mark-clean',
    keys: ['pagedown', 'down', 'right', 'space', 'enter', 'j'],
    places: ['asking'],
    group: 'the shed',
    help: 'when asked: it was clean',
    foot: 'clean',
  },
  {
    action: 'mark-miss',
    keys: ['pageup', 'up', 'left', 'm'],
    places: ['asking'],
    group: 'the shed',
    help: 'when asked: it was not',
    foot: 'missed',
  },
  {
    action: 'next-chord',
    keys: ['pagedown', 'right', 'down', 'enter'],
    places: ['waiting'],
    group: 'the shed',
    help: 'when the chord waits: on to the next, with the next bar',
    foot: 'next chord',
  },
  {
    action: 'bar-back',
    keys: ['pageup', 'left', 'up'],
    places: ['waiting'],
    group: 'the shed',
    help: 'when the chord waits: back to the one before',
  },
  {
    action: 'play',
    keys: ['space'],
    places: ['waiting'],
    group: 'the shed',
    help: 'play, or pause',
    foot: 'play',
  },
  {
    action: 'late-calls',
    keys: ['/'],
    places: stand,
    group: 'the shed',
    help: 'numbers only just before they are due',
  },
  {
    action: 'go-on',
    keys: ['space', 'enter', 'pagedown', 'right'],
    places: ['sitting'],
    group: 'the shed',
    help: 'in a sitting: on with it',
    foot: 'on',
  },
  {
    action: 'go-on',
    keys: ['space', 'enter', 'pagedown', 'right', 'down'],
    places: ['card'],
    group: 'a set, between songs',
    help: 'begin the song',
    foot: 'begin',
  },
  {
    action: 'song-back',
    keys: ['pageup', 'left', 'up'],
    places: ['card'],
    group: 'a set, between songs',
    help: 'the card before',
    foot: 'back',
  },
  {
    action: 'song-back',
    keys: ['backspace'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'back to its card',
  },
  {
    action: 'song-next',
    keys: ['n'],
    places: ['card'],
    group: 'a set, between songs',
    help: 'to the next song’s card',
    foot: 'next',
  },
  {
    action: 'song-next',
    keys: ['n'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'leave it for the next one’s card',
  },
  {
    action: 'song-again',
    keys: ['r'],
    places: ['card'],
    group: 'a set, between songs',
    help: 'the song before again',
    foot: 'again',
  },
  {
    action: 'song-again',
    keys: ['r'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'once more when it is over',
  },
  {
    action: 'card-holds',
    keys: ['w'],
    places: ['card'],
    group: 'a set, between songs',
    help: 'the gap waits for you',
    foot: 'wait',
  },
  {
    action: 'run-anew',
    keys: ['d'],
    places: ['card'],
    group: 'a set, between songs',
    help: 'forget a run that was broken off, where it is asked',
  },
  {
    action: 'tune',
    keys: ['u'],
    places: ['card'],
    group: 'a set, between songs',
    help: 'sound the courses, for tuning',
    foot: 'tune',
  },
  {
    action: 'order',
    keys: ['g'],
    places: ['card'],
    group: 'a set, between songs',
    help: 'the running order',
    foot: 'order',
  },
  {
    action: 'play',
    keys: ['space'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'pause, or go on',
    foot: 'pause',
  },
  {
    action: 'extend',
    keys: ['pagedown', 'right', 'down', 'enter', 'x'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'this section once more',
    foot: 'once more',
  },
  {
    action: 'ending',
    keys: ['pageup', 'left', 'up', 'e'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'the ending after this section; or not',
    foot: 'ending',
  },
  {
    action: 'hold',
    keys: ['a'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'wait on this chord; go on',
    foot: 'hold',
  },
  {
    action: 'one-pass-more',
    keys: ['z'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'one more pass of all of it',
  },
  {
    action: 'mark-later',
    keys: ['l'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'look at this place later',
    foot: 'later',
  },
  {
    action: 'order',
    keys: ['g'],
    places: ['song'],
    group: 'a set, in a song',
    help: 'the running order; a jump waits',
    foot: 'order',
  },
  {
    action: 'order-back',
    keys: ['up', 'pageup'],
    places: ['order', 'requests'],
    group: 'a set, its order',
    help: 'the one before',
  },
  {
    action: 'order-on',
    keys: ['down', 'pagedown'],
    places: ['order', 'requests'],
    group: 'a set, its order',
    help: 'the next; letters search',
  },
  {
    action: 'order-jump',
    keys: ['enter'],
    places: ['order', 'requests'],
    group: 'a set, its order',
    help: 'go there, or after this song',
  },
  {
    action: 'order-earlier',
    keys: ['left'],
    places: ['order'],
    group: 'a set, its order',
    help: 'this song earlier',
  },
  {
    action: 'order-later',
    keys: ['right'],
    places: ['order'],
    group: 'a set, its order',
    help: 'this song later',
  },
  {
    action: 'order-out',
    keys: ['end'],
    places: ['order'],
    group: 'a set, its order',
    help: 'leave this song out',
  },
  {
    action: 'request',
    keys: ['tab'],
    places: ['order'],
    group: 'a set, its order',
    help: 'add a request',
  },
  {
    action: 'order-erase',
    keys: ['backspace'],
    places: ['order', 'requests'],
    group: 'a set, its order',
    help: 'a letter of the search less',
  },
  {
    action: 'choose-pedals',
    keys: ['P'],
    places: ['stand', 'card', 'song'],
    group: 'key and sound',
    help: 'MIDI pedals, learned by pressing',
  },
  ...degrees,
  {
    action: 'take-minor',
    keys: ['m'],
    places: ['taking'],
    group: 'taking down',
    help: 'the last one is minor',
  },
  {
    action: 'take-seventh',
    keys: ['v'],
    places: ['taking'],
    group: 'taking down',
    help: 'the last one has a seventh',
  },
  {
    action: 'take-flat',
    keys: ['b'],
    places: ['taking'],
    group: 'taking down',
    help: 'the last one is flat',
  },
  {
    action: 'take-sharp',
    keys: ['#'],
    places: ['taking'],
    group: 'taking down',
    help: 'the last one is sharp',
  },
  {
    action: 'take-split',
    keys: ['s', '/'],
    places: ['taking'],
    group: 'taking down',
    help: 'the next one shares the bar',
  },
  {
    action: 'take-erase',
    keys: ['backspace', 'x'],
    places: ['taking'],
    group: 'taking down',
    help: 'strike the last one',
  },
  {
    action: 'take-meter',
    keys: ['w'],
    places: ['taking'],
    group: 'taking down',
    help: 'the meter: 4/4, 3/4, 2/2, 6/8',
  },
  {
    action: 'take-done',
    keys: ['enter'],
    places: ['taking'],
    group: 'taking down',
    help: 'done: name it and keep it',
  },
  { action: 'voice-back', keys: ['up'], places: ['voices'], group: 'list', help: 'voices: the one before' },
  { action: 'voice-on', keys: ['down'], places: ['voices'], group: 'list', help: 'voices: the next' },
  {
    action: 'voice-toggle',
    keys: ['space', 'enter'],
    places: ['voices'],
    group: 'list',
    help: 'voices: on or off',
  },
  { action: 'voice-alone', keys: ['a'], places: ['voices'], group: 'list', help: 'voices: hear it alone' },
  { action: 'voice-softer', keys: ['left', '-'], places: ['voices'], group: 'list', help: 'voices: softer' },
  {
    action: 'voice-louder',
    keys: ['right', '+', '='],
    places: ['voices'],
    group: 'list',
    help: 'voices: louder',
  },
  { action: 'list-back', keys: ['up'], places: ['library'], group: 'list', help: 'the one before' },
  { action: 'list-on', keys: ['down'], places: ['library'], group: 'list', help: 'the next' },
  { action: 'list-page-back', keys: ['pageup'], places: ['library'], group: 'list', help: 'a page back' },
  { action: 'list-page-on', keys: ['pagedown'], places: ['library'], group: 'list', help: 'a page on' },
  { action: 'list-start', keys: ['home'], places: ['library'], group: 'list', help: 'to the first' },
  { action: 'list-end', keys: ['end'], places: ['library'], group: 'list', help: 'to the last' },
  {
    action: 'list-open',
    keys: ['enter'],
    places: ['library'],
    group: 'list',
    help: 'open it; letters search',
  },
  {
    action: 'list-erase',
    keys: ['backspace'],
    places: ['library'],
    group: 'list',
    help: 'a letter of the search less; back',
  },
  {
    action: 'entry-done',
    keys: ['enter'],
    places: ['entry'],
    group: 'the chart',
    help: 'what was typed holds',
  },
  {
    action: 'entry-erase',
    keys: ['backspace'],
    places: ['entry'],
    group: 'the chart',
    help: 'a character less',
  },
  {
    action: 'entry-left',
    keys: ['left'],
    places: ['entry'],
    group: 'the chart',
    help: 'within what is typed: left',
  },
  {
    action: 'entry-right',
    keys: ['right'],
    places: ['entry'],
    group: 'the chart',
    help: 'within what is typed: right',
  },
  {
    action: 'entry-start',
    keys: ['home'],
    places: ['entry'],
    group: 'the chart',
    help: 'within what is typed: start',
  },
  {
    action: 'entry-end',
    keys: ['end'],
    places: ['entry'],
    group: 'the chart',
    help: 'within what is typed: end',
  },
  {
    action: 'help',
    keys: ['?'],
    places: ['stand', 'taking', 'card', 'song'],
    group: 'everywhere',
    help: 'these keys',
    foot: 'keys',
  },
  {
    action: 'help-page',
    keys: ['?', 'space', 'pagedown', 'down', 'right'],
    places: ['help'],
    group: 'everywhere',
    help: 'the next page of these keys',
  },
  {
    action: 'back',
    keys: ['escape', 'backspace'],
    places: ['stand', 'panel', 'voices', 'help'],
    group: 'everywhere',
    help: 'back to the list',
    foot: 'list',
  },
  {
    action: 'back',
    keys: ['escape'],
    places: ['taking', 'library', 'entry', 'sitting', 'card', 'song', 'order', 'requests'],
    group: 'everywhere',
    help: 'back',
  },
  {
    action: 'suspend',
    keys: ['ctrl+z'],
    places: anywhere,
    group: 'everywhere',
    help: 'to the shell; fg comes back',
  },
  {
    action: 'leave',
    keys: ['q', 'ctrl+c'],
    places: ['stand', 'sitting', 'panel', 'voices', 'help'],
    group: 'everywhere',
    help: 'leave',
    foot: 'leave',
  },
  {
    action: 'leave',
    keys: ['ctrl+c'],
    places: ['taking', 'library', 'entry', 'card', 'song', 'order', 'requests'],
    group: 'everywhere',
    help: 'leave',
  },
];

/** What a key asks for in a place, or `null`. */
export function actionFor(
  place: Place,
  key: string,
  bindings: readonly Binding[] = usualBindings,
): Action | null {
  const own = bindings.find((binding) => binding.places.includes(place) && binding.keys.includes(key));
  if (own) return own.action;
  // Where the stand asks or waits, its other keys do what they always do.
  if (place === 'asking' || place === 'waiting') return actionFor('stand', key, bindings);
  if (place !== 'card' && place !== 'song') return null;
  const usual = actionFor('stand', key, bindings);
  return usual && inSet.includes(usual) ? usual : null;
}

/** What the stand's keys do in a set too; the others would lead away from it. */
const inSet: readonly Action[] = [
  'slower',
  'faster',
  'share-down',
  'share-up',
  'tap',
  'choose-key',
  'key-down',
  'key-up',
  'choose-voices',
  'choose-click',
  'choose-pattern',
  'choose-output',
  'count-in',
  'far',
  'layout',
  'names',
  'hide-hand',
  'peek',
  'mark-clean',
  'mark-miss',
  'lateness',
];

/** What a pedal's use comes to in a place; `null` for nothing. */
export function pedalActions(use: PedalUse, place: Place): Action | null {
  const { usual, ...others } = pedalTable[use];
  return others[place] ?? usual;
}

const pedalTable: Readonly<
  Record<PedalUse, { readonly usual: Action | null } & Partial<Readonly<Record<Place, Action | null>>>>
> = {
  play: { usual: 'play', card: 'go-on', sitting: 'go-on', library: null, order: null, requests: null },
  next: { usual: 'section-on', card: 'song-next', song: 'song-next', sitting: 'go-on', library: null },
  back: { usual: 'section-back', card: 'song-back', song: 'song-back', sitting: null, library: null },
  again: { usual: null, card: 'song-again', song: 'song-again' },
  extend: { usual: 'extend', card: null, library: null },
  ending: { usual: 'ending', card: null, library: null },
  hold: { usual: 'hold', card: null, library: null },
  clean: { usual: 'mark-clean', card: null, library: null },
  miss: { usual: 'mark-miss', card: null, library: null },
  later: { usual: 'mark-later', card: null, library: null },
  chord: { usual: 'next-chord', card: null, song: null, library: null },
};

/** Whether a line is typed in a place. */
export function takesText(place: Place): boolean {
  return ['library', 'entry', 'order', 'requests'].includes(place);
}

/** Where a character that is no key is text. */
export function isTyped(place: Place, input: string): boolean {
  return takesText(place) && /^[^\p{Cc}\p{Cf}\p{Zl}\p{Zp}]+$/u.test(input);
}

/**
 * The keys with some of them changed: an action's new ones take the place of its old ones. A key that another action
 * had in the same place is taken from it.
 */
export function bindingsWith(
  changes: ReadonlyMap<Action, readonly string[]>,
  bindings: readonly Binding[] = usualBindings,
): readonly Binding[] {
  const changed = bindings.filter((binding) => changes.has(binding.action));
  return bindings.map((binding) => {
    const own = changes.get(binding.action);
    if (own) return { ...binding, keys: own };
    const taken = changed
      .filter((other) => other.places.some((place) => binding.places.includes(place)))
      .flatMap((other) => changes.get(other.action) ?? []);
    const keys = binding.keys.filter((key) => !taken.includes(key));
    return keys.length === binding.keys.length ? binding : { ...binding, keys };
  });
}

/** Whether a text is a key by the name that the table uses: a character, `ctrl+r`, `pageup`. */
export function isKeyName(text: string): boolean {
  return [...text].length === 1 || namedKeys.includes(text) || /^ctrl\+[a-z]$/.test(text);
}

/** Keys that have a name. */
export const namedKeys: readonly string[] = [
  'space',
  'enter',
  'tab',
  'left',
  'right',
  'up',
  'down',
  'pageup',
  'pagedown',
  'home',
  'end',
  'escape',
  'backspace',
];

/** The keys that foot switches with a USB plug send, one set or another. */
export const footKeys: readonly string[] = [
  'space',
  'enter',
  'left',
  'right',
  'up',
  'down',
  'pageup',
  'pagedown',
];

/** What Ink says of a key press. */
export interface InkKey {
  readonly upArrow: boolean;
  readonly downArrow: boolean;
  readonly leftArrow: boolean;
  readonly rightArrow: boolean;
  readonly pageUp: boolean;
  readonly pageDown: boolean;
  readonly home: boolean;
  readonly end: boolean;
  readonly return: boolean;
  readonly escape: boolean;
  readonly backspace: boolean;
  readonly delete: boolean;
  readonly ctrl: boolean;
  readonly tab?: boolean;
}

/** A key press by the name that the table uses. */
export function keyName(input: string, key: InkKey): string {
  if (key.ctrl && input !== '') return `ctrl+${input}`;
  const named: readonly (readonly [boolean, string])[] = [
    [key.upArrow, 'up'],
    [key.downArrow, 'down'],
    [key.leftArrow, 'left'],
    [key.rightArrow, 'right'],
    [key.pageUp, 'pageup'],
    [key.pageDown, 'pagedown'],
    [key.home, 'home'],
    [key.end, 'end'],
    [key.return, 'enter'],
    [key.escape, 'escape'],
    [key.tab === true, 'tab'],
    // Many terminals send for the backspace key what Ink calls delete.
    [key.backspace || key.delete, 'backspace'],
  ];
  return named.find(([pressed]) => pressed)?.[1] ?? (input === ' ' ? 'space' : input);
}

/** How a key is written on the screen. */
export function keyLabel(key: string, unicode: boolean): string {
  const signs: Readonly<Record<string, string>> = unicode
    ? { left: '←', right: '→', up: '↑', down: '↓' }
    : {};
  const words: Readonly<Record<string, string>> = {
    space: 'Space',
    enter: 'Enter',
    pageup: 'Page Up',
    pagedown: 'Page Down',
    home: 'Home',
    end: 'End',
    tab: 'Tab',
    escape: 'Esc',
    backspace: 'Backspace',
    left: 'Left',
    right: 'Right',
    up: 'Up',
    down: 'Down',
  };
  if (/^ctrl\+./.test(key)) return `Ctrl-${key.slice(5).toUpperCase()}`;
  return signs[key] ?? words[key] ?? key;
}
