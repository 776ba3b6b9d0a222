import { safeText } from '../../base/safe-text.js';
import type { Look } from '../state/look.js';
import { type Line, textWidth } from './line.js';
import { themeOf } from './themes.js';

/** A line with the terminal's codes in it: only those of its styles, none from the text itself. */
export function paint(line: Line, look: Look): string {
  const codes = themeOf(look);
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
