import { afterAll, beforeAll } from 'vitest';
import { type Arrival, cleanEnv, demo, freshFolder, PipeReader, program } from '../e2e/harness.js';

/** What the tests of a file play into a pipe: what is called, in which environment, and what came in. */
export interface IntoPipe {
  /** The program and its words: a demo chart without a count-in, into the pipe. */
  readonly play: (chart: string, ...words: readonly string[]) => readonly [file: string, ...words: string[]];
  /** Variables of a folder of its own, with more of them; `mark` tells the processes that have it from all others. */
  readonly env: (mark: string, more?: Readonly<Record<string, string>>) => NodeJS.ProcessEnv;
  /** What arrives from now on. */
  readonly fromNow: () => () => readonly Arrival[];
}

/** Makes a folder and a pipe that is read, for all tests of a file; both are removed afterwards. */
export function intoPipe(): IntoPipe {
  const folder = freshFolder();
  let reader: PipeReader;
  beforeAll(() => {
    reader = new PipeReader(folder.path);
  });
  afterAll(() => {
    reader.close();
    folder.remove();
  });
  return {
    play: (chart, ...words) => [
      process.execPath,
      ...[program, 'play', demo(chart), '--count-in', '0', '--out', `raw:${reader.path}`, ...words],
    ],
    env: (mark, more = {}) => cleanEnv(folder.path, { BARKLINE_TEST: mark, ...more }),
    fromNow: () => {
      const before = reader.arrivals().length;
      return () => reader.arrivals().slice(before);
    },
  };
}
