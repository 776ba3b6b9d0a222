import { homedir, userInfo } from 'node:os';
import { isAbsolute, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import envPaths from 'env-paths';

/** Where the program's own folders are, and what in the environment about them is passed over. */
export interface Places {
  readonly config: string;
  readonly data: string;
  readonly state: string;
  readonly remarks: readonly string[];
}

/** Below it nothing can be, so that nothing is read there and nothing can be written. */
const nowhere = '/dev/null/no home folder';

/**
 * The XDG base directories. As their specification says, a path that is not absolute is invalid and ignored; an empty HOME
 * is not a home.
 *
 * @param home the home folder by the system's own records; asked for only where HOME says nothing usable
 */
export function xdgPlaces(
  name: string,
  env: Readonly<Record<string, string | undefined>>,
  home: () => string,
): Places {
  const remarks: string[] = [];
  const own = env.HOME !== undefined && isAbsolute(env.HOME) ? env.HOME : home();
  const place = (variable: string, usual: readonly string[]): string => {
    const given = env[variable];
    if (given && isAbsolute(given)) return join(given, name);
    if (given) remarks.push(`${variable} is not an absolute path; it is ignored`);
    return isAbsolute(own) ? join(own, ...usual, name) : join(nowhere, name);
  };
  const config = place('XDG_CONFIG_HOME', ['.config']);
  const data = place('XDG_DATA_HOME', ['.local', 'share']);
  const state = place('XDG_STATE_HOME', ['.local', 'state']);
  if ([config, data, state].some((path) => path.startsWith(nowhere)))
    remarks.push('there is no home folder, so nothing can be saved: set HOME to an absolute path');
  return { config, data, state, remarks };
}

function recordedHome(): string {
  try {
    return userInfo().homedir;
  } catch {
    // A user whom the system does not know.
    return '';
  }
}

function places(): Places {
  if (process.platform !== 'win32' && process.platform !== 'darwin')
    return xdgPlaces('barkline', process.env, recordedHome);
  if (!isAbsolute(homedir())) return xdgPlaces('barkline', {}, recordedHome);
  const { config, data, log } = envPaths('barkline', { suffix: '' });
  return { config, data, state: log, remarks: [] };
}

const found = places();

/** What is said about where things are kept, a sentence each; mostly nothing. */
export const folderRemarks = found.remarks;

/** Where things are kept, by the habits of the system (on Linux the XDG base directories). */
export const folders = {
  /** The user's settings. */
  config: found.config,
  /** The user's own charts, sets and instruments. */
  charts: join(found.data, 'charts'),
  /** The user's own right-hand patterns. */
  patterns: join(found.data, 'patterns'),
  /** What the program remembers by itself. */
  state: found.state,
  /** The charts that come with the program. */
  demo: fileURLToPath(new URL('../../charts', import.meta.url)),
} as const;
