import { safeText } from '../../base/safe-text.js';
import type { Look } from '../state/look.js';
import { type Line, type Style, textWidth } from './line.js';

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
  cue: '3;32',
  'rail-on': '1;33',
  'tune-on': '1;7;33',
  finger: '1;36',
  move: '1;33',
  count: '1;33',
  warn: '1;31',
  key: '1',
};
/** On a light background yellow and cyan are too faint; their places are taken by magenta and blue. */
const onLight: Readonly<Record<Style, string>> = {
  ...coloured,
  chord: '34',
  'rail-on': '1;35',
  'tune-on': '1;7;35',
  finger: '1;34',
  move: '1;35',
  count: '1;35',
};
const uncoloured: Readonly<Record<Style, string>> = {
  plain: '',
  dim: '2',
  title: '1',
  number: '1',
  chord: '',
  here: '1;7',
  rail: '2',
  cue: '3',
  'rail-on': '1',
  'tune-on': '1;7',
  finger: '1',
  move: '1;4',
  count: '1',
  warn: '1;7',
  key: '1',
};

/** A line with the terminal's codes in it: those of its styles, and none that a text brought along. */
export function paint(line: Line, look: Look): string {
  const codes = !look.colour ? uncoloured : look.light ? onLight : coloured;
  return line
    .map(({ text, style }) => {
      const safe = safeText(text);
      const shown = look.unicode ? safe : plainSigns(safe);
      return codes[style] === '' || (text.trim() === '' && style !== 'here')
        ? shown
        : `\u001b[${codes[style]}m${shown}\u001b[0m`;
    })
    .join('');
}

/** Signs that plain terminals lack, by one that is as wide. */
const signs: Readonly<Record<string, string>> = {
  '…': '~',
  '“': '"',
  '”': '"',
  '‘': "'",
  '’': "'",
  '–': '-',
};

/** A text for terminals that show nothing but ASCII: letters lose their accents, and what has no like is a question mark a column. */
function plainSigns(text: string): string {
  if (/^[ -~]*$/.test(text)) return text;
  return [...text]
    .map((sign) => {
      if (/^[ -~]$/.test(sign)) return sign;
      const like = signs[sign] ?? sign.normalize('NFKD').replace(/\p{M}/gu, '');
      return /^[ -~]+$/.test(like) ? like.slice(0, textWidth(sign)) : '?'.repeat(textWidth(sign));
    })
    .join('');
}
