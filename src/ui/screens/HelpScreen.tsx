import type { ReactNode } from 'react';
import { helpScreen } from '../draw/help.js';
import type { HelpGroup } from '../keys/key-line.js';
import { placeOf } from '../keys/place.js';
import type { Model } from '../state/model.js';
import type { OverlayOf } from '../state/overlays.js';
import { Lines } from './Lines.js';

/** The keys of the current place, and after them all keys. */
export function HelpScreen({
  model,
  overlay: { page },
}: {
  readonly model: Model;
  readonly overlay: OverlayOf<'help'>;
}): ReactNode {
  const { bindings, look, size } = model;
  const place = placeOf({ mode: model.mode, overlay: null });
  const lines = helpScreen(
    { bindings, unicode: look.unicode, page },
    { columns: size.columns, height: size.rows - 1 },
    { place, group: firstGroup(model) },
  );
  return <Lines lines={lines} model={model} />;
}

/** The keys that come first: in a set those of where the player is, and those of what is named by ear. */
function firstGroup({ mode }: Pick<Model, 'mode'>): HelpGroup | null {
  if (placeOf({ mode, overlay: null }) === 'dictation') return 'by ear';
  if (mode.kind !== 'set') return null;
  return mode.run.phase === 'song' ? 'a set, in a song' : 'a set, between songs';
}
