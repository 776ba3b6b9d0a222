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
export function pressedKey(input: string, key: InkKey): string {
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
