import { Box, Text, useInput, useStdout } from 'ink';
import { type ReactNode, useContext, useEffect, useSyncExternalStore } from 'react';
import { ListeningContext } from './canvas.js';
import { leastSize } from './draw/stand.js';
import { actionFor, isTyped } from './keys/bindings.js';
import { footKeys, pressedKey } from './keys/names.js';
import { placeOf } from './keys/place.js';
import type { Runtime } from './runtime.js';
import { CardScreen } from './screens/CardScreen.js';
import { ClickScreen } from './screens/ClickScreen.js';
import { DrillScreen } from './screens/DrillScreen.js';
import { HelpScreen } from './screens/HelpScreen.js';
import { KeyScreen } from './screens/KeyScreen.js';
import { LibraryScreen } from './screens/LibraryScreen.js';
import { OrderScreen } from './screens/OrderScreen.js';
import { OutputScreen } from './screens/OutputScreen.js';
import { PatternScreen } from './screens/PatternScreen.js';
import { PedalScreen } from './screens/PedalScreen.js';
import { ShapeScreen } from './screens/ShapeScreen.js';
import { SittingScreen } from './screens/SittingScreen.js';
import { StandScreen } from './screens/StandScreen.js';
import { VoiceScreen } from './screens/VoiceScreen.js';
import type { Model } from './state/model.js';

interface AppProps {
  readonly runtime: Runtime;
  readonly now: () => number;
}

/** The whole program on the screen: reads the model, sends what is pressed, decides nothing. */
export function App({ runtime, now }: AppProps): ReactNode {
  const model = useSyncExternalStore(runtime.subscribe, runtime.model);
  useSize(runtime);
  const listening = useContext(ListeningContext);
  // The last effect of a frame: everything within it listens by now.
  useEffect(listening);
  useInput((input, key) => {
    const place = placeOf(model);
    const name = pressedKey(input, key);
    const action = actionFor(place, name, model.bindings);
    if (action)
      runtime.dispatch({
        kind: 'action',
        action,
        at: now(),
        ...(footKeys.includes(name) ? { foot: name } : {}),
      });
    else if (!key.ctrl && !key.meta && isTyped(place, input))
      runtime.dispatch({ kind: 'typed', text: input });
  });
  if (model.size.columns < leastSize.columns || model.size.rows < leastSize.rows)
    return <TooSmall model={model} />;
  return <Screen model={model} runtime={runtime} now={now} />;
}

/** What stands in front, or else what the player is doing. */
function Screen({ model, runtime, now }: AppProps & { readonly model: Model }): ReactNode {
  const { dispatch } = runtime;
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

function ModeScreen({ model }: { readonly model: Model }): ReactNode {
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

function TooSmall({ model }: { readonly model: Model }): ReactNode {
  const { columns, rows } = model.size;
  return (
    <Box flexDirection="column" width={columns} height={Math.max(1, rows - 1)}>
      <Text>{`needs ${leastSize.columns}x${leastSize.rows}, has ${columns}x${rows}`}</Text>
    </Box>
  );
}

function useSize(runtime: Runtime): void {
  const { stdout } = useStdout();
  useEffect(() => {
    const resized = (): void =>
      runtime.dispatch({ kind: 'resized', columns: stdout.columns, rows: stdout.rows });
    stdout.on('resize', resized);
    return () => {
      stdout.off('resize', resized);
    };
  }, [runtime, stdout]);
}
