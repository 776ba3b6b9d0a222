import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bandKeys } from '../../src/link/keys.js';
import { makeWord, readWord, sameSecret, wordBits } from '../../src/link/word.js';

describe('makeWord', () => {
  it('is four pairs of syllables that can be said and typed', () => {
    for (let turn = 0; turn < 200; turn += 1)
      expect(makeWord()).toMatch(/^(?:[bdklmnrstv][aiou]){2}(?:-(?:[bdklmnrstv][aiou]){2}){3}$/);
  });

  it('is drawn evenly from more than 2^40', () => {
    expect(wordBits).toBeGreaterThanOrEqual(40);
    const belows: number[] = [];
    makeWord((below) => {
      belows.push(below);
      return below - 1;
    });
    expect(belows).toHaveLength(4);
    expect(belows.reduce((bits, below) => bits + Math.log2(below), 0)).toBeCloseTo(wordBits);
    const all = Array.from({ length: belows[0] as number }, (_, number) => makeWord(() => number));
    expect(new Set(all).size).toBe(belows[0]);
  });

  it('never says one syllable twice in a row within a pair', () => {
    const pairs = Array.from({ length: 1560 }, (_, number) => makeWord(() => number).slice(0, 4));
    expect(pairs.filter((pair) => pair.slice(0, 2) === pair.slice(2))).toEqual([]);
  });

  it('is a word that is taken', () => {
    expect(readWord(makeWord())).toMatchObject({ ok: true });
  });
});

describe('readWord', () => {
  it.each([
    ['kola-tiru-bamo-sidu', 'kolatirubamosidu'],
    ['Kola Tiru Bamo Sidu', 'kolatirubamosidu'],
    ['KOLATIRUBAMOSIDU', 'kolatirubamosidu'],
    ['ｋｏｌａｔｉｒｕ', 'kolatiru'],
    ['grün-es-haus', 'grüneshaus'],
  ])('reads %s however it was typed', (text, word) => {
    expect(readWord(text)).toEqual({ ok: true, value: word });
  });

  it.each([
    ['', /0 characters could be guessed; write at least 8/],
    ['short', /5 characters could be guessed/],
    ['a-b-c-d-e-f-g', /7 characters could be guessed/],
    ['aaaaaaaa', /so few different characters/],
    ['abababababab', /so few different characters/],
    ['x'.repeat(65), /too long; write at most 64/],
    ['kola\u001b[2Jtiru', /cannot be seen/],
  ])('refuses %j', (text, message) => {
    expect(readWord(text)).toMatchObject({ ok: false, fault: { message: expect.stringMatching(message) } });
  });

  it('reads its own answer as itself, whatever was typed', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 80 }), (text) => {
        const read = readWord(text);
        if (read.ok) expect(readWord(read.value)).toEqual(read);
        else expect(read.fault.message).toMatch(/; |write/);
      }),
    );
  });
});

describe('sameSecret', () => {
  it('tells equal from different, of any length', () => {
    const of = (text: string): Uint8Array => Buffer.from(text);
    expect(sameSecret(of('abc'), of('abc'))).toBe(true);
    expect(sameSecret(of('abc'), of('abd'))).toBe(false);
    expect(sameSecret(of('abc'), of('abcd'))).toBe(false);
    expect(sameSecret(of(''), of(''))).toBe(true);
  });
});

describe('bandKeys', () => {
  it('are the same on every machine, and none is another', async () => {
    const keys = await bandKeys('kolatirubamosidu');
    expect({ ...keys, seal: keys.seal.toString('hex') }).toEqual({
      password: 'ACEGyUlU4L3EoQpCIYl_6cS5FsxNrJxq',
      seal: 'fbad5d46ebbfa8e3ddd2512df50069b3e7bda530df4d848a0e57ec44108dc06d',
      band: '230531c9ee47434c',
      tag: '95bfb',
    });
    expect(keys.band.startsWith(keys.tag)).toBe(false);
  });

  it('are others for another word', async () => {
    const [one, other] = await Promise.all([bandKeys('kolatirubamosidu'), bandKeys('kolatirubamosida')]);
    expect(one.password).not.toBe(other.password);
    expect(one.seal.equals(other.seal)).toBe(false);
    expect(one.band).not.toBe(other.band);
  });
});
