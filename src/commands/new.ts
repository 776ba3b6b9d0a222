import { existsSync } from 'node:fs';
import { createInterface } from 'node:readline/promises';
import { fileNameOf } from '../base/file-name.js';
import { jsonText } from '../base/json.js';
import type { Outcome } from '../base/outcome.js';
import { safeText } from '../base/safe-text.js';
import { parseMeter, parseTempo } from '../chart/change.js';
import { writeOut } from '../config/write-out.js';
import { parseKey } from '../theory/key.js';
import { exit, print, Stop, say, unwrittenStatus } from './exit.js';
import { ask } from './print.js';

/** Asks title, key, tempo and meter, and writes a chart to start from. Questions go to stderr. */
export async function newChart(file: string | undefined): Promise<number> {
  if (file !== undefined && existsSync(file))
    throw new Stop(
      exit.call,
      `${safeText(file)} already exists`,
      'choose another file name, or edit that file',
    );
  const answers = await askAll();
  if (answers === null)
    throw new Stop(
      exit.call,
      'not all questions were answered',
      'answer with title, key, tempo and meter, one on each line',
    );
  const target = file ?? `${fileNameOf(answers.title)}.yaml`;
  if (existsSync(target))
    throw new Stop(exit.call, `${safeText(target)} already exists`, 'name another file: barkline new FILE');
  const refusal = writeOut(target, skeleton(answers), false);
  if (refusal)
    throw new Stop(
      unwrittenStatus(refusal.blame),
      safeText(refusal.reason),
      'name another file: barkline new FILE',
    );
  print(target);
  return exit.done;
}

interface Answers {
  readonly title: string;
  readonly key: string;
  readonly tempo: string;
  readonly meter: string;
}

type Question = readonly [
  name: keyof Answers,
  asks: string,
  instead: string,
  parse: (text: string) => Outcome<unknown>,
];

const anyTitle = (text: string): Outcome<unknown> =>
  text === '' ? { ok: false, fault: { at: 0, message: 'a chart needs a title' } } : { ok: true, value: text };

const questions: readonly Question[] = [
  ['title', 'title', '', anyTitle],
  ['key', 'key (A, Bb, F#m)', '', parseKey],
  ['tempo', 'tempo (quarters a minute, or half=118)', '160', parseTempo],
  ['meter', 'meter', '4/4', parseMeter],
];

/** Asks until each answer can be read; `null` when the input ends before. */
async function askAll(): Promise<Answers | null> {
  const input = createInterface({ input: process.stdin, output: process.stderr });
  const lines = input[Symbol.asyncIterator]();
  const answers: Partial<Record<keyof Answers, string>> = {};
  try {
    for (const [name, asks, instead, parse] of questions) {
      for (;;) {
        ask(`${asks}${instead === '' ? '' : ` [${instead}]`}:`);
        const line = await lines.next();
        if (line.done) return null;
        const answer = line.value.trim() || instead;
        const outcome = parse(answer);
        if (outcome.ok) {
          answers[name] = answer;
          break;
        }
        say(outcome.fault.message);
      }
    }
  } finally {
    input.close();
  }
  return answers as Answers;
}

function skeleton({ title, key, tempo, meter }: Answers): string {
  return `title: ${jsonText(title)}
key: ${key}
tempo: ${tempo}
meter: ${meter}
form: V, C, V, C
sections:
  V: |
    1 1 4 1   ; one number a bar, a line a phrase
    1 1 5 1
  C: |
    4 4 1 1
    1 5 1 1
`;
}
