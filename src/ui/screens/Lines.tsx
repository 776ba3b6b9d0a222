import { Text } from 'ink';
import { type ReactNode, useContext, useLayoutEffect } from 'react';
import { CanvasContext, canvasMark } from '../canvas.js';
import { fitLine, type Line } from '../draw/line.js';
import { paint } from '../draw/paint.js';
import type { Model } from '../state/model.js';

/**
 * Lines as one flat text: cheap for Ink, which lays nothing out, and cheapest where there is a canvas. Every line is made
 * as wide as the screen, because Ink cuts a text as a whole when one of its lines is too wide.
 */
export function Lines({
  lines,
  model,
}: {
  readonly lines: readonly Line[];
  readonly model: Model;
}): ReactNode {
  const { columns, rows } = model.size;
  const canvas = useContext(CanvasContext);
  const shown = lines.slice(0, rows - 1).map((line) => paint(fitLine(line, columns), model.look));
  // Before Ink's frame, which is written as soon as this is committed; anything that Ink does not write, the effect writes.
  canvas?.put(shown);
  useLayoutEffect(() => canvas?.flush());
  return <Text wrap="truncate">{canvas ? canvasMark : shown.join('\n')}</Text>;
}
