import { describe, expect, it } from 'vitest';
import { notation } from '../../src/chart/notation.js';

describe('notation', () => {
  it('fits a screen of 80 by 24 with a prompt below it', () => {
    const lines = notation.split('\n');
    expect(lines.length).toBeLessThanOrEqual(23);
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(79);
  });

  it.each([
    '6-',
    '7o',
    '5+',
    'b7',
    '#4o',
    '5^7',
    '1/3',
    '(1... 5.)',
    '1~',
    '1!',
    "'4",
    'nc',
    '=',
    '|:',
    'x3',
    '[1st',
    '[2nd',
    '[last',
    '@3/4',
    '@key+2',
    '@tempo=90',
    '@swing=62',
    '"all in"',
    ';',
    'F#m',
    'last 4 of C',
    'half=118',
    '@key=A',
    'key D',
    '@rit=80%',
    '1_',
    '@wait',
    '> words',
    'tags: ',
    '@sign',
    '@to-coda',
    '@fine',
    'from sign to coda',
    '+ 5 1',
    'crooked',
  ])('has %s', (mark) => {
    expect(notation).toContain(mark);
  });
});
