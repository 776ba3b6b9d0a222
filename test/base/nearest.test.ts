import { describe, expect, it } from 'vitest';
import { didYouMean, nearest } from '../../src/base/nearest.js';

describe('nearest', () => {
  it.each([
    ['temop', ['tempo', 'title'], 'tempo'],
    ['TEMPO', ['tempo'], 'tempo'],
    ['vers', ['verse', 'V'], 'verse'],
    ['verse', ['Verse'], 'Verse'],
    ['chrous', ['verse', 'chorus'], 'chorus'],
    ['tag', ['tags', 'stage'], 'tags'],
    ['kee', ['key'], 'key'],
    ['Vv', ['V'], 'V'],
  ])('%s among %j is %s', (word, known, meant) => {
    expect(nearest(word, known)).toBe(meant);
  });

  it.each([
    ['a word of three letters two edits away', 'kxx', ['key']],
    ['a word of five letters three edits away', 'texyz', ['tempo']],
    ['nothing known', 'tempo', []],
    ['nothing alike', 'zzzz', ['title', 'key']],
  ])('answers null for %s', (_, word, known) => {
    expect(nearest(word, known)).toBeNull();
  });

  it('takes the nearest, and the first of those equally near', () => {
    expect(nearest('verse', ['versed', 'verse'])).toBe('verse');
    expect(nearest('verse', ['versed', 'verses'])).toBe('versed');
  });
});

describe('didYouMean', () => {
  it('is the end of a sentence when something is near', () => {
    expect(`there is no section “Vers”${didYouMean('Vers', ['Verse'])}`).toBe(
      'there is no section “Vers”; did you mean “Verse”?',
    );
  });

  it('quotes a name that may come from a file so that it steers no terminal', () => {
    expect(didYouMean('Vu', ['Vu\u001b'])).toBe('; did you mean “Vu␛”?');
  });

  it('is empty when nothing is', () => {
    expect(didYouMean('zzzz', ['Verse'])).toBe('');
  });
});
