import type { ReactNode } from 'react';
import { voiceLines } from '../draw/voices.js';
import type { Model } from '../model.js';
import { Lines } from './Lines.js';

/** Which voices sound, and how loud. */
export function VoiceScreen({ model }: { readonly model: Model }): ReactNode {
  const { stand } = model;
  if (!stand) return null;
  return <Lines lines={voiceLines(stand.mix, model.voice, model.look.unicode)} model={model} />;
}
