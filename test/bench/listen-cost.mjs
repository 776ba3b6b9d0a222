// npm run bench -- listen-cost [--seconds 30] [--quick]: what a player and a screen notice of listening. The stand plays to pipes, a
// robot plays along into the pipe that is the microphone, and the stand listens or does not, by turns: how late the player's messages
// are, how even the clicks arrive, how far the drawn beat is from its click. Needs python3, and fluidsynth with its sound font.
import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { median } from './figures.mjs';
import { beatsDrawn, clicksIn } from './stand-beats.mjs';
import { endAll, pause, Running } from './stand-terminal.mjs';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const main = here('../../dist/main.js');
const chart = here('../../charts/weir-hands.yaml');
const beatMs = 250;
/** What is left out of what is drawn and of the clicks after the music has begun: the start of the ear and of the stand, s. */
const settled = 2;
/** Runs of each kind, and how long, s: the quick ones only tell that nothing is broken by far. */
const usual = { turns: 3, seconds: 30 };
const hasty = { turns: 1, seconds: 8 };
/**
 * With the ear on the middle of all may be so much later than with it off, ms: more than what a busy machine shows, so that it does
 * not fail by others' load, and less than anybody hears or sees.
 */
const most = { clicks: 3, drawn: 15 };

function quantile(list, share) {
  const sorted = [...list].sort((one, other) => one - other);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

/** How far clicks are from an even beat, which begins where the median of them does, ms. */
function unevenness(clicks) {
  const first = clicks[0]?.at ?? 0n;
  const off = clicks.map(({ at }) => {
    const ms = Number(at - first) / 1e6;
    return ms - Math.round(ms / beatMs) * beatMs;
  });
  const middle = median(off);
  return off.map((one) => Math.abs(one - middle));
}

/** A player that plays what the program sends into a pipe. */
async function robot(midi, sound) {
  const child = spawn(
    process.execPath,
    [here('../e2e/robot-hand.mjs'), midi, sound, '--way', '60', '--jitter', '8'],
    {
      stdio: ['pipe', 'pipe', 'inherit'],
    },
  );
  await new Promise((resolve, reject) => {
    child.stdout.once('data', resolve);
    child.once('exit', () => reject(new Error('the player never was ready')));
  });
  return child;
}

/** The stand plays for a while; answers what was seen of it. */
async function play(folder, pipes, listens, seconds) {
  const run = new Running(
    folder,
    [
      ...[process.execPath, main, 'play', chart, '--tempo', '240', '--count-in', '1', '--click', 'every'],
      ...['--voices', 'all', '--stats', '--out', `raw:${pipes.clicks}`, '--out', `raw:${pipes.midi}`],
      ...(listens ? ['--microphone', `raw:${pipes.sound}`] : []),
    ],
    { pipe: pipes.clicks },
  );
  try {
    await run.shows('ready', ...(listens ? ['hears'] : []));
    // Before it is settled what is planned and drawn for the first time would be measured.
    await pause(500);
    const began = process.hrtime.bigint();
    run.type(' ');
    await pause(seconds * 1000);
    const clicks = clicksIn(run.arrivals).filter(({ at }) => at > began + BigInt(settled * 1e9));
    const outputs = [...run.outputs];
    await run.leave();
    const text = Buffer.concat(run.outputs.map(({ data }) => data)).toString('latin1');
    const [, p50, p99, max] =
      /lateness of \d+ messages: half within ([\d.]+) ms, 99 % within ([\d.]+), worst ([\d.]+)/.exec(text) ??
      [];
    if (max === undefined) throw new Error('the player told nothing of its lateness');
    if (text.includes('hears') !== listens)
      throw new Error(listens ? 'it does not listen' : 'it listens, unasked');
    const drawn = Buffer.concat(outputs.map(({ data }) => data)).toString('utf8');
    return {
      // A neck has such dots too: marks are what is more.
      dots: (drawn.match(/∙/g) ?? []).length,
      late: { p50: Number(p50), p99: Number(p99), max: Number(max) },
      uneven: unevenness(clicks),
      drawn: beatsDrawn(clicks, outputs),
    };
  } finally {
    await run.hangUp();
  }
}

/** The figures of playing with the ear and without. */
export async function benchListenCost(quick) {
  const font = '/usr/share/sounds/sf2/FluidR3_GM.sf2';
  if (spawnSync('fluidsynth', ['--version']).error || !existsSync(font)) {
    console.log('fluidsynth or its sound font is not here: nobody plays for the stand to listen to');
    return { 'not measured': 0 };
  }
  const at = process.argv.indexOf('--seconds');
  const pace = quick ? hasty : usual;
  const seconds = at > 0 ? Number(process.argv[at + 1]) : pace.seconds;
  const folder = mkdtempSync(join(tmpdir(), 'barkline-bench-'));
  const pipes = Object.fromEntries(['clicks', 'midi', 'sound'].map((name) => [name, join(folder, name)]));
  execFileSync('mkfifo', Object.values(pipes));
  let player = null;
  try {
    player = await robot(pipes.midi, pipes.sound);
    const runs = { off: [], on: [] };
    for (let turn = 0; turn < pace.turns; turn += 1)
      for (const listens of [false, true])
        runs[listens ? 'on' : 'off'].push(await play(folder, pipes, listens, seconds));
    console.log(
      `beside each other, the ear off and on by turns, ${pace.turns} of ${seconds} s each at 240 beats a minute; ms`,
    );
    const row = (kind, what, list) => ({
      what,
      ear: kind,
      count: list.length,
      p50: quantile(list, 0.5).toFixed(2),
      p99: quantile(list, 0.99).toFixed(2),
      max: Math.max(...list).toFixed(2),
    });
    const lists = (kind) => ({
      uneven: runs[kind].flatMap(({ uneven }) => uneven),
      drawn: runs[kind].flatMap(({ drawn }) => drawn.lags.map(Math.abs)),
    });
    const [off, on] = [lists('off'), lists('on')];
    console.table([
      row('off', 'clicks off an even beat, at the pipe', off.uneven),
      row('on', 'clicks off an even beat, at the pipe', on.uneven),
      row('off', 'the drawn beat from its click', off.drawn),
      row('on', 'the drawn beat from its click', on.drawn),
    ]);
    console.log('the player’s own report of each run');
    console.table(
      Object.entries(runs).flatMap(([ear, list]) =>
        list.map(({ late, drawn }) => ({ ear, ...late, 'beats not drawn': drawn.missing })),
      ),
    );
    const figures = Object.fromEntries(
      [0.5, 0.99].flatMap((share) =>
        Object.entries({
          'clicks off': off.uneven,
          'clicks on': on.uneven,
          'drawn off': off.drawn,
          'drawn on': on.drawn,
        }).map(([name, list]) => [`${name}, p${100 * share}`, quantile(list, share)]),
      ),
    );
    const dots = (kind) => median(runs[kind].map((one) => one.dots / one.uneven.length));
    if (dots('on') <= dots('off')) throw new Error('no stroke was marked');
    if (figures['clicks on, p50'] > figures['clicks off, p50'] + most.clicks)
      throw new Error('the clicks are less even while it listens');
    if (figures['drawn on, p50'] > figures['drawn off, p50'] + most.drawn)
      throw new Error('the beat is drawn later while it listens');
    return figures;
  } finally {
    player?.kill();
    await endAll();
    rmSync(folder, { recursive: true, force: true });
  }
}
