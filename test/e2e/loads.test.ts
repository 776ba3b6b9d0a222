import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { cleanEnv, freshFolder } from './harness.js';

/*
 * Commands that print start soon because they load little: what is loaded is counted here, and nothing is timed.
 */

const root = fileURLToPath(new URL('../..', import.meta.url));
const chart = join(root, 'charts/weir-hands.yaml');

/** The files of the program, or of packages, that a call loads. */
function loaded(words: readonly string[]): readonly string[] {
  const { path: folder, remove } = freshFolder();
  const list = join(folder, 'loaded');
  const hook = join(folder, 'hook.mjs');
  writeFileSync(list, '');
  writeFileSync(
    hook,
    `import { register } from 'node:module';
register('data:text/javascript,' + encodeURIComponent(\`import { appendFileSync } from 'node:fs';
export async function load(url, context, next) {
  appendFileSync(${JSON.stringify(JSON.stringify(list)).slice(1, -1)}, url + '\\\\n');
  return next(url, context);
}\`));`,
  );
  execFileSync(process.execPath, ['--import', hook, join(root, 'dist/start.js'), ...words], {
    env: cleanEnv(folder),
    stdio: 'ignore',
  });
  const urls = readFileSync(list, 'utf8').split('\n');
  remove();
  return urls.filter((url) => url.startsWith('file:')).map((url) => fileURLToPath(url));
}

/** Which of these packages stand in what was loaded: a file of the bundle names what its parts are from. */
function packagesIn(files: readonly string[], names: readonly string[]): readonly string[] {
  const texts = files.map((file) => `${file}\n${readFileSync(file, 'utf8')}`);
  return names.filter((name) => texts.some((text) => text.includes(`node_modules/${name}/`)));
}

/** What only the screen, the band and paper need. */
const large = ['ink', 'react', 'yoga-layout', 'mqtt', 'aedes', 'pdfkit', 'fft.js', 'saxes'];

describe('a command that prints', () => {
  it.each([
    ['show', chart],
    ['check', chart],
    ['plan', chart],
    ['key', 'A'],
    ['shapes', 'A'],
    ['diary'],
    ['export', chart, '--to', 'text', '-o', '-'],
    ['export', chart, '--to', 'abc', '-o', '-'],
  ])('loads few files, and no library that it does not need: %s', (...words) => {
    const files = loaded(words);
    expect(packagesIn(files, large)).toEqual([]);
    expect(packagesIn(files, ['yaml', 'commander'])).toEqual(['yaml', 'commander']);
    expect(files.length).toBeLessThanOrEqual(36);
  });

  it.each([['--version'], ['--help'], ['completion', 'bash']])(
    'loads no library for charts and settings where it reads none: %s',
    (...words) => {
      const files = loaded(words);
      expect(packagesIn(files, [...large, 'yaml', 'valibot', 'ts-fsrs'])).toEqual([]);
      expect(files.length).toBeLessThanOrEqual(20);
    },
  );
});
