import { Box, Text, useInput, useStdout } from 'ink';
import { type ReactNode, useContext, useEffect, useSyncExternalStore } from 'react';
import { ListeningContext } from './canvas.js';
import { leastSize } from './draw/stand.js';
import { actionFor, isTyped } from './keys/bindings.js';
import { footKeys, pressedKey } from './keys/names.js';
import { placeOf } from './keys/place.js';
import { OverlayScreen } from './OverlayScreen.js';
import type { Runtime } from './runtime.js';
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
  return <OverlayScreen model={model} dispatch={runtime.dispatch} now={now} />;
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
