import type { Fingering } from '../../hand/fingering.js';
import type { Instrument } from '../../hand/instrument.js';
import { type NeckSight, usualNeck } from '../../hand/neck-sight.js';
import { lineWidth, plainText } from './line.js';
import { fretWindows, neckLines } from './neck.js';

/** A shape on a sheet, with the words above it. */
export interface LabelledShape {
  readonly label: string;
  readonly fingering: Fingering;
}

/** Frets every drawing has at least, so that a sheet looks even. */
const fewestFrets = 4;
const fretWidth = 3;
const gap = 3;

/** Draws shapes side by side as plain text, as many in a row as fit the width; nut left, bass course at the bottom, or as `sight` says. */
export function shapeSheet(
  shapes: readonly LabelledShape[],
  instrument: Instrument,
  {
    width = 78,
    unicode = true,
    sight = usualNeck,
  }: { width?: number; unicode?: boolean; sight?: NeckSight } = {},
): string[] {
  const drawings = shapes.map(({ label, fingering }) => {
    const stopped = fingering.frets.filter((at) => at !== null && at > 0) as number[];
    const frets = Math.max(fewestFrets, Math.max(...stopped, 0) - Math.min(...stopped, 99) + 1);
    const [window] = fretWindows(fingering, null, frets);
    const neck = neckLines({ instrument, fingering, window, fretWidth, moving: new Set(), unicode, sight });
    const lines = [label, ...neck.map(plainText)];
    return { lines, width: Math.max(label.length, ...neck.map(lineWidth)) };
  });
  const rows: (typeof drawings)[] = [];
  for (const drawing of drawings) {
    const row = rows.at(-1);
    const used = row?.reduce((sum, one) => sum + one.width + gap, 0) ?? Number.POSITIVE_INFINITY;
    if (row && used + drawing.width <= width) row.push(drawing);
    else rows.push([drawing]);
  }
  return rows.flatMap((row, index) => [
    ...(index > 0 ? [''] : []),
    ...(row[0]?.lines ?? []).map((_, line) =>
      row
        .map((one) => (one.lines[line] ?? '').padEnd(one.width))
        .join(' '.repeat(gap))
        .trimEnd(),
    ),
  ]);
}
