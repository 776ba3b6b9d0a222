import type { ReactNode } from 'react';
import { helpLines } from '../draw/help.js';
import type { Model } from '../model.js';
import { Lines } from './Lines.js';

/** Every key there is. */
export function HelpScreen({ model }: { readonly model: Model }): ReactNode {
  const { columns, rows } = model.size;
  const { bindings, look, highlight, set } = model;
  const first = set ? (set.run.phase === 'song' ? 'a set, in a song' : 'a set, between songs') : null;
  return (
    <Lines lines={helpLines(bindings, columns, rows - 1, look.unicode, highlight, first)} model={model} />
  );
}
