import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const source = fileURLToPath(new URL('../../src', import.meta.url));

/** Ways to write past the doors; a stream that is handed on (`createInterface`, `ScreenWriter`) is none. */
const writes =
  /process\.(?:stdout|stderr)\s*\.(?:write|end)\(|console\.|writeSync\(\s*[12]\b|writeFileSync\(\s*[12]\b/;

it('nothing but the printing and the screen’s keepers writes to stdout or stderr', () => {
  const writing = readdirSync(source, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .filter((name) => writes.test(readFileSync(join(source, name), 'utf8')));
  // A process of its own hands its parent what it found; the first module says in a text of our own which Node is needed, before it can
  // load anything.
  expect(writing.sort()).toEqual(['commands/completion/ports-process.ts', 'commands/print.ts', 'start.ts']);
});
