import type { ReactNode } from 'react';
import { helpLines } from '../draw/help.js';
import type { Model } from '../model.js';
import { Lines } from './Lines.js';

/** Every key there is. */
export function HelpScreen({ model }: { readonly model: Model }): ReactNode {
  const { columns, rows } = model.size;
  return (
    <Lines
      lines={helpLines(model.bindings, columns, rows - 1, model.look.unicode, model.highlight)}
      model={model}
    />
  );
}
