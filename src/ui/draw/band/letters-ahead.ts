import { capoLetters } from '../../../band/parts.js';
import type { Capo } from '../../../theory/capo.js';
import { withSigns } from '../../../theory/key.js';
import { type Line, type Piece, padText, piece } from '../line.js';
import type { PartView } from './part-view.js';

/** Bars of a line of letters, and columns of each. */
const barsTold = 4;
const barColumns = 7;

/** The letters behind a capo of the four bars at hand, and of the four after them. */
export function lettersAhead(view: PartView, capo: Pick<Capo, 'fret'>): readonly Line[] {
  const { bars, place, late, names } = view;
  if (late !== null || names === 'numbers') return [[], []];
  const { from, to } = place.range;
  const first = place.bar - (place.bar % barsTold);
  const barAt = (on: number) => {
    if (on < from) return undefined;
    if (on < to) return bars[on];
    return place.goesRound ? bars[from + ((on - to) % Math.max(1, to - from))] : undefined;
  };
  return [0, 1].map(
    (row): Line =>
      Array.from({ length: barsTold }, (_, at): Piece => {
        const on = first + row * barsTold + at;
        const bar = barAt(on);
        const letters = bar ? capoLetters(bar, capo).map((one) => (one === '' ? 'nc' : one)) : [];
        const text = letters.join(' ');
        const shown = padText(view.unicode ? withSigns(text) : text, barColumns - 1);
        return piece(`${shown} `, on === place.bar ? 'title' : 'chord');
      }),
  );
}
