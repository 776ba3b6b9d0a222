import { readFileSync, statSync } from 'node:fs';
import { expect, it } from 'vitest';

interface Cell {
  readonly text: string;
  readonly style: { readonly bold: boolean; readonly ink: unknown; readonly inverse: boolean };
}
interface Screen {
  readonly lines: readonly (readonly Cell[])[];
  write(text: string): void;
  text(): string;
}
const { Cells } = (await import('./picture/cells.mjs' as string)) as {
  Cells: new (columns: number, rows: number) => Screen;
};
const { svgOf } = (await import('./picture/svg.mjs' as string)) as {
  svgOf: (lines: Screen['lines'], title: string) => string;
};

it('has what a screen shows when all is written', () => {
  const screen = new Cells(12, 3);
  screen.write(
    '\u001b[?1049h\u001b[2J\u001b[1;1Hone two\u001b[2;3H\u001b[1;36mthree\u001b[0m\u001b[3;1Hgone\u001b[1;5Hthr',
  );
  screen.write('ee\u001b[3;1H\u001b[Kfour');
  expect(screen.text()).toBe('one three\n  three\nfour');
  expect(screen.lines[1]?.[2]?.style).toMatchObject({ bold: true, ink: 6, inverse: false });
  expect(screen.lines[1]?.[8]?.style).toMatchObject({ bold: false, ink: null });
});

it('takes codes and characters that come in pieces, wide ones, and questions to the terminal', () => {
  const screen = new Cells(8, 2);
  for (const piece of ['\u001b[', '2;', '3Hab\u001b]11;?', '\u0007', '漢c', '\u001b[38;5;9md'])
    screen.write(piece);
  expect(screen.text()).toBe('\n  ab漢cd');
  expect(screen.lines[1]?.[5]?.text).toBe('');
  expect(screen.lines[1]?.[7]?.style.ink).toBe(9);
});

it('draws characters in the middle of their cells, and lines as lines', () => {
  const screen = new Cells(4, 1);
  screen.write('\u001b[1;33ma<\u001b[0m─\u001b[7mz');
  expect(svgOf(screen.lines, 'A & b').split('\n')).toEqual([
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 43" width="60" height="43" role="img">',
    '<title>A &amp; b</title>',
    '<rect width="60" height="43" rx="8" fill="#000000"/>',
    '<path fill="#e5e5e5" d="M39 12h9v19h-9z"/>',
    '<path fill="#e5e5e5" d="M30 21h9v1h-9z"/>',
    `<g font-family="ui-monospace,'DejaVu Sans Mono',Menlo,Consolas,monospace" font-size="15" text-anchor="middle">`,
    '<text y="26" fill="#cdcd00" font-weight="bold"><tspan x="16.5">a</tspan><tspan x="25.5">&lt;</tspan></text>',
    '<text y="26" fill="#000000"><tspan x="43.5">z</tspan></text>',
    '</g>',
    '</svg>',
    '',
  ]);
});

it('made the picture of the README, which is light', () => {
  const file = new URL('../../charts/stand.svg', import.meta.url);
  expect(statSync(file).size).toBeLessThan(60_000);
  const text = readFileSync(file, 'utf8').replace(/<[^>]*>/g, '');
  for (const says of ['four-finger', 'Space', 'next']) expect(text).toContain(says);
  expect(readFileSync(new URL('../../README.md', import.meta.url), 'utf8')).toContain('(charts/stand.svg)');
});
