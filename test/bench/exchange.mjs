// npm run bench -- exchange [--quick]: how long a folder of a thousand tunes takes to be brought in, beside one file with all of them; and how
// long each format takes to be written.
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { median } from './figures.mjs';

const main = fileURLToPath(new URL('../../dist/main.js', import.meta.url));
const chart = fileURLToPath(new URL('../../charts/nine-barges-late.yaml', import.meta.url));
const goalMs = 10_000;

const tune = (number, x) =>
  `X:${x}\nT:Tune ${number}\nM:${number % 2 ? '4/4' : '6/8'}\nL:1/8\nQ:1/4=${100 + (number % 100)}\nK:${'GDACEm'[number % 4]}\n${'|:"G"GABc dcBA|"C"c2e2 "D7"d4|1 "Em"e8:|2 "G"G8|]\n'.repeat(4)}\n`;

/** The median time of a call of the program, ms. */
function timed(rounds, words, after = () => {}) {
  return median(
    Array.from({ length: rounds }, () => {
      const begun = performance.now();
      execFileSync(process.execPath, [main, ...words], { stdio: 'ignore' });
      const took = performance.now() - begun;
      after();
      return took;
    }),
  );
}

/** Bringing in, and writing out. */
export function benchExchange(quick) {
  const [count, rounds] = quick ? [50, 1] : [1000, 3];
  const folder = mkdtempSync(join(tmpdir(), 'barkline-'));
  try {
    const tunes = join(folder, 'tunes');
    mkdirSync(tunes);
    for (let number = 1; number <= count; number += 1)
      writeFileSync(join(tunes, `${number}.abc`), tune(number, 1));
    writeFileSync(
      join(folder, 'all.abc'),
      Array.from({ length: count }, (_, index) => tune(index + 1, index + 1)).join(''),
    );
    const out = join(folder, 'out');
    const clear = () => {
      if (readdirSync(out).length !== count) throw new Error('not all were brought in');
      rmSync(out, { recursive: true });
    };
    const rows = [
      {
        what: `a folder of ${count} ABC files`,
        ms: Math.round(timed(rounds, ['import', tunes, '--all', out], clear)),
      },
      {
        what: `a file of ${count} tunes`,
        ms: Math.round(timed(rounds, ['import', join(folder, 'all.abc'), '--all', out], clear)),
      },
      ...['pdf', 'text', 'midi', 'abc', 'musicxml'].map((format) => ({
        what: `a chart as ${format}`,
        ms: Math.round(
          timed(rounds, ['export', chart, '--to', format, '-o', join(folder, 'song'), '--force']),
        ),
      })),
    ];
    console.table(rows);
    if (!quick)
      console.log(`a thousand tunes within ${goalMs / 1000} s: ${rows[0].ms < goalMs ? 'yes' : 'no'}`);
    return Object.fromEntries(rows.map(({ what, ms }) => [what, ms]));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
