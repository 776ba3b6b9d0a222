import { type Verdict, whatAndTodo } from './verdict.js';

/** A folder of the program's own. */
export interface FoundFolder {
  readonly path: string;
  readonly isThere: boolean;
  /** Why nothing can be written there; `null` where something can, or where it can be made. */
  readonly unwritable: string | null;
  /** Bytes that are free; `null` where the system does not tell. */
  readonly free: number | null;
}

/** The settings' file, with a sentence for each fault, places included. */
export interface FoundSettings {
  readonly file: string;
  readonly isThere: boolean;
  readonly faults: readonly string[];
}

/** The charts of the player's own and the demo ones. */
export interface FoundCharts {
  /** How many were looked at, and how many more there was no time for. */
  readonly looked: number;
  readonly more: number;
  /** Those that cannot be read: the file, and its first fault with its place. */
  readonly unreadable: readonly { readonly file: string; readonly fault: string }[];
}

/** Less room than this on a disk is too little, bytes. */
const leastRoom = 16 << 20;

const uses = {
  'config-folder': 'settings',
  'data-folder': 'your charts',
  'state-folder': 'the diary, and what was chosen last',
} as const;

/** A folder: whether it is there or can be made, can be written, and its disk has room. */
export function judgeFolder(name: keyof typeof uses, folder: FoundFolder): Verdict {
  const { path, isThere, unwritable, free } = folder;
  const base = { name, needed: 'machine', found: { ...folder } } as const;
  if (unwritable !== null)
    return {
      ...base,
      state: 'fails',
      says: `nothing can be kept in ${path} (${uses[name]}): ${unwritable}`,
      todo: `make sure that you can write there, or set ${variables[name]} to a folder where you can`,
    };
  if (free !== null && free < leastRoom)
    return {
      ...base,
      state: 'fails',
      says: `the disk of ${path} has only ${roomText(free)} left`,
      todo: 'make room on it',
    };
  const room = free === null ? '' : `, ${roomText(free)} free`;
  const there = isThere ? 'can be written' : 'is not there yet, and is made when it is needed';
  return { ...base, state: 'works', says: `${path} ${there}${room}`, todo: null };
}

const variables = {
  'config-folder': 'XDG_CONFIG_HOME',
  'data-folder': 'XDG_DATA_HOME',
  'state-folder': 'XDG_STATE_HOME',
} as const;

/** The settings: what is at fault in them is passed over when playing, and told here. */
export function judgeSettings({ file, isThere, faults }: FoundSettings): Verdict {
  const base = { name: 'settings', needed: 'input', found: { file, isThere, faults } } as const;
  const [first] = faults;
  if (first !== undefined)
    return {
      ...base,
      state: 'fails',
      says: `${withoutAdvice(first)}${faults.length === 1 ? '' : `, and ${faults.length - 1} more`}`,
      todo: `${whatAndTodo(first).todo ?? 'mend it'}; until then the other settings apply`,
    };
  return {
    ...base,
    state: 'works',
    says: isThere ? `${file} has no fault` : `there is no ${file}, so the defaults apply`,
    todo: null,
  };
}

/** The charts: those that cannot be read. */
export function judgeCharts({ looked, more, unreadable }: FoundCharts): Verdict {
  const base = { name: 'charts', needed: 'input', found: { looked, more, unreadable } } as const;
  const [first] = unreadable;
  const rest = more === 0 ? '' : `, and there was no time for ${more} more`;
  if (first)
    return {
      ...base,
      state: 'fails',
      says: `${unreadable.length} of ${looked} cannot be read${rest}; the first: ${withoutAdvice(first.fault)}`,
      todo: `barkline check “${first.file}” reports every mistake with its place`,
    };
  return {
    ...base,
    state: 'works',
    says: `all ${looked} that were looked at can be read${rest}`,
    todo: null,
  };
}

function withoutAdvice(sentence: string): string {
  return whatAndTodo(sentence).says;
}

function roomText(bytes: number): string {
  const megabytes = bytes / (1 << 20);
  return megabytes < 1024 ? `${Math.floor(megabytes)} MB` : `${Math.floor(megabytes / 1024)} GB`;
}
