import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Token, tokenize } from '../../src/chart/tokens.js';

const short = (text: string): string[] =>
  tokenize(text, 5, 1).map(({ kind, text: inner, column }) => `${column} ${kind} ${inner}`);

describe('tokenize', () => {
  it.each<[string, string[]]>([
    ['1 6- b7', ['1 word 1', '3 word 6-', '6 word b7']],
    ['  1\t4', ['3 word 1', '5 word 4']],
    ['(1 4)', ['1 open (', '2 word 1', '4 word 4', '5 close )']],
    ['(1... 5.)', ['1 open (', '2 word 1...', '7 word 5.', '9 close )']],
    ['|: 1 :| x3', ['1 repeat-open |:', '4 word 1', '6 repeat-close :|', '9 word x3']],
    ['|:1:|x3', ['1 repeat-open |:', '3 word 1', '4 repeat-close :|', '6 word x3']],
    ['[1st 5 ]', ['1 ending-open 1st', '6 word 5', '8 ending-close ]']],
    ['[1st,2nd 5]', ['1 ending-open 1st,2nd', '10 word 5', '11 ending-close ]']],
    ['[last 1~]', ['1 ending-open last', '7 word 1~', '9 ending-close ]']],
    ['[ ]', ['1 ending-open ', '3 ending-close ]']],
    ['"let it ring" 1~', ['1 cue let it ring', '15 word 1~']],
    ['1 "never ends; 4', ['1 word 1', '3 unended-cue never ends; 4']],
    ['1 ; all "of (it', ['1 word 1', '3 comment all "of (it']],
    [';', ['1 comment ']],
    ['1| 4 || :', ['1 word 1|', '4 word 4', '6 word ||', '9 word :']],
    ['::|', ['1 word :', '2 repeat-close :|']],
    ['@3/4 @key+2 =', ['1 word @3/4', '6 word @key+2', '13 word =']],
    ['', []],
    ['   ', []],
  ])('%s', (text, tokens) => {
    expect(short(text)).toStrictEqual(tokens);
  });

  it('counts columns from where the line stands, in characters', () => {
    expect(tokenize('"𝄞𝄞" é q', 7, 5)).toStrictEqual([
      { kind: 'cue', text: '𝄞𝄞', line: 7, column: 5 },
      { kind: 'word', text: 'é', line: 7, column: 10 },
      { kind: 'word', text: 'q', line: 7, column: 12 },
    ]);
  });

  // A separator of Unicode is no line's end in YAML.
  it('a comment reaches to the end of the line, whatever stands in it', () => {
    expect(short('1 ; a\u2028b')).toStrictEqual(['1 word 1', '3 comment a\u2028b']);
  });

  it('passes over nothing but white space', () => {
    const marks = { cue: ['"', '"'], 'unended-cue': ['"', ''], comment: [';', ''], 'ending-open': ['[', ''] };
    const written = ({ kind, text }: Token): string => {
      const [before, after] = kind in marks ? marks[kind as keyof typeof marks] : ['', ''];
      return before + text + after;
    };
    const line = fc.string({ unit: fc.oneof(fc.constantFrom(...'1 4()[]|:";=~.x@\t\u2028é𝄞'), fc.string()) });
    fc.assert(
      fc.property(line, (text) => {
        const all = tokenize(text, 1, 1).map(written).join('');
        expect(all.replace(/\s/g, '')).toBe(text.replace(/\s/g, ''));
      }),
      { numRuns: 500 },
    );
  });

  it('answers tokens from left to right, each where its first character stands', () => {
    const line = fc.string({ unit: fc.constantFrom(...'1 4()[]|:"=~x𝄞') });
    fc.assert(
      fc.property(line, (text) => {
        const columns = tokenize(text, 1, 1).map((token) => token.column);
        expect(columns).toStrictEqual([...new Set(columns)].sort((one, other) => one - other));
        const characters = [...text];
        for (const column of columns) expect(characters[column - 1]).toMatch(/\S/);
      }),
    );
  });
});
