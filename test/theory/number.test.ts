import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { degreeText, numberText, parseNumber } from '../../src/theory/number.js';
import { qualities } from '../../src/theory/quality.js';
import { number } from './reading.js';

describe('parseNumber', () => {
  it.each([
    ['1', 1, 0, 'major', null],
    ['6-', 6, 0, 'minor', null],
    ['b7', 7, -1, 'major', null],
    ['♭7', 7, -1, 'major', null],
    ['#4o', 4, 1, 'dim', null],
    ['♯4°', 4, 1, 'dim', null],
    ['5^7', 5, 0, '7', null],
    ['5+', 5, 0, 'aug', null],
    ['2-^7b5', 2, 0, 'm7b5', null],
    ['2-^7♭5', 2, 0, 'm7b5', null],
    ['1^7♯9', 1, 0, '7#9', null],
    ['4^sus', 4, 0, 'sus4', null],
    ['1/3', 1, 0, 'major', { degree: 3, alter: 0 }],
    ['1^7/b7', 1, 0, '7', { degree: 7, alter: -1 }],
    ['b3/♯4', 3, -1, 'major', { degree: 4, alter: 1 }],
  ])('%s', (text, degree, alter, quality, bass) => {
    expect(number(text)).toStrictEqual({ degree, alter, quality, bass });
  });

  it.each([
    ['q', 0, '“q” is not a number; a bar is a degree from 1 to 7: 1, 6-, b7, 5^7'],
    ['', 0, '“” is not a number'],
    ['##1', 0, '“##1” is not a number'],
    ['8', 0, 'there is no degree 8; degrees go from 1 to 7'],
    ['b0', 1, 'there is no degree 0'],
    ['57', 1, '“57” can be read two ways: two bars are written “5 7”, one chord “5^7”'],
    ['b77', 2, '“b77” can be read two ways: two bars are written “b7 7”, one chord “b7^7”'],
    ['19', 1, '“19” needs a caret before the “9”: “1^9”'],
    ['17b5', 1, '“17b5” needs a caret before the “7b5”: “1^7b5”'],
    ['1455', 1, '“1455” runs bars together; write one number for each bar: “1 4 5 5”'],
    ['18', 1, '“18” is not a number; write a caret before what follows the degree'],
    ['1m', 1, '“1m”: minor is written with a dash: “1-”'],
    ['2m7b5', 1, '“2m7b5”: minor is written with a dash: “2-^7b5”'],
    ['6-7', 1, '“6-7” needs a caret after the dash: “6-^7”'],
    ['1maj7', 1, '“1maj7” needs a caret before “maj7”: “1^maj7”'],
    ['5^mja7', 1, '“^mja7” is not a quality; did you mean “5^maj7”?'],
    ['5dim', 1, '“dim” is not a quality; use - o + or, after a caret, 7'],
    ['1/', 2, 'a degree is missing after the slash; write it as 1/3'],
    ['1/8', 2, '“8” is not a degree for a bass'],
    ['b1^7/3/5', 5, '“3/5” is not a degree for a bass'],
  ])('%s is refused at offset %i', (text, at, sentence) => {
    const outcome = parseNumber(text);
    expect(outcome.ok ? null : outcome.fault.at).toBe(at);
    expect(outcome.ok ? '' : outcome.fault.message).toContain(sentence);
  });

  it.each([
    ['one figure', '1'.repeat(50_000)],
    ['a mark', `1${'m'.repeat(50_000)}`],
    ['a bass', `1/${'3'.repeat(50_000)}`],
  ])('quotes no more than a glance of endless text: %s', (_, text) => {
    const outcome = parseNumber(text);
    expect(outcome.ok ? Number.NaN : outcome.fault.message.length).toBeLessThan(500);
  });
});

describe('numberText', () => {
  const degree = fc.record(
    { degree: fc.integer({ min: 1, max: 7 }), alter: fc.constantFrom(-1 as const, 0 as const, 1 as const) },
    { noNullPrototype: true },
  );
  const ids = fc.constantFrom(...qualities.map((one) => one.id));

  it('is read back as the same number', () => {
    fc.assert(
      fc.property(degree, ids, fc.option(degree), (root, quality, bass) => {
        const written = { ...root, quality, bass };
        expect(parseNumber(numberText(written))).toStrictEqual({ ok: true, value: written });
      }),
      { numRuns: 1000 },
    );
  });

  it('answers a number or an offset within the text, whatever it is', () => {
    const letters = fc.string({ unit: fc.constantFrom(...'b#♭♯0123456789-o+^/m majsud°é') });
    fc.assert(
      fc.property(fc.oneof(letters, fc.string({ unit: 'binary' })), (text) => {
        const outcome = parseNumber(text);
        if (outcome.ok) expect(number(numberText(outcome.value))).toStrictEqual(outcome.value);
        else expect(outcome.fault.at).toBeLessThanOrEqual(text.length);
      }),
      { numRuns: 1000 },
    );
  });

  it.each([
    ['♭7^7', 'b7^7'],
    ['♯4°', '#4o'],
    ['4^sus', '4^sus4'],
    ['1/♭7', '1/b7'],
  ])('%s is written %s', (text, plain) => {
    expect(numberText(number(text))).toBe(plain);
  });

  it('writes a degree alone', () => {
    expect(degreeText({ degree: 7, alter: -1 })).toBe('b7');
    expect(degreeText({ degree: 4, alter: 1 })).toBe('#4');
    expect(degreeText({ degree: 1, alter: 0 })).toBe('1');
  });
});
