import { Text } from 'ink';
import type { ReactNode } from 'react';
import { fitLine, type Line } from '../draw/line.js';
import type { Model } from '../model.js';
import { paint } from '../theme.js';

/**
 * Lines as one flat text: cheap for Ink, which lays nothing out. Every line is made as wide as the screen,
 * because Ink cuts a text as a whole when one of its lines is too wide.
 */
export function Lines({
  lines,
  model,
}: {
  readonly lines: readonly Line[];
  readonly model: Model;
}): ReactNode {
  const { columns, rows } = model.size;
  const shown = lines.slice(0, rows - 1).map((line) => paint(fitLine(line, columns), model.look));
  return <Text wrap="truncate">{shown.join('\n')}</Text>;
}
