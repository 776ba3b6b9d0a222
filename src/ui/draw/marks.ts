import type { PlayedBar } from '../../chart/chart.js';
import type { Mark } from '../../listen/marks.js';
import type { StrokeMark } from '../state/modes.js';
import { type BarLook, span } from './bar.js';
import { type Piece, piece, type Style } from './line.js';

/** A mark as it is drawn: a stroke that came early, on, or late; hollow where it was surely another chord. */
interface Signs {
  readonly early: string;
  readonly on: string;
  readonly late: string;
}

/** The signs of marks: told apart by their form, so that they can be read without colour. */
export function markSigns(unicode: boolean): { readonly solid: Signs; readonly hollow: Signs } {
  return unicode
    ? { solid: { early: '◂', on: '∙', late: '▸' }, hollow: { early: '◁', on: '○', late: '▷' } }
    : { solid: { early: '<', on: '.', late: '>' }, hollow: { early: '(', on: 'o', late: ')' } };
}

/** Under the rail of a bar: a mark below the place of each stroke that was heard there, and nothing where nothing was. */
export function marksLine(bar: PlayedBar, look: BarLook, strokes: readonly StrokeMark[]): Piece[] {
  const { before, room } = span(bar, look);
  const columns: (Mark | undefined)[] = new Array(look.width).fill(undefined);
  for (const { beat, mark } of strokes) {
    const place = Math.max(0, Math.min(room - 1, Math.floor((beat * room) / Math.ceil(bar.beats))));
    const column = Math.min(look.width - 1, before.length + place);
    const there = columns[column];
    // Where strokes are closer than columns, the one that says more is seen.
    if (!there || weight(mark) > weight(there)) columns[column] = mark;
  }
  return columns.map((mark) => (mark ? signOf(mark, look.unicode) : piece(' ')));
}

function signOf(mark: Mark, unicode: boolean): Piece {
  const signs = markSigns(unicode);
  const style: Style = mark.isHollow ? 'count' : mark.place === 'on' ? 'dim' : 'plain';
  return piece((mark.isHollow ? signs.hollow : signs.solid)[mark.place], style);
}

function weight({ place, isHollow }: Mark): number {
  return (isHollow ? 2 : 0) + (place === 'on' ? 0 : 1);
}
