import { Box, Text, useInput, useStdout } from 'ink';
import { type ReactNode, useContext, useEffect, useSyncExternalStore } from 'react';
import { ListeningContext } from './canvas.js';
import { leastSize } from './draw/stand.js';
import { actionFor, footKeys, isTyped, keyName } from './keymap.js';
import type { Model } from './model.js';
import { placeOf } from './place.js';
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
    const name = keyName(input, key);
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

function Screen({ model, runtime, now }: AppProps & { readonly model: Model }): ReactNode {
  const { dispatch } = runtime;
  switch (model.panel) {
    case 'help':
      return <HelpScreen model={model} />;
    case 'keys':
      return <KeyScreen model={model} dispatch={dispatch} />;
    case 'outputs':
      return <OutputScreen model={model} dispatch={dispatch} />;
    case 'voices':
      return <VoiceScreen model={model} />;
    case 'click':
      return <ClickScreen model={model} dispatch={dispatch} now={now} />;
    case 'patterns':
      return <PatternScreen model={model} dispatch={dispatch} />;
    case 'shapes':
      return <ShapeScreen model={model} dispatch={dispatch} />;
    case 'drills':
      return <DrillScreen model={model} dispatch={dispatch} />;
    case 'order':
    case 'requests':
      return <OrderScreen model={model} />;
    case 'pedals':
      return <PedalScreen model={model} dispatch={dispatch} />;
    case null:
      if (model.sitting && model.sitting.phase !== 'playing')
        return <SittingScreen model={model} sitting={model.sitting} />;
      if (model.set && model.set.run.phase !== 'song') return <CardScreen model={model} set={model.set} />;
      return model.screen === 'stand' ? <StandScreen model={model} /> : <LibraryScreen model={model} />;
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
