import type { ReactNode } from 'react';
import { ModeScreen } from './ModeScreen.js';
import { BandScreen } from './screens/BandScreen.js';
import { ClickScreen } from './screens/ClickScreen.js';
import { DrillScreen } from './screens/DrillScreen.js';
import { HelpScreen } from './screens/HelpScreen.js';
import { KeyScreen } from './screens/KeyScreen.js';
import { OrderScreen } from './screens/OrderScreen.js';
import { OutputScreen } from './screens/OutputScreen.js';
import { PatternScreen } from './screens/PatternScreen.js';
import { PedalScreen } from './screens/PedalScreen.js';
import { ShapeScreen } from './screens/ShapeScreen.js';
import { TuningScreen } from './screens/TuningScreen.js';
import { VoiceScreen } from './screens/VoiceScreen.js';
import type { Message } from './state/messages.js';
import type { Model } from './state/model.js';

interface OverlayProps {
  readonly model: Model;
  readonly dispatch: (message: Message) => void;
  readonly now: () => number;
}

/** What is in front, or else what the player is doing. */
export function OverlayScreen({ model, dispatch, now }: OverlayProps): ReactNode {
  const { overlay } = model;
  switch (overlay?.kind) {
    case 'help':
      return <HelpScreen model={model} overlay={overlay} />;
    case 'keys':
      return <KeyScreen model={model} dispatch={dispatch} />;
    case 'outputs':
      return <OutputScreen model={model} overlay={overlay} dispatch={dispatch} />;
    case 'voices':
      return <VoiceScreen model={model} overlay={overlay} />;
    case 'click':
      return <ClickScreen model={model} dispatch={dispatch} now={now} />;
    case 'patterns':
      return <PatternScreen model={model} dispatch={dispatch} />;
    case 'shapes':
      return <ShapeScreen model={model} overlay={overlay} dispatch={dispatch} />;
    case 'drills':
      return <DrillScreen model={model} overlay={overlay} dispatch={dispatch} />;
    case 'order':
    case 'requests':
      return <OrderScreen model={model} overlay={overlay} />;
    case 'pedals':
      return <PedalScreen model={model} dispatch={dispatch} />;
    case 'band':
      return <BandScreen model={model} overlay={overlay} />;
    case 'tuning':
      return <TuningScreen model={model} overlay={overlay} />;
    // A line is typed within the screen behind it.
    case 'line':
      return overlay.behind ? (
        <OrderScreen model={model} overlay={overlay.behind} />
      ) : (
        <ModeScreen model={model} />
      );
    case undefined:
      return <ModeScreen model={model} />;
  }
}
