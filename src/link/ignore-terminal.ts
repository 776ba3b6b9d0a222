/**
 * Ignores what a terminal sends all processes of its foreground group: Ctrl-C, Ctrl-\, Ctrl-Z and a hang-up are the parent's to deal with. A process that does so must
 * end when its parent has gone.
 */
export function ignoreTerminal(): void {
  const signals = process.platform === 'win32' ? (['SIGINT'] as const) : terminalSignals;
  for (const signal of signals) process.on(signal, () => {});
}

const terminalSignals = ['SIGINT', 'SIGQUIT', 'SIGTSTP', 'SIGHUP'] as const;
