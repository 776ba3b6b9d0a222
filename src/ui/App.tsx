import { Box, Text, useInput, useStdout } from 'ink';
import { type ReactNode, useEffect, useSyncExternalStore } from 'react';
import { leastSize } from './draw/stand.js';
import { actionFor, keyName, type Place } from './keymap.js';
import type { Model } from './model.js';
import type { Runtime } from './runtime.js';
import { ClickScreen } from './screens/ClickScreen.js';
import { HelpScreen } from './screens/HelpScreen.js';
import { KeyScreen } from './screens/KeyScreen.js';
import { LibraryScreen } from './screens/LibraryScreen.js';
import { OutputScreen } from './screens/OutputScreen.js';
import { PatternScreen } from './screens/PatternScreen.js';
import { StandScreen } from './screens/StandScreen.js';
import { VoiceScreen } from './screens/VoiceScreen.js';

/** The whole program on the screen: reads the model, sends what is pressed, decides nothing. */
export function App({ runtime, now }: { readonly runtime: Runtime; readonly now: () => number }): ReactNode {
  const model = useSyncExternalStore(runtime.subscribe, runtime.model);
  useSize(runtime);
  useInput((input, key) => {
    const action = actionFor(placeOf(model), keyName(input, key));
    if (action) runtime.dispatch({ kind: 'action', action, at: now() });
  });
  if (model.size.columns < leastSize.columns || model.size.rows < leastSize.rows)
    return <TooSmall model={model} />;
  return <Screen model={model} runtime={runtime} now={now} />;
}

function Screen({
  model,
  runtime,
  now,
}: {
  readonly model: Model;
  readonly runtime: Runtime;
  readonly now: () => number;
}): ReactNode {
  if (model.panel === 'help') return <HelpScreen model={model} />;
  if (model.panel === 'keys') return <KeyScreen model={model} dispatch={runtime.dispatch} />;
  if (model.panel === 'outputs') return <OutputScreen model={model} dispatch={runtime.dispatch} />;
  if (model.panel === 'voices') return <VoiceScreen model={model} />;
  if (model.panel === 'click') return <ClickScreen model={model} dispatch={runtime.dispatch} now={now} />;
  if (model.panel === 'patterns') return <PatternScreen model={model} dispatch={runtime.dispatch} />;
  if (model.screen === 'stand') return <StandScreen model={model} />;
  return <LibraryScreen model={model} dispatch={runtime.dispatch} />;
}

/** Where a key is pressed. */
export function placeOf(model: Model): Place {
  if (model.panel === 'voices') return 'voices';
  return model.panel !== null ? 'panel' : model.screen;
}

function TooSmall({ model }: { readonly model: Model }): ReactNode {
  const { columns, rows } = model.size;
  return (
    <Box flexDirection="column" width={columns} height={Math.max(1, rows - 1)}>
      <Text wrap="truncate">{`needs ${leastSize.columns}x${leastSize.rows}, has ${columns}x${rows}`}</Text>
    </Box>
  );
}

function useSize(runtime: Runtime): void {
  const { stdout } = useStdout();
  useEffect(() => {
    const resized = (): void =>
      runtime.dispatch({ kind: 'resized', columns: stdout.columns || 80, rows: stdout.rows || 24 });
    stdout.on('resize', resized);
    return () => {
      stdout.off('resize', resized);
    };
  }, [runtime, stdout]);
}
