import { expect, it } from 'vitest';
import { withArticle } from '../../src/base/article.js';

it.each([
  ['click', 'a click'],
  ['output', 'an output'],
  ['Instrument', 'an Instrument'],
  ['usual name', 'a usual name'],
])('%s with its article', (words, wanted) => {
  expect(withArticle(words)).toBe(wanted);
});
