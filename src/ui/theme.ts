import type { Line, Style } from './draw/line.js';

/** How the screen may look: colours or not, Unicode or not. */
export interface Look {
  readonly colour: boolean;
  readonly unicode: boolean;
}

/*
 * The sixteen colours a terminal's own theme defines, so that light and dark backgrounds both work.
 * Without colour, weight and inversion carry what matters.
 */
const coloured: Readonly<Record<Style, string>> = {
  plain: '',
  dim: '2',
  title: '1',
  number: '1',
  chord: '36',
  here: '1;7',
  rail: '2',
  'rail-on': '1;33',
  finger: '1;36',
  move: '1;33',
  count: '1;33',
  warn: '1;31',
  key: '1',
};
const uncoloured: Readonly<Record<Style, string>> = {
  plain: '',
  dim: '2',
  title: '1',
  number: '1',
  chord: '',
  here: '1;7',
  rail: '2',
  'rail-on': '1',
  finger: '1',
  move: '1;4',
  count: '1',
  warn: '1;7',
  key: '1',
};

/** A line with the terminal's codes in it. */
export function paint(line: Line, look: Look): string {
  const codes = look.colour ? coloured : uncoloured;
  return line
    .map(({ text, style }) =>
      codes[style] === '' || text.trim() === '' ? text : `\u001b[${codes[style]}m${text}\u001b[0m`,
    )
    .join('');
}
