// npm run picture: makes charts/stand.svg again, from the built program on a terminal of its own, while it plays.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { Cells } from './cells.mjs';
import { svgOf } from './svg.mjs';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const [columns, rows] = [100, 30];
const chart = 'half-a-mile-of-fog.yaml';
/** Where it begins to play, and what the screen shows at the moment that the picture is of. */
const begins = '5';
const wanted = /\b6 of 32[\s\S]*\bin 3 /;

/** The terminal of the tests, which is written in TypeScript. */
async function terminalClass(folder) {
  const outfile = join(folder, 'terminal.mjs');
  const entry = join(root, 'test/attack/terminal.ts');
  await build({
    entryPoints: [entry],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    logLevel: 'error',
  });
  return (await import(outfile)).Terminal;
}

const folder = mkdtempSync(join(tmpdir(), 'barkline-picture-'));
try {
  mkdirSync(join(folder, 'barkline'));
  writeFileSync(join(folder, 'barkline', 'settings.yaml'), 'background: dark\n');
  const Terminal = await terminalClass(folder);
  const env = {
    ...process.env,
    XDG_CONFIG_HOME: folder,
    XDG_STATE_HOME: folder,
    XDG_DATA_HOME: folder,
    LANG: 'C.UTF-8',
    LC_ALL: 'C.UTF-8',
  };
  for (const name of ['NO_COLOR', 'COLORFGBG', 'FORCE_COLOR']) delete env[name];
  const words = [
    process.execPath,
    join(root, 'dist/start.js'),
    'play',
    join(root, 'charts', chart),
    '--out',
    'none',
    '--from',
    begins,
  ];
  const terminal = new Terminal(words, { columns, rows, env });
  const cells = new Cells(columns, rows);
  let read = 0;
  const decoder = new TextDecoder();
  const shows = async (what, ms) => {
    for (const end = Date.now() + ms; Date.now() < end; await new Promise((next) => setTimeout(next, 10))) {
      const more = terminal.bytes.slice(read);
      read += more.length;
      cells.write(decoder.decode(Buffer.from(more, 'latin1'), { stream: true }));
      if (what(cells.text())) return;
    }
    throw new Error(`the screen never showed what the picture is of; it shows:\n${cells.text()}`);
  };
  await shows((text) => /\d+-\d+-\d+-[\dx]+/.test(text), 20_000);
  terminal.type(' ');
  await shows((text) => wanted.test(text), 20_000);
  const svg = svgOf(
    cells.lines,
    `The stand, playing ${cells.text().trim().split(/ {2,}/)[0]}: chart, necks, the way of the hand`,
  );
  terminal.type('\u0003');
  await terminal.ends();
  await terminal.close();
  writeFileSync(join(root, 'charts/stand.svg'), svg);
  console.log(`charts/stand.svg: ${svg.length} characters`);
  console.log(cells.text());
} finally {
  rmSync(folder, { recursive: true, force: true });
}
