// npm run bench -- stand [--seconds 180] [--part start|cursor|length|cost]: what the stand costs, beside its goals.
import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const main = here('../../dist/main.js');
const demo = (name) => here(`../../charts/${name}.yaml`);
const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
const ticksASecond = Number(execFileSync('getconf', ['CLK_TCK'], { encoding: 'utf8' }));
const yes = (met) => (met ? 'yes' : 'no');
const quantile = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
const median = (list) =>
  quantile(
    [...list].sort((one, other) => one - other),
    0.5,
  );

/** A program on a terminal of its own, with an empty home: what it writes, when, and what it costs. */
class Running {
  chunks = [];
  pid = null;

  constructor(folder, words, { columns = 140, rows = 45, env = {} } = {}) {
    const clean = Object.fromEntries(
      Object.entries(process.env).filter(([name]) => !/^CI(_|$)|^CONTINUOUS/.test(name)),
    );
    const home = mkdtempSync(join(folder, 'home-'));
    this.started = process.hrtime.bigint();
    this.helper = spawn(
      'python3',
      [here('./stand-pty.py'), String(columns), String(rows), process.execPath, ...words],
      {
        env: {
          ...clean,
          TERM: 'xterm-256color',
          LANG: 'C.UTF-8',
          LC_ALL: 'C.UTF-8',
          XDG_STATE_HOME: home,
          XDG_CONFIG_HOME: home,
          XDG_DATA_HOME: home,
          ...env,
        },
        stdio: ['pipe', 'pipe', 'inherit'],
      },
    );
    this.ended = new Promise((resolve) => this.helper.on('exit', resolve));
    let rest = '';
    this.helper.stdout.on('data', (data) => {
      const lines = (rest + data).split('\n');
      rest = lines.pop();
      for (const line of lines) {
        const [first, second] = line.split(' ');
        if (first === 'pid') this.pid = Number(second);
        else this.chunks.push({ at: BigInt(first), data: Buffer.from(second, 'base64') });
      }
    });
  }

  text() {
    return Buffer.concat(this.chunks.map(({ data }) => data)).toString('utf8');
  }

  /** When everything that is wanted had been written, ms from the start. */
  async shows(...wanted) {
    for (let tries = 0; tries < 2000; tries += 1) {
      let text = '';
      for (const { at, data } of this.chunks) {
        text += data.toString('utf8');
        if (wanted.every((one) => text.includes(one))) return Number(at - this.started) / 1e6;
      }
      await pause(10);
    }
    throw new Error(`never showed ${wanted}`);
  }

  press(keys) {
    this.helper.stdin.write(keys);
  }

  player() {
    const listed = execFileSync('ps', ['-eo', 'pid,ppid,args'], { encoding: 'utf8' }).split('\n');
    const own = listed
      .map((line) => line.trim().split(/\s+/))
      .find(
        ([, parent, ...args]) => Number(parent) === this.pid && args.join(' ').includes('player/process.js'),
      );
    return own ? Number(own[0]) : null;
  }

  async leave() {
    this.press('q');
    await Promise.race([this.ended, pause(4000)]);
    this.helper.kill('SIGKILL');
  }
}

/** Processor time used so far, ms, and memory, MiB. */
function usage(pid) {
  const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  const memory = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'));
  return {
    cpu: ((Number(fields[11]) + Number(fields[12])) * 1000) / ticksASecond,
    memory: Number(memory?.[1] ?? 0) / 1024,
  };
}

/** Plays for a while; answers what interface and player cost a second, and what was written. */
async function play(folder, file, seconds, env = {}) {
  const run = new Running(folder, [main, 'play', file, '--tempo', '240', '--out', 'none'], { env });
  await run.shows('Space', 'ready');
  run.press(' ');
  await pause(5000);
  const player = run.player();
  const before = {
    ui: usage(run.pid),
    player: usage(player),
    at: process.hrtime.bigint(),
    chunks: run.chunks.length,
  };
  await pause(seconds * 1000);
  const after = { ui: usage(run.pid), player: usage(player) };
  const took = Number(process.hrtime.bigint() - before.at) / 1e9;
  const bytes = run.chunks.slice(before.chunks).reduce((sum, { data }) => sum + data.length, 0);
  await run.leave();
  return {
    ui: (after.ui.cpu - before.ui.cpu) / took,
    player: (after.player.cpu - before.player.cpu) / took,
    memory: after.ui.memory + after.player.memory,
    uiMemory: after.ui.memory,
    playerMemory: after.player.memory,
    bytes: bytes / took,
  };
}

