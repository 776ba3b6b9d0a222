import { describe, expect, it } from 'vitest';
import { actionFor, bindings, type InkKey, keyName } from '../../src/ui/keymap.js';

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

describe('keyName', () => {
  it.each<[string, Partial<InkKey>, string]>([
    [' ', {}, 'space'],
    ['', { return: true }, 'enter'],
    ['', { pageDown: true }, 'pagedown'],
    ['', { delete: true }, 'backspace'],
    ['c', { ctrl: true }, 'ctrl+c'],
    ['k', {}, 'k'],
    ['+', {}, '+'],
  ])('%j %j is %s', (input, pressed, name) => {
    expect(keyName(input, { ...noKey, ...pressed })).toBe(name);
  });
});

describe('bindings', () => {
  it('give every key one meaning in each place', () => {
    for (const place of ['library', 'stand', 'panel'] as const) {
      const keys = bindings.filter((one) => one.places.includes(place)).flatMap((one) => one.keys);
      expect(new Set(keys).size).toBe(keys.length);
    }
  });

  it.each(['space', 'enter', 'pageup', 'pagedown', 'left', 'right', 'up', 'down'])(
    'have something for the foot switch key %s on the stand',
    (key) => {
      expect(actionFor('stand', key)).not.toBeNull();
    },
  );

  it('leave the list its own keys', () => {
    for (const key of ['up', 'down', 'enter']) expect(actionFor('library', key)).toBeNull();
  });
});
