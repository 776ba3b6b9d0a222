import { capoFor, capoLetters, sights } from '../../../band/parts.js';
import type { PassView } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import { chordName } from '../../../theory/chord.js';
import { withSigns } from '../../../theory/key.js';
import type { Model } from '../../state/model.js';
import { type Line, padText, piece } from '../line.js';
import { capoText } from './capo-bars.js';

/** Bars of a line of letters. */
const barsTold = 4;

/**
 * On the card of a song, for a part that plays without shapes: the capo, and the letters of the first bars as they are played. `null` for
 * a part that has shapes, and outside of a band.
 */
export function cardOfPart(
  { band, look: { unicode } }: Model,
  { setup }: Performance,
  view: PassView | null,
  width: number,
): Line[] | null {
  if (!band || sights[band.band.part].shapes) return null;
  const isBehindCapo = sights[band.band.part].capo;
  const capo = capoFor(setup.key, band.capo);
  const letters = (view?.bars ?? []).slice(0, 2 * barsTold).map((bar) => {
    const names = isBehindCapo
      ? capoLetters(bar, capo)
      : bar.cells.map(({ chord }) => (chord ? chordName(chord) : ''));
    const text = names.map((name) => (name === '' ? 'nc' : name)).join(' ');
    return padText(unicode ? withSigns(text) : text, Math.floor(width / barsTold) - 1);
  });
  return [
    ...(isBehindCapo ? [[piece(capoText(capo, setup.key, unicode), 'key')], []] : []),
    [piece('first', 'dim')],
    [piece(letters.slice(0, barsTold).join(' '), 'chord')],
    [piece(letters.slice(barsTold).join(' '), 'chord')],
  ];
}
