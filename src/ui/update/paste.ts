import { takesText } from '../keymap.js';
import type { Message, Model, Updated } from '../model.js';
import { placeOf } from '../place.js';
import { mostCharacters } from './entry.js';

/** What has no place in a typed line. */
const unprintable = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu;

/**
 * Pasted text is typed where a line is typed: up to its first line break, and as much as the line has room for. The rest,
 * and all of it elsewhere, is left out, and that is said.
 */
export function pastedInto(
  model: Model,
  { text, more }: Extract<Message, { kind: 'pasted' }>,
  type: (model: Model, text: string) => Updated,
): Updated {
  if (!takesText(placeOf(model))) return said(model, 'what was pasted is left out: no line is typed here');
  const [first = ''] = text.split(/[\r\n\u2028\u2029]/, 1);
  const line = [...first.replace(/\t/g, ' ').replace(unprintable, '')];
  const typed = line.slice(0, Math.max(0, mostCharacters - lengthOf(model)));
  const done = typed.length === 0 ? { model, effects: [] } : type(model, typed.join(''));
  const isWhole = !more && typed.length === line.length && text.slice(first.length).trim() === '';
  return isWhole
    ? done
    : {
        ...said(done.model, 'of what was pasted one line is kept, the rest left out'),
        effects: done.effects,
      };
}

/** How many characters the line has that is typed. */
function lengthOf({ entry, panel, set, library }: Model): number {
  if (entry) return [...entry.text].length;
  if (panel === 'requests') return [...(set?.requests?.query ?? '')].length;
  return [...((panel === 'order' ? set?.query : library?.query) ?? '')].length;
}

function said(model: Model, notice: string): Updated {
  return { model: { ...model, notice }, effects: [] };
}
