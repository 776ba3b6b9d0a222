import { describe, expect, it } from 'vitest';
import { plainText } from '../../../src/ui/draw/line.js';
import { namedKeys } from '../../../src/ui/draw/named-keys.js';

describe('namedKeys', () => {
  it.each([
    [' type to search   Enter takes it   Esc back', ['Enter', 'Esc']],
    [' a alone   m where the tune is heard   Esc back', ['a', 'm', 'Esc']],
    [' ↑ ↓ choose   Space on or off   ← → softer, louder', ['↑ ↓', 'Space', '← →']],
    [' Up Down choose   Left Right softer', ['Up Down', 'Left Right']],
    ['Up and down choose   Ctrl-C leaves', ['Ctrl-C']],
    [' Space goes on   Esc ends the sitting', ['Space', 'Esc']],
    [' press a key', []],
  ])('has the keys of “%s” strong, and the text as it was', (text, keys) => {
    const line = namedKeys(text);
    expect(plainText(line)).toBe(text);
    expect(line.filter(({ style }) => style === 'key').map((one) => one.text)).toEqual(keys);
    expect(line.every(({ style }) => style === 'key' || style === 'dim')).toBe(true);
  });
});
