import { takesText } from '../../keys/bindings.js';
import { placeOf } from '../../keys/place.js';
import type { MessageOf } from '../../state/messages.js';
import type { Model } from '../../state/model.js';
import { inTurn, noticed, type Step, step } from '../step.js';
import { mostCharacters } from './line.js';

/** What has no place in a typed line. */
const unprintable = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu;

/**
 * Pasted text is typed where a line is typed: up to its first line break, and as much as the line has room for. The rest,
 * and all of it elsewhere, is left out, and that is said.
 */
export function pastedInto(
  model: Model,
  { text, more }: MessageOf<'pasted'>,
  type: (model: Model, text: string) => Step,
): Step {
  if (!takesText(placeOf(model)))
    return noticed(model, 'the pasted text is ignored: nothing can be typed here');
  const [first = ''] = text.split(/[\r\n\u2028\u2029]/, 1);
  const line = [...first.replace(/\t/g, ' ').replace(unprintable, '')];
  const typed = line.slice(0, Math.max(0, mostCharacters - lengthOf(model)));
  const done = typed.length === 0 ? step(model) : type(model, typed.join(''));
  const isWhole = !more && typed.length === line.length && text.slice(first.length).trim() === '';
  return isWhole
    ? done
    : inTurn(done, (now) =>
        noticed(now, 'only the first line of the pasted text is kept, as far as it fits'),
      );
}

/** How many characters the line has that is typed. */
function lengthOf({ overlay, library }: Model): number {
  switch (overlay?.kind) {
    case 'line':
      return [...overlay.text].length;
    case 'requests':
      return [...overlay.library.query].length;
    case 'order':
      return [...overlay.query].length;
    default:
      return [...(library?.query ?? '')].length;
  }
}