async function benchCost(folder, seconds) {
  const cost = await play(folder, demo('weir-hands'), seconds);
  const loopFile = join(folder, 'loop.json');
  await play(folder, demo('weir-hands'), Math.min(seconds, 60), {
    NODE_OPTIONS: `--import ${here('./stand-loop.mjs')}`,
    BARKLINE_LOOP: loopFile,
  });
  const loop = JSON.parse(readFileSync(loopFile, 'utf8'));
  console.log(
    `\n140x45, 240 beats a minute, ${seconds} s; the event loop in a run of its own, against a timer due every ms`,
  );
  console.table([
    { what: 'interface, % of a core', measured: (cost.ui / 10).toFixed(1), goal: 8, met: yes(cost.ui <= 80) },
    {
      what: 'player, % of a core',
      measured: (cost.player / 10).toFixed(1),
      goal: 5,
      met: yes(cost.player <= 50),
    },
    {
      what: `memory of both, MiB (${cost.uiMemory.toFixed(0)} + ${cost.playerMemory.toFixed(0)})`,
      measured: cost.memory.toFixed(0),
      goal: 250,
      met: yes(cost.memory <= 250),
    },
    {
      what: 'written, kB a second',
      measured: (cost.bytes / 1000).toFixed(1),
      goal: 40,
      met: yes(cost.bytes <= 40_000),
    },
    {
      what: `event loop kept, p99 ms (p50 ${loop.p50.toFixed(2)}, max ${loop.max.toFixed(1)})`,
      measured: loop.p99.toFixed(2),
      goal: 8,
      met: yes(loop.p99 < 8),
    },
  ]);
}

async function benchLength(folder, seconds) {
  const line = '    1 4 (1 5) 6-^7\n';
  const files = [32, 10_000].map((bars) => {
    const file = join(folder, `bars-${bars}.yaml`);
    writeFileSync(
      file,
      `title: Bars ${bars}\nkey: A\ntempo: 240\nsections:\n  V: |\n${line.repeat(bars / 4)}`,
    );
    return file;
  });
  const costs = [];
  for (const file of files) costs.push(await play(folder, file, seconds));
  console.log('\nwhat a long chart costs: processor time of the interface a beat (four a second)');
  console.table(
    costs.map((cost, index) => ({
      bars: [32, 10_000][index],
      'ms a beat': (cost.ui / 4).toFixed(2),
      'memory MiB': cost.uiMemory.toFixed(0),
    })),
  );
  const ratio = costs[1].ui / costs[0].ui;
  console.log(`the long one against the short one: ${ratio.toFixed(2)} (goal: the same)`);
}

/** Time from the start to the first whole frame, by turns with the least Ink program. */
async function benchStart(folder) {
  const stand = [];
  const line = [];
  const list = [];
  for (let round = 0; round < 9; round += 1) {
    for (const [times, words, wanted] of [
      [stand, [main, 'play', demo('weir-hands'), '--out', 'none'], ['Weir Hands', 'leave']],
      [line, [here('./stand-line.mjs')], ['one line']],
      [list, [main], ['Charts and sets', 'Ctrl-C leaves']],
    ]) {
      const run = new Running(folder, words);
      times.push(await run.shows(...wanted));
      run.press('\u0003');
      await Promise.race([run.ended, pause(1500)]);
      run.helper.kill('SIGKILL');
    }
  }
  const print = (words) => {
    const times = Array.from({ length: 9 }, () => {
      const start = process.hrtime.bigint();
      execFileSync(process.execPath, [main, ...words], { stdio: 'ignore' });
      return Number(process.hrtime.bigint() - start) / 1e6;
    });
    return median(times);
  };
  const base = median(line);
  const first = median(stand);
  console.log(
    '\nfrom the start to the first whole frame, or to the end of a command that only prints; ms, medians of nine',
  );
  console.table([
    { what: 'an Ink program of one line', ms: base.toFixed(0) },
    {
      what: 'the stand',
      ms: first.toFixed(0),
      ratio: (first / base).toFixed(2),
      goal: 'at most 1.3',
      met: yes(first / base <= 1.3),
    },
    {
      what: 'the list',
      ms: median(list).toFixed(0),
      ratio: (median(list) / base).toFixed(2),
      goal: '',
      met: '',
    },
    ...[['show', demo('weir-hands')], ['key', 'A'], ['--help'], ['--version']].map((words) => {
      const ms = print(words);
      return {
        what: words[0],
        ms: ms.toFixed(0),
        ratio: (ms / first).toFixed(2),
        goal: 'under half of the stand',
        met: yes(ms < first / 2),
      };
    }),
  ]);
}

