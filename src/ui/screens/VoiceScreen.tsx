import type { ReactNode } from 'react';
import { voiceLines } from '../draw/voices.js';
import type { Model } from '../state/model.js';
import type { OverlayOf } from '../state/overlays.js';
import { Lines } from './Lines.js';

/** Which voices sound, and how loud. */
export function VoiceScreen({
  model,
  overlay: { chosen },
}: {
  readonly model: Model;
  readonly overlay: OverlayOf<'voices'>;
}): ReactNode {
  const { performance } = model.session;
  if (!performance) return null;
  return <Lines lines={voiceLines(performance.setup, chosen, model.look.unicode)} model={model} />;
}
