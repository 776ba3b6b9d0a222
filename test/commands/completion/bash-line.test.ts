import { describe, expect, it } from 'vitest';
import { readBashLine } from '../../../src/commands/completion/bash-line.js';

/** Bash's own, without the space of its beginning. */
const breaks = '\t\n"\'><=;|&(:';

describe('a line of bash', () => {
  it.each([
    ['barkline', ['barkline'], ''],
    ['barkline ', ['barkline', ''], ''],
    ['barkline  play   x', ['barkline', 'play', 'x'], ''],
    ['barkline play a\\ b', ['barkline', 'play', 'a b'], ''],
    ["barkline play 'a b", ['barkline', 'play', 'a b'], ''],
    ['barkline play "a b', ['barkline', 'play', 'a b'], ''],
    ['barkline play "a b" c', ['barkline', 'play', 'a b', 'c'], ''],
    ['barkline play "a\\"b', ['barkline', 'play', 'a"b'], ''],
    ["barkline play 'a\\b", ['barkline', 'play', 'a\\b'], ''],
    ['barkline play "" ', ['barkline', 'play', '', ''], ''],
    ['barkline play "ü ', ['barkline', 'play', 'ü '], ''],
    ['barkline play --out midi:', ['barkline', 'play', '--out', 'midi:'], 'midi:'],
    ['barkline play --out midi:Sy', ['barkline', 'play', '--out', 'midi:Sy'], 'midi:'],
    ['barkline play --out=midi:Sy', ['barkline', 'play', '--out=midi:Sy'], '--out=midi:'],
    ['barkline play --key=F', ['barkline', 'play', '--key=F'], '--key='],
    ['barkline play --out "midi:Sy', ['barkline', 'play', '--out', 'midi:Sy'], ''],
    ['barkline play --out midi\\:Sy', ['barkline', 'play', '--out', 'midi:Sy'], ''],
    ["barkline play --out midi:'Sy", ['barkline', 'play', '--out', 'midi:Sy'], 'midi:'],
    ['barkline play a:b c', ['barkline', 'play', 'a:b', 'c'], ''],
    ['barkline play a\\', ['barkline', 'play', 'a'], ''],
    ['', [''], ''],
  ])('%s', (line, words, kept) => {
    expect(readBashLine(line, breaks)).toEqual({ words, kept });
  });

  it('has no break at a colon where its user wants none', () => {
    expect(readBashLine('barkline --out midi:1', '= ').kept).toBe('');
  });
});
