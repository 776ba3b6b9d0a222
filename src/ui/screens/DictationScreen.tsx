import type { ReactNode } from 'react';
import { dictationLines } from '../draw/dictation.js';
import type { Model } from '../state/model.js';
import { Lines } from './Lines.js';

/** Changes named by ear: the stand, its chart and its hand would give them away. */
export function DictationScreen({ model }: { readonly model: Model }): ReactNode {
  return <Lines lines={dictationLines(model)} model={model} />;
}
