import { EventEmitter } from 'node:events';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { KeyReader } from '../../src/ui/key-reader.js';
import { readColour, withoutAnswers } from '../../src/ui/terminal-answer.js';

const colour = 'rgb:ffff/fafa/f0f0';
/** An answer as terminals end it: BEL, ST, and both as single bytes, in UTF-8 or bare (then they arrive as the replacement character). */
const answers: readonly (readonly [string, string])[] = [
  ['BEL', `\u001b]11;${colour}\u0007`],
  ['ST', `\u001b]11;${colour}\u001b\\`],
  ['8-bit OSC and ST', `\u009d11;${colour}\u009c`],
  ['bare bytes', `\ufffd11;${colour}\ufffd`],
  ['four parts', '\u001b]11;rgba:ffff/fafa/f0f0/ffff\u0007'],
  ['short parts', '\u001b]11;rgb:ff/fa/f0\u001b\\'],
];

class Terminal extends EventEmitter {
  setEncoding(): void {}
  ref(): void {}
  unref(): void {}
}

function reader(expects: boolean) {
  const terminal = new Terminal();
  const keys = new KeyReader(terminal);
  const pressed: string[] = [];
  const told: string[] = [];
  keys.on('readable', () => pressed.push(keys.read() ?? ''));
  keys.on('answer', (answer: string) => told.push(answer));
  if (expects) keys.expectAnswer(60_000);
  return { pressed, told, send: (data: string) => void terminal.emit('data', data) };
}

/** Every press has had its turn. */
async function turns(): Promise<void> {
  for (let turn = 0; turn < 64; turn += 1) await new Promise((resolve) => setImmediate(resolve));
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
});
afterEach(() => {
  vi.useRealTimers();
});

describe('an answer of the terminal', () => {
  it.each(answers)('is told and no keys, with %s, whole or split anywhere', async (_, answer) => {
    for (let at = 0; at < answer.length; at += 1) {
      const { pressed, told, send } = reader(true);
      send(`a${answer.slice(0, at)}`);
      send(`${answer.slice(at)}q`);
      await turns();
      expect(pressed, String(at)).toEqual(['a', 'q']);
      expect(told, String(at)).toHaveLength(1);
    }
  });

  it.each(answers)('comes byte by byte with %s, slowly, and is told', async (_, answer) => {
    const { pressed, told, send } = reader(true);
    for (const byte of answer) {
      send(byte);
      vi.advanceTimersByTime(15);
    }
    send('q');
    await turns();
    expect(pressed).toEqual(['q']);
    expect(told).toHaveLength(1);
  });

  it('comes long after it was expected, in two parts half a second apart', async () => {
    const { pressed, told, send } = reader(false);
    send(`\u001b]11;rgb:ff`);
    vi.advanceTimersByTime(500);
    send(`ff/fafa/f0f0\u001b`);
    vi.advanceTimersByTime(500);
    send('\\q');
    await turns();
    expect(pressed).toEqual(['q']);
    expect(told).toEqual([colour]);
  });

  it('whose first byte was taken for the Escape key is still no more keys than that', async () => {
    const { pressed, send } = reader(false);
    send('\u001b');
    vi.advanceTimersByTime(500);
    send(`]11;${colour}\u0007q`);
    await turns();
    expect(pressed).toEqual(['\u001b', 'q']);
  });

  it('that breaks off is dropped, and the next key is one', async () => {
    const { pressed, told, send } = reader(true);
    send(`\u001b]11;rgb:ffff/fa`);
    vi.advanceTimersByTime(1001);
    send('q');
    await turns();
    expect(pressed).toEqual(['q']);
    expect(told).toEqual([]);
  });

  it('to another question is swallowed and not told', async () => {
    const { pressed, told, send } = reader(true);
    send(`\u001b]10;${colour}\u0007q`);
    await turns();
    expect(pressed).toEqual(['q']);
    expect(told).toEqual([]);
  });

  it('comes twice, and right before and after a paste', async () => {
    const { pressed, told, send } = reader(true);
    const answer = answers[0]?.[1] ?? '';
    send(`${answer}${answer}\u001b[200~x\u001b[201~${answer}q`);
    await turns();
    expect(pressed).toEqual(['q']);
    expect(told).toHaveLength(3);
  });
});

describe('keys that only look like its beginning', () => {
  it.each([
    ['a bracket', ']', [']']],
    ['a bracket and figures', ']11;q', [']', '1', '1', ';', 'q']],
    ['Alt and a bracket', '\u001b]', ['\u001b]']],
    ['Alt and a bracket, then a letter', '\u001b]q', ['\u001b]', 'q']],
    ['Escape', '\u001b', ['\u001b']],
  ])('%s', async (_, data, wanted) => {
    const { pressed, send } = reader(true);
    send(data);
    vi.advanceTimersByTime(60);
    await turns();
    expect(pressed).toEqual(wanted);
  });

  it('Escape and then another key are two, though an answer is expected', async () => {
    const { pressed, send } = reader(true);
    send('\u001b');
    send('q');
    await turns();
    expect(pressed).toEqual(['\u001b', 'q']);
  });

  it('Escape is told at once where no answer is expected', async () => {
    const { pressed, send } = reader(false);
    send('\u001b');
    await turns();
    expect(pressed).toEqual(['\u001b']);
  });
});

describe('a colour', () => {
  it.each([
    ['rgb:ffff/0000/8080', [1, 0, 0x8080 / 0xffff]],
    ['rgb:f/0/8', [1, 0, 8 / 15]],
    ['rgba:ff/00/80/ff', [1, 0, 0x80 / 0xff]],
    ['rgb:12/34', null],
    ['red', null],
  ])('%s', (text, wanted) => {
    expect(readColour(text)).toEqual(wanted);
  });

  it('is found among keys', () => {
    expect(withoutAnswers(`a\u001b]11;${colour}\u0007b`)).toEqual({
      keys: 'ab',
      answers: [colour],
      unfinished: '',
    });
  });
});
