import { spawnSync } from 'node:child_process';

/** How long each step of putting a terminal back may take, ms: one that does not read would never let go. */
const stepMs = 500;

/**
 * Puts a terminal back as its owner left it: `screen` is written to it, `modes` are stty's words. Each is done by a process of
 * its own, which can be ended when the terminal takes nothing more; what cannot be done is left.
 */
export function restoreTerminal(
  descriptor: number,
  { modes, screen }: { readonly modes: string; readonly screen: string },
): void {
  const bounds = { timeout: stepMs, killSignal: 'SIGKILL' } as const;
  spawnSync('cat', [], { input: screen, stdio: ['pipe', descriptor, 'ignore'], ...bounds });
  if (modes === '') return;
  const stty = (...words: string[]): boolean =>
    spawnSync('stty', words, { stdio: [descriptor, 'ignore', 'ignore'], ...bounds }).status === 0;
  // Without waiting for what was written, where stty can be told so.
  if (!stty('-drain', modes)) stty(modes);
}
