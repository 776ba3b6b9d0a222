import type { ReactNode } from 'react';
import { isBetweenSongs } from './draw/band/next-song.js';
import { BareClickScreen } from './screens/BareClickScreen.js';
import { CardScreen } from './screens/CardScreen.js';
import { DictationScreen } from './screens/DictationScreen.js';
import { LibraryScreen } from './screens/LibraryScreen.js';
import { SittingScreen } from './screens/SittingScreen.js';
import { StandScreen } from './screens/StandScreen.js';
import { WaitingScreen } from './screens/WaitingScreen.js';
import type { Model } from './state/model.js';
import { drillOf, isOnStand, standMode } from './state/select.js';

/** What the player is doing: a mode that is added has its screen here. */
export function ModeScreen({ model }: { readonly model: Model }): ReactNode {
  const { mode } = model;
  if (isNamed(model)) return <DictationScreen model={model} />;
  switch (mode.kind) {
    case 'library':
      return <LibraryScreen model={model} />;
    case 'chart':
    case 'drill':
    case 'transcribe':
      return <StandScreen model={model} />;
    case 'click':
      return <BareClickScreen model={model} />;
    case 'sitting':
      return mode.phase === 'playing' ? (
        <StandScreen model={model} />
      ) : (
        <SittingScreen model={model} sitting={mode} />
      );
    case 'follow':
      return model.session.performance && !isBetweenSongs(model) ? (
        <StandScreen model={model} />
      ) : (
        <WaitingScreen model={model} />
      );
    case 'set':
      return mode.run.phase === 'song' ? (
        <StandScreen model={model} />
      ) : (
        <CardScreen model={model} set={mode} />
      );
  }
}

/** Whether changes are named by ear in front of the player now: then nothing else may show the chart. */
function isNamed(model: Model): boolean {
  const mode = standMode(model);
  return mode !== null && isOnStand(mode) && (drillOf(mode)?.dictation ?? null) !== null;
}
