import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { textWidth } from '../../../src/base/text-width.js';
import { drawnSigns } from '../../../src/commands/doctor/signs.js';
import { readAnswered, widthQuestions } from '../../../src/commands/doctor/terminal-answers.js';

const esc = '\u001b';

describe('what a terminal answers', () => {
  it.each([
    ['in order', `${esc}]11;rgb:ffff/ffff/ffff${esc}\\${esc}[5;2R${esc}[5;3R`, [1, 1, 1], [1, 2]],
    ['the background later', `${esc}[5;2R${esc}[5;3R${esc}]11;rgb:00/00/00\u0007`, [0, 0, 0], [1, 2]],
    ['among keys', `ab${esc}[5;2Rq${esc}[A${esc}[5;3R`, null, [1, 2]],
    ['with introducers of one byte', `\u009b5;2R\u009b5;3R`, null, [1, 2]],
    ['in part', `${esc}[5;2R${esc}[5;`, null, [1]],
    ['nothing', '', null, []],
    ['a sign of no width', `${esc}[5;1R`, null, [0]],
  ] as const)('%s', (_, sent, background, widths) => {
    expect(readAnswered(sent)).toEqual({ background, widths, interrupted: false });
  });

  it('is broken off by Ctrl-C', () => {
    expect(readAnswered(`${esc}[5;2R\u0003`).interrupted).toBe(true);
  });
});

describe('what it is asked', () => {
  it('is each sign at the start of the line, which is empty in the end', () => {
    expect(widthQuestions(['♭', '━'])).toBe(`\r♭${esc}[6n\r━${esc}[6n\r${esc}[K`);
    expect(widthQuestions([])).toBe('');
  });

  it('is about every sign that the screens draw', () => {
    const ui = fileURLToPath(new URL('../../../src/ui', import.meta.url));
    const drawn = readdirSync(ui, { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.tsx?$/.test(name))
      .flatMap((name) => [
        ...readFileSync(join(ui, name), 'utf8')
          .replace(/\/\*[\s\S]*?\*\//g, '')
          .replace(/\/\/.*/g, ''),
      ])
      .filter((sign) => sign > '\u007e');
    expect(drawn.length).toBeGreaterThan(100);
    expect([...new Set(drawn)].filter((sign) => !drawnSigns.includes(sign))).toEqual([]);
    expect(new Set(drawnSigns).size).toBe(drawnSigns.length);
    // They are drawn in one column each; a terminal that thinks otherwise is found by that.
    expect(drawnSigns.filter((sign) => textWidth(sign) !== 1)).toEqual([]);
  });
});
