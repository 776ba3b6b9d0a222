// npm run bench -- set [--quick]: how soon a set of sixty charts is there, beside one song and beside a chart alone; and how long it takes
// from a pedal's byte to what it does. Needs python3, for terminals of its own.
import { execFileSync } from 'node:child_process';
import {
  closeSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { median } from './figures.mjs';
import { endAll, pause, Running } from './stand-terminal.mjs';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const node = process.execPath;
const main = here('../../dist/main.js');
const charts = here('../../charts/');
const quantile = (list, share) =>
  [...list].sort((one, other) => one - other)[Math.ceil(share * list.length) - 1];

/** Sixty charts of their own, and sets of so many of them. */
function writeSets(folder) {
  const demos = readdirSync(charts).filter((name) => name.endsWith('.yaml') && !name.includes('gathering'));
  const names = Array.from({ length: 60 }, (_, index) => {
    const text = readFileSync(join(charts, demos[index % demos.length]), 'utf8');
    const name = `song-${index + 1}.yaml`;
    writeFileSync(join(folder, name), text.replace(/^title: (.*)$/m, `title: $1 ${index + 1}`));
    return name;
  });
  const set = (count) => {
    const path = join(folder, `set-${count}.yaml`);
    const songs = names.slice(0, count).map((name) => `  - file: ${name}\n    gap: wait\n`);
    writeFileSync(path, `title: Evening\ncharts:\n${songs.join('')}`);
    return path;
  };
  return { one: set(1), sixty: set(60), chart: join(folder, names[0]) };
}

async function timeToShow({ folder, rounds }, file, ...wanted) {
  const times = [];
  for (let round = 0; round < rounds; round += 1) {
    const run = new Running(folder, [node, main, 'play', file, '--out', 'none']);
    const at = await run.shows(...wanted);
    times.push(Number(at - run.started) / 1e6);
    await run.hangUp();
  }
  return times;
}

async function benchOpening(bench) {
  const { one, sixty, chart } = writeSets(bench.folder);
  const row = (what, times) => ({
    what,
    'median ms': Math.round(median(times)),
    'slowest ms': Math.round(Math.max(...times)),
  });
  const alone = await timeToShow(bench, chart, ' leave');
  const single = await timeToShow(bench, one, 'the pedal begins', 'keys');
  const all = await timeToShow(bench, sixty, 'the pedal begins', 'keys');
  console.table([
    row('a chart: the stand is drawn', alone),
    row('a set of one: its first card', single),
    row('a set of sixty: its first card', all),
  ]);
  console.log(`sixty charts within a second: ${median(all) < 1000 ? 'yes' : 'no'}`);
  return { 'a chart': median(alone), 'a set of one': median(single), 'a set of sixty': median(all) };
}

/** A pedal that pauses and plays: from its byte to the stop that other gear hears, and to the first note beyond what play takes anyway. */
async function benchPedal({ folder, presses }) {
  const [out, pedals] = ['out', 'pedals'].map((name) => {
    const path = join(folder, name);
    execFileSync('mkfifo', [path]);
    return path;
  });
  const run = new Running(
    folder,
    [
      node,
      main,
      'play',
      join(charts, 'weir-hands.yaml'),
      '--tempo',
      '240',
      '--count-in',
      '0',
      '--send-clock',
    ].concat(['--out', `raw:${out}`, '--pedal', `raw:${pedals}`]),
    { pipe: out, env: { XDG_CONFIG_HOME: folder } },
  );
  await run.shows('ready');
  await pause(1500);
  const writer = openSync(pedals, 'r+');
  const stops = [];
  const starts = [];
  for (let press = 0; press < presses; press += 1) {
    const before = run.arrivals.length;
    const pressed = process.hrtime.bigint();
    writeSync(writer, Uint8Array.of(0xb0, 64, 127, 0xb0, 64, 0));
    // Not in step with the beat: 240 has one every 250 ms.
    await pause(900 + ((press * 37) % 211));
    const status = press % 2 === 0 ? 0xfa : 0xfc;
    const other = press % 2 === 0 ? 0xfb : 0xfc;
    const found = run.arrivals
      .slice(before)
      .find(({ data }) => data.includes(status) || data.includes(other));
    if (found) (press % 2 === 0 ? starts : stops).push(Number(found.at - pressed) / 1e6);
  }
  closeSync(writer);
  await run.leave();
  const row = (what, list) => ({
    what,
    presses: list.length,
    'p50 ms': median(list)?.toFixed(2),
    'p99 ms': quantile(list, 0.99)?.toFixed(2),
    'max ms': Math.max(...list).toFixed(2),
  });
  console.table([
    row('pause: from the byte to the stop', stops),
    row('play: from the byte to the start, of which 30 are waited', starts),
  ]);
  return {
    'pause, p99': quantile(stops, 0.99) ?? Number.NaN,
    'play, p99': quantile(starts, 0.99) ?? Number.NaN,
  };
}

/** Opening a set, and pedals. */
export async function benchSet(quick) {
  const folder = mkdtempSync(join(tmpdir(), 'barkline-'));
  const bench = { folder, rounds: quick ? 1 : 7, presses: quick ? 4 : 60 };
  try {
    const opening = await benchOpening(bench);
    execFileSync('mkdir', ['-p', join(folder, 'barkline')]);
    writeFileSync(join(folder, 'barkline', 'settings.yaml'), 'pedals:\n  play: control 64\n');
    return { ...opening, ...(await benchPedal(bench)) };
  } finally {
    await endAll();
    rmSync(folder, { recursive: true, force: true });
  }
}
