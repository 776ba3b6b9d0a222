import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jsonText } from '../../src/base/json.js';
import { bareText, escapedText, isSafe, quoted, safeLines, safeText } from '../../src/base/safe-text.js';

describe('safeText', () => {
  it.each([
    ['plain text', 'Nine Barges Late', 'Nine Barges Late'],
    ['letters and signs of any script', 'Bë♭ 𝄞 ő', 'Bë♭ 𝄞 ő'],
    ['escape', 'a\u001b[2Jb', 'a␛[2Jb'],
    ['tab, line feed, carriage return', 'a\tb\nc\rd', 'a␉b␊c␍d'],
    ['bell and backspace', '\u0007\u0008', '␇␈'],
    ['zero', '\u0000', '␀'],
    ['delete', '\u007f', '␡'],
    ['the one-character control sequence introducer', '\u009b2J', '�2J'],
    ['next line', '\u0085', '�'],
    ['line and paragraph separators', '\u2028\u2029', '��'],
    ['override of direction', 'a\u202eb', 'a�b'],
    ['isolates of direction', '\u2066\u2069', '��'],
    ['marks of direction', '\u200e\u200f', '��'],
    // The third mark of direction besides U+200E and U+200F (Unicode Standard Annex 9, implicit marks; from memory).
    ['the Arabic letter mark', 'a\u061cb', 'a�b'],
    ['nothing of no width', '\u200b\u2060\ufeff\u180e', '����'],
    ['interlinear annotation', '\ufff9\ufffb', '��'],
    ['tags, one sign for both halves', '\u{e0001}\u{e0041}', '��'],
  ])('%s', (_, text, safe) => {
    expect(safeText(text)).toBe(safe);
  });

  it('leaves no control character, and leaves safe text alone', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const safe = safeText(text);
        expect(safe).not.toMatch(/\p{Cc}/u);
        expect(safeText(safe)).toBe(safe);
      }),
    );
  });
});

describe('quoted', () => {
  it('puts quotes around safe text', () => {
    expect(quoted('V')).toBe('“V”');
    expect(quoted('a\u001bb')).toBe('“a␛b”');
    expect(quoted('')).toBe('“”');
  });

  it('cuts what is longer than asked, with an ellipsis', () => {
    expect(quoted('x'.repeat(40))).toBe(`“${'x'.repeat(40)}”`);
    expect(quoted('x'.repeat(41))).toBe(`“${'x'.repeat(39)}…”`);
    expect(quoted('abcdef', 4)).toBe('“abc…”');
  });

  it('never cuts a character in two', () => {
    expect(quoted('𝄞𝄞𝄞𝄞', 3)).toBe('“𝄞𝄞…”');
  });
});

describe('what the formats make of it', () => {
  const text = 'a\u001b[2J\u009b2J\u202eb\u{e0041}\n';

  it('is shown, left out or escaped by the same characters', () => {
    expect(safeText(text)).toBe('a␛[2J�2J�b�␊');
    expect(safeLines(`${text}c\t`)).toBe('a␛[2J�2J�b�\nc␉');
    expect(bareText(text)).toBe('a[2J2Jb');
    expect(escapedText(text)).toBe('a\\u001b[2J\\u009b2J\\u202eb\\udb40\\udc41\\u000a');
    expect([isSafe(text), isSafe('Bë♭ 𝄞')]).toEqual([false, true]);
  });

  it('is read back from its escapes, whatever it was', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.nat(2), (value, indent) => {
        const written = jsonText({ value, [value]: [value] }, indent);
        expect(JSON.parse(written)).toEqual({ value, [value]: [value] });
        expect(written.split('\n').every(isSafe)).toBe(true);
      }),
    );
  });
});
