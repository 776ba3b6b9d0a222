import { Text } from 'ink';
import type { ReactNode } from 'react';
import type { Line } from '../draw/line.js';
import { type Look, paint } from '../theme.js';

/** Lines as one flat text: cheap for Ink, which lays nothing out. */
export function Lines({ lines, look }: { readonly lines: readonly Line[]; readonly look: Look }): ReactNode {
  return <Text wrap="truncate">{lines.map((line) => paint(line, look)).join('\n')}</Text>;
}
