import { describe, expect, it } from 'vitest';
import { type InkKey, isKeyName, pressedKey } from '../../../src/ui/keys/names.js';

const noKey: InkKey = {
  upArrow: false,
  downArrow: false,
  leftArrow: false,
  rightArrow: false,
  pageUp: false,
  pageDown: false,
  home: false,
  end: false,
  return: false,
  escape: false,
  backspace: false,
  delete: false,
  ctrl: false,
};

describe('pressedKey', () => {
  it.each<[string, Partial<InkKey>, string]>([
    [' ', {}, 'space'],
    ['', { return: true }, 'enter'],
    ['', { pageDown: true }, 'pagedown'],
    ['', { delete: true }, 'backspace'],
    ['c', { ctrl: true }, 'ctrl+c'],
    ['k', {}, 'k'],
    ['+', {}, '+'],
  ])('%j %j is %s', (input, pressed, name) => {
    expect(pressedKey(input, { ...noKey, ...pressed })).toBe(name);
  });
});

describe('isKeyName', () => {
  it.each(['a', '♭', 'space', 'pagedown', 'ctrl+r', '+'])('knows %s', (key) => {
    expect(isKeyName(key)).toBe(true);
  });
  it.each(['', 'ab', 'pgdn', 'ctrl+', 'ctrl+1', 'shift+a'])('does not know %j', (key) => {
    expect(isKeyName(key)).toBe(false);
  });
});
