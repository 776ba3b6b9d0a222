import { withSigns } from '../../../theory/key.js';
import { type Line, padText, piece } from '../line.js';
import type { BassRun, RunNote } from './bass-run.js';

/** Columns of a note of a run. */
const noteColumns = 4;

/** The run into what comes, note by note: letters, numbers, and the beats they are struck on. */
export function runLines(run: BassRun | null, unicode: boolean): readonly Line[] {
  if (!run) return [[piece('run     none', 'dim')], [], []];
  const arrow = unicode ? '→ ' : '> ';
  const signs = (text: string): string => (unicode ? withSigns(text) : text);
  const row = (name: string, of: (note: RunNote) => string, style: 'chord' | 'number' | 'dim'): Line => [
    piece(padText(name, 8), 'dim'),
    ...run.notes.map((note) => piece(padText(signs(of(note)), noteColumns), run.isPlayed ? style : 'dim')),
    piece(arrow, 'dim'),
    piece(signs(of(run.landing)), run.isPlayed ? style : 'dim'),
  ];
  return [
    row(run.isPlayed ? 'run' : 'may run', ({ letter }) => letter, 'chord'),
    row('', ({ number }) => number, 'number'),
    row('beat', ({ beat }) => beat, 'dim'),
  ];
}
