import type { ReactNode } from 'react';
import { helpLines } from '../draw/help.js';
import type { HelpGroup } from '../keys/key-line.js';
import type { Model } from '../state/model.js';
import type { Mode } from '../state/modes.js';
import type { OverlayOf } from '../state/overlays.js';
import { Lines } from './Lines.js';

/** Every key there is. */
export function HelpScreen({
  model,
  overlay: { page },
}: {
  readonly model: Model;
  readonly overlay: OverlayOf<'help'>;
}): ReactNode {
  const { bindings, look, mode, size } = model;
  const lines = helpLines(bindings, size.columns, size.rows - 1, look.unicode, page, firstGroup(mode));
  return <Lines lines={lines} model={model} />;
}

/** The keys that come first: in a set those of where the player is. */
function firstGroup(mode: Mode): HelpGroup | null {
  if (mode.kind !== 'set') return null;
  return mode.run.phase === 'song' ? 'a set, in a song' : 'a set, between songs';
}
