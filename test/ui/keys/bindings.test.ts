import { describe, expect, it } from 'vitest';
import {
  actionFor,
  bindingsWith,
  type InkKey,
  isKeyName,
  isTyped,
  keyName,
  usualBindings,
} from '../../src/ui/keymap.js';

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

describe('usualBindings', () => {
  it('give every key one meaning in each place', () => {
    for (const place of ['library', 'stand', 'taking', 'panel', 'voices', 'help', 'entry'] as const) {
      const keys = usualBindings.filter((one) => one.places.includes(place)).flatMap((one) => one.keys);
      expect(new Set(keys).size).toBe(keys.length);
    }
  });

  it.each(['space', 'enter', 'pageup', 'pagedown', 'left', 'right', 'up', 'down'])(
    'have something for the foot switch key %s on the stand',
    (key) => {
      expect(actionFor('stand', key)).not.toBeNull();
    },
  );

  it('leave letters to the search in the list, and to the line that is typed', () => {
    for (const place of ['library', 'entry'] as const) {
      for (const key of ['q', 'k', '?', '5', '#']) {
        expect(actionFor(place, key)).toBeNull();
        expect(isTyped(place, key)).toBe(true);
      }
    }
    expect(isTyped('stand', 'q')).toBe(false);
    expect(isTyped('library', '\u001b')).toBe(false);
    expect(isTyped('library', '')).toBe(false);
  });
});

describe('bindingsWith', () => {
  it('gives an action other keys, and takes them from whom they were', () => {
    const own = bindingsWith(new Map([['tap', ['p', 'ctrl+t']]]));
    expect(actionFor('stand', 'p', own)).toBe('tap');
    expect(actionFor('stand', 'ctrl+t', own)).toBe('tap');
    expect(actionFor('stand', 't', own)).toBeNull();
    expect(own.find((one) => one.action === 'choose-pattern')?.keys).toEqual([]);
  });

  it('leaves a key to whoever has it in another place', () => {
    const own = bindingsWith(new Map([['voice-alone', ['p']]]));
    expect(actionFor('stand', 'p', own)).toBe('choose-pattern');
    expect(actionFor('voices', 'p', own)).toBe('voice-alone');
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
