/** The screen's own modules, once they are being loaded. */
let loading: Promise<typeof import('../ui/open.js')> | null = null;

/**
 * Why there can be no full screen, in words; `null` where there can. Without a name in TERM nothing is known of the
 * terminal, and `dumb` says that it obeys no codes.
 */
export function screenLack(env: NodeJS.ProcessEnv = process.env): string | null {
  if (!process.stdout.isTTY || !process.stdin.isTTY) return 'this is not a terminal';
  const name = env.TERM ?? '';
  if (name === 'dumb') return 'TERM is “dumb”: this terminal has no full screen';
  return name === '' && process.platform !== 'win32'
    ? 'TERM is not set, so it is not known whether this terminal has a full screen'
    : null;
}

/**
 * Loads what the screen is made of: most of what a start takes, so it begins as soon as it is known that there will be a
 * screen, while everything else is made ready.
 */
export function loadScreen(): Promise<typeof import('../ui/open.js')> {
  if (loading) return loading;
  // React and Ink read both when they are first imported: one for speed, the other because with CI set Ink draws nothing.
  process.env.NODE_ENV = 'production';
  for (const name of Object.keys(process.env)) {
    if (name === 'CI' || name === 'CONTINUOUS_INTEGRATION' || name.startsWith('CI_'))
      delete process.env[name];
  }
  loading = import('../ui/open.js');
  return loading;
}
