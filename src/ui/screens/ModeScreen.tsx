import type { ReactNode } from 'react';
import type { Model } from '../state/model.js';
import { CardScreen } from './CardScreen.js';
import { LibraryScreen } from './LibraryScreen.js';
import { SittingScreen } from './SittingScreen.js';
import { StandScreen } from './StandScreen.js';

/** What the player is doing: a mode that is added has its screen here. */
export function ModeScreen({ model }: { readonly model: Model }): ReactNode {
  const { mode } = model;
  switch (mode.kind) {
    case 'library':
      return <LibraryScreen model={model} />;
    case 'chart':
    case 'drill':
    case 'transcribe':
      return <StandScreen model={model} />;
    case 'sitting':
      return mode.phase === 'playing' ? (
        <StandScreen model={model} />
      ) : (
        <SittingScreen model={model} sitting={mode} />
      );
    case 'set':
      return mode.run.phase === 'song' ? (
        <StandScreen model={model} />
      ) : (
        <CardScreen model={model} set={mode} />
      );
  }
}
