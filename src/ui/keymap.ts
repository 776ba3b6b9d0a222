/** What a key can ask for. */
export type Action =
  | 'play'
  | 'bar-back'
  | 'bar-on'
  | 'section-back'
  | 'section-on'
  | 'to-start'
  | 'slower'
  | 'faster'
  | 'key-down'
  | 'key-up'
  | 'choose-key'
  | 'choose-output'
  | 'choose-voices'
  | 'choose-click'
  | 'choose-pattern'
  | 'lateness'
  | 'last-pass'
  | 'voice-back'
  | 'voice-on'
  | 'voice-toggle'
  | 'voice-alone'
  | 'voice-softer'
  | 'voice-louder'
  | 'help'
  | 'back'
  | 'leave';

/** Where a key is pressed: which of them hold depends on it. */
export type Place = 'library' | 'stand' | 'panel' | 'voices';

/** Keys that do one thing in some places. `foot` is the short word on the stand's last line, if it has one. */
export interface Binding {
  readonly action: Action;
  readonly keys: readonly string[];
  readonly places: readonly Place[];
  readonly help: string;
  readonly foot?: string;
}

/** Every key there is. The help screen and the foot line are drawn from this table. */
export const bindings: readonly Binding[] = [
  { action: 'play', keys: ['space', 'enter'], places: ['stand'], help: 'play, or pause', foot: 'play' },
  { action: 'bar-back', keys: ['left'], places: ['stand'], help: 'a bar back', foot: 'bar' },
  { action: 'bar-on', keys: ['right'], places: ['stand'], help: 'a bar on' },
  {
    action: 'section-back',
    keys: ['up', 'pageup'],
    places: ['stand'],
    help: 'to the section’s start, then the one before',
    foot: 'section',
  },
  { action: 'section-on', keys: ['down', 'pagedown'], places: ['stand'], help: 'to the next section' },
  { action: 'to-start', keys: ['home'], places: ['stand'], help: 'to the first bar' },
  { action: 'slower', keys: ['-', '_'], places: ['stand'], help: 'slower', foot: 'tempo' },
  { action: 'faster', keys: ['+', '='], places: ['stand'], help: 'faster' },
  { action: 'choose-key', keys: ['k'], places: ['stand'], help: 'choose a key', foot: 'key' },
  { action: 'key-down', keys: ['<', ','], places: ['stand'], help: 'key a half step down' },
  { action: 'key-up', keys: ['>', '.'], places: ['stand'], help: 'key a half step up' },
  { action: 'choose-output', keys: ['o'], places: ['stand'], help: 'choose where it sounds', foot: 'output' },
  { action: 'choose-voices', keys: ['v'], places: ['stand'], help: 'which voices sound, and how loud' },
  { action: 'choose-click', keys: ['c'], places: ['stand'], help: 'choose a click' },
  { action: 'choose-pattern', keys: ['p'], places: ['stand'], help: 'choose a right-hand pattern' },
  {
    action: 'last-pass',
    keys: ['e'],
    places: ['stand'],
    help: 'end with this pass; again: go on without end',
  },
  { action: 'lateness', keys: ['i'], places: ['stand'], help: 'how late the clock has been' },
  { action: 'voice-back', keys: ['up'], places: ['voices'], help: 'voices: the one before' },
  { action: 'voice-on', keys: ['down'], places: ['voices'], help: 'voices: the next' },
  { action: 'voice-toggle', keys: ['space', 'enter'], places: ['voices'], help: 'voices: on or off' },
  { action: 'voice-alone', keys: ['a'], places: ['voices'], help: 'voices: hear it alone' },
  { action: 'voice-softer', keys: ['left', '-'], places: ['voices'], help: 'voices: softer' },
  { action: 'voice-louder', keys: ['right', '+', '='], places: ['voices'], help: 'voices: louder' },
  { action: 'help', keys: ['?'], places: ['stand'], help: 'these keys', foot: 'keys' },
  {
    action: 'back',
    keys: ['escape', 'backspace'],
    places: ['stand', 'panel', 'voices', 'library'],
    help: 'back to the list',
    foot: 'list',
  },
  {
    action: 'leave',
    keys: ['q', 'ctrl+c'],
    places: ['stand', 'panel', 'voices', 'library'],
    help: 'leave',
    foot: 'leave',
  },
];

/** What a key asks for in a place, or `null`. */
export function actionFor(place: Place, key: string): Action | null {
  return (
    bindings.find((binding) => binding.places.includes(place) && binding.keys.includes(key))?.action ?? null
  );
}

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
    escape: 'Esc',
    backspace: 'Backspace',
    'ctrl+c': 'Ctrl-C',
    left: 'Left',
    right: 'Right',
    up: 'Up',
    down: 'Down',
  };
  return signs[key] ?? words[key] ?? key;
}
