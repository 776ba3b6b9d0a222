import { createInterface } from 'node:readline/promises';
import { appendLine, diaryPath } from '../config/diary-file.js';
import { mandolin } from '../hand/instrument.js';
import { neckSight } from '../hand/neck-sight.js';
import { diaryLine } from '../shed/diary.js';
import { question } from '../shed/numbers.js';
import { seeded } from '../shed/seeded.js';
import { exit, print, say } from './exit.js';
import { ask } from './print.js';
import { settingsOf } from './settings.js';
import { whoFlag } from './shed-common.js';

/** The options of `shed numbers`. */
export interface NumbersFlags {
  readonly count?: number;
  readonly seed?: number;
  readonly who?: string;
}

/** Quick questions without the instrument, answered by typing; each is timed and kept. An empty answer ends it. */
export async function shedNumbers(flags: NumbersFlags): Promise<number> {
  const { count = 12, seed = Date.now() } = flags;
  const who = whoFlag(flags.who);
  const path = diaryPath(who);
  const settings = settingsOf(who);
  const sight = neckSight(settings.neck, settings.hand);
  const random = seeded(seed);
  const input = createInterface({ input: process.stdin, output: process.stderr });
  const lines = input[Symbol.asyncIterator]();
  const times: number[] = [];
  let asked = 0;
  let right = 0;
  try {
    for (; asked < count; asked += 1) {
      const one = question(mandolin, random, sight);
      ask(`${asked + 1}. ${one.asks}`);
      const began = performance.now();
      const line = await lines.next();
      if (line.done || line.value.trim() === '') break;
      const ms = Math.round(performance.now() - began);
      const good = one.isRight(line.value);
      if (good) right += 1;
      times.push(ms);
      print(good ? `   right, ${(ms / 1000).toFixed(1)} s` : `   no: ${one.right}`);
      const failed = appendLine(
        path,
        diaryLine({
          at: Date.now(),
          what: 'numbers',
          drill: null,
          title: one.asks,
          file: null,
          changes: [],
          key: '',
          bpm: 0,
          target: 0,
          pattern: null,
          result: good ? 'clean' : 'miss',
          ms,
        }),
      );
      if (failed) say(failed);
    }
  } finally {
    input.close();
  }
  const middle = [...times].sort((one, other) => one - other)[Math.floor(times.length / 2)];
  print(
    `${right} of ${times.length} right${middle === undefined ? '' : `, median ${(middle / 1000).toFixed(1)} s`}`,
  );
  return exit.done;
}
