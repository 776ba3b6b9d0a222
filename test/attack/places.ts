import { execFileSync, type SpawnSyncReturns, spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { cleanEnv, freshFolder, program } from '../e2e/harness.js';

/** Root can mount a small disk, and must become somebody else to be refused anything. */
export const isRoot = process.getuid?.() === 0;

/** A small disk that can be filled up and emptied again. */
export interface SmallDisk {
  readonly path: string;
  readonly fill: () => void;
  readonly empty: () => void;
  readonly remove: () => void;
}

/** A disk in memory of 256 KiB; `null` where none can be mounted. */
export function smallDisk(): SmallDisk | null {
  const folder = freshFolder();
  const path = join(folder.path, 'disk');
  mkdirSync(path);
  if (spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=256k', 'tmpfs', path]).status !== 0) {
    folder.remove();
    return null;
  }
  const ballast = join(path, 'ballast');
  return {
    path,
    fill: () => {
      try {
        writeFileSync(ballast, Buffer.alloc(1 << 20));
      } catch {
        // As much of it as there was room for.
      }
    },
    empty: () => rmSync(ballast, { force: true }),
    remove: () => {
      execFileSync('umount', ['-l', path]);
      folder.remove();
    },
  };
}

/** The program run with words until it ends, at most so long; its home is a folder. `status` is `null` when it did not end. */
export function ran(
  home: string,
  words: readonly string[],
  { input = '', cwd, env = {}, before = [], ms = 40_000 }: RunOptions = {},
): SpawnSyncReturns<string> {
  const [command = '', ...rest] = [...before, process.execPath, program, ...words];
  return spawnSync(command, rest, {
    env: { ...cleanEnv(home), ...env },
    encoding: 'utf8',
    timeout: ms,
    killSignal: 'SIGKILL',
    input,
    ...(cwd === undefined ? {} : { cwd }),
  });
}

interface RunOptions {
  readonly input?: string;
  readonly cwd?: string;
  readonly env?: Record<string, string>;
  /** Words before the program's own: what it is run by. */
  readonly before?: readonly string[];
  readonly ms?: number;
}

/** A chart of the plainest kind. */
export const plainChart = 'title: Plain\nkey: A\ntempo: 400\nsections:\n  V: |\n    1 4 5 1\n';
