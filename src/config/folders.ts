import { fileURLToPath } from 'node:url';
import envPaths from 'env-paths';

const paths = envPaths('barkline', { suffix: '' });

/** Where things are kept, by the habits of the system (on Linux the XDG base directories). */
export const folders = {
  /** The user's settings. */
  config: paths.config,
  /** The user's own charts, sets and instruments. */
  charts: `${paths.data}/charts`,
  /** The user's own right-hand patterns. */
  patterns: `${paths.data}/patterns`,
  /** What the program remembers by itself. On Linux this is the state folder. */
  state: paths.log,
  /** The charts that come with the program. */
  demo: fileURLToPath(new URL('../../charts', import.meta.url)),
} as const;