/** How far the drawn beat is behind the click, which is stamped by a reader of its own as it arrives. */
async function benchCursor(folder, seconds) {
  const path = join(folder, 'clicks');
  execFileSync('mkfifo', [path]);
  const code = `const fs=require('node:fs');const d=fs.openSync(${JSON.stringify(path)},'r+');const b=Buffer.alloc(65536);
    for(;;){const n=fs.readSync(d,b,0,b.length,null);fs.writeSync(1,process.hrtime.bigint()+' '+[...b.subarray(0,n)].join(' ')+'\\n');}`;
  const reader = spawn(process.execPath, ['-e', code], { stdio: ['ignore', 'pipe', 'inherit'] });
  let heard = '';
  reader.stdout.on('data', (data) => {
    heard += data;
  });
  const run = new Running(folder, [
    main,
    'play',
    demo('weir-hands'),
    '--tempo',
    '240',
    '--out',
    `raw:${path}`,
    '--voices',
    'click',
    '--count-in',
    '0',
  ]);
  await run.shows('ready');
  run.press(' ');
  await pause(seconds * 1000);
  await run.leave();
  reader.kill('SIGKILL');
  // Note-ons on channel 10; note-offs are no clicks.
  const clicks = heard
    .split('\n')
    .filter((one) => one.split(' ')[1] === '153')
    .map((one) => BigInt(one.split(' ')[0]));
  const lags = [];
  let undrawn = 0;
  let next = 0;
  clicks.forEach((click, index) => {
    // A beat may be drawn a little before its sound arrives: the two come by different ways.
    while (next < run.chunks.length && run.chunks[next].at < click - 40_000_000n) next += 1;
    const drawn = run.chunks[next];
    if (!drawn || (clicks[index + 1] !== undefined && drawn.at >= clicks[index + 1] - 40_000_000n))
      undrawn += 1;
    else lags.push(Number(drawn.at - click) / 1e6);
  });
  const sorted = lags.map(Math.abs).sort((one, other) => one - other);
  const late = sorted.filter((lag) => lag > 1000 / 30).length;
  console.log('\nthe drawn beat against its click, as both arrive outside the program; ms; a frame is 33');
  console.table([
    {
      clicks: clicks.length,
      drawn: lags.length,
      undrawn,
      p50: quantile(sorted, 0.5).toFixed(2),
      p99: quantile(sorted, 0.99).toFixed(2),
      max: sorted.at(-1).toFixed(2),
      'over a frame': late,
      met: yes(late === 0 && undrawn === 0),
    },
  ]);
}

const parts = {
  start: benchStart,
  cursor: (folder, seconds) => benchCursor(folder, Math.min(seconds, 30)),
  length: (folder, seconds) => benchLength(folder, Math.min(seconds, 20)),
  cost: benchCost,
};

export async function benchStand() {
  const option = (name) => {
    const at = process.argv.indexOf(`--${name}`);
    return at > 0 ? process.argv[at + 1] : null;
  };
  const seconds = Number(option('seconds') ?? 180);
  const folder = mkdtempSync(join(tmpdir(), 'barkline-bench-'));
  try {
    for (const [name, bench] of Object.entries(parts))
      if ((option('part') ?? name) === name) await bench(folder, seconds);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
