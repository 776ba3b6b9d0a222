import { Text } from 'ink';
import type { ReactNode } from 'react';
import { libraryLines } from '../draw/library.js';
import type { Model } from '../state/model.js';
import { Lines } from './Lines.js';

/** The list of charts and sets. */
export function LibraryScreen({ model }: { readonly model: Model }): ReactNode {
  const { library } = model;
  if (!library) return <Text> looking for charts</Text>;
  return <Lines lines={libraryLines(model, library)} model={model} />;
}
