import { feltBeats, type PlayedBar } from '../chart/chart.js';
import { endingStrokes } from './ending.js';
import { type Pattern, strokesIn } from './pattern.js';
import type { Stroke } from './stroke.js';

/**
 * A pattern's strokes in a bar as it is played. In a bar that is longer than its meter the pattern begins again where the
 * meter's beats are over, so that in four the low note is on odd beats and the chop on even ones. An ending looks at
 * how long its bar really is.
 */
export function barStrokes(
  pattern: Pattern,
  bar: Pick<PlayedBar, 'meter' | 'beats' | 'cells'>,
): readonly Stroke[] {
  if (pattern.ends)
    return endingStrokes(pattern.ends, { meter: bar.meter, beats: bar.beats, chords: bar.cells.length });
  const strokes = strokesIn(pattern, bar.meter);
  const full = feltBeats(bar.meter);
  if (bar.beats <= full) return strokes;
  const rounds = Math.ceil(bar.beats / full);
  return Array.from({ length: rounds }, (_, round) =>
    strokes.map((stroke) => ({ ...stroke, at: stroke.at + round * full })),
  )
    .flat()
    .filter(({ at }) => at < bar.beats - 1e-9);
}
