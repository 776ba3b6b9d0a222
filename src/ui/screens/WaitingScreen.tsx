import type { ReactNode } from 'react';
import { nextSongLines } from '../draw/band/next-song.js';
import { waitingLines } from '../draw/band/waiting.js';
import type { Model } from '../state/model.js';
import { Lines } from './Lines.js';

/** A stand that follows while nothing is played: before the first song, and between two of a set with the card of the next one. */
export function WaitingScreen({ model }: { readonly model: Model }): ReactNode {
  const lines = model.session.performance ? nextSongLines(model) : waitingLines(model);
  return <Lines lines={lines} model={model} />;
}
