// npm run bench -- stand [--seconds 180] [--part start|cursor|length|cost|tune] [--quick]: what the stand costs, how soon it is there, and how
// far the drawn beat is from its click, beside the goals. Needs python3, for terminals of its own.
// --quick only sees that everything works: a round of short runs, whose figures say little.
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { median } from './figures.mjs';
import { benchDrawn } from './stand-drawn.mjs';
import { benchStart } from './stand-start.mjs';
import { endAll, exactMs, machineMs, memoryMiB, pause, processorMs, Running } from './stand-terminal.mjs';
import { benchTune } from './stand-tune.mjs';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const node = process.execPath;
const main = here('../../dist/main.js');
const chart = here('../../charts/weir-hands.yaml');
const beatMs = 250;
const atBeats = ['--tempo', '240', '--count-in', '0'];
/**
 * How long things take. `settled`: what a start takes besides the music is over after this, s from the key that starts it;
 * `least`: so long is measured at least, ms; `tries`: so many seconds a long chart may take until its plan costs nothing more;
 * `rounds`: of starts, where there are several after one that does not count; `tidied`: so long after a long chart begins its cost is
 * read first, s, and then over so many `stretches`.
 */
const usual = { settled: 5, least: 5000, tries: 30, seconds: 180, rounds: 20, tidied: 30, stretches: 8 };
const hasty = { settled: 1, least: 2000, tries: 0, seconds: 3, rounds: 1, tidied: 1, stretches: 2 };

const yes = (met) => (met ? 'yes' : 'no');
const percent = (processor) => `${(processor / 10).toFixed(0)} %`;
const ms = (value) => (Number.isFinite(value) ? value.toFixed(2) : '');
function quantile(list, share) {
  const sorted = [...list].sort((one, other) => one - other);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

/** The player that an interface started. */
function playerOf(parent) {
  return readdirSync('/proc').find((pid) => {
    if (!/^\d+$/.test(pid)) return false;
    try {
      const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
      return (
        Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1]) === parent &&
        readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes('player/process.js')
      );
    } catch {
      return false;
    }
  });
}

/** Plays to nowhere for a while; answers what the part of it that is left after the start cost, a second. */
async function play({ folder, pace }, file, seconds, env = {}) {
  const run = new Running(folder, [node, main, 'play', file, ...atBeats, '--out', 'none'], { env });
  try {
    await run.shows('ready');
    const ready = process.hrtime.bigint();
    run.type(' ');
    await pause(pace.settled * 1000);
    // Long charts may still be planned: until a second of the music costs no more than a third of a core.
    for (let tries = 0; tries < pace.tries; tries += 1) {
      const before = processorMs(run.pid);
      await pause(1000);
      if (processorMs(run.pid) - before < 333) break;
    }
    const player = playerOf(run.pid);
    if (!player) throw new Error('there is no player');
    const look = () => ({
      at: process.hrtime.bigint(),
      interface: processorMs(run.pid),
      main: processorMs(run.pid, run.pid),
      machine: machineMs(),
      player: processorMs(player),
      outputs: run.outputs.length,
    });
    const before = look();
    await pause(Math.max(pace.least, seconds * 1000 - Number(before.at - ready) / 1e6));
    const after = look();
    const took = Number(after.at - before.at) / 1e9;
    const written = run.outputs.slice(before.outputs, after.outputs);
    const memory = { interface: memoryMiB(run.pid), player: memoryMiB(player) };
    if (run.ended !== null) throw new Error('it ended while it was playing');
    const share = (who) => (after[who] - before[who]) / took;
    return {
      from: before.at,
      until: after.at,
      took,
      startUp: Number(before.at - ready) / 1e9,
      // Processor time in ms a second.
      interface: { processor: share('interface'), main: share('main'), memory: memory.interface },
      player: { processor: share('player'), memory: memory.player },
      others: share('machine') - share('interface') - share('player'),
      bytes: written.reduce((sum, { data }) => sum + data.length, 0) / took,
      lastBefore: run.outputs[before.outputs - 1]?.at ?? before.at,
    };
  } finally {
    await run.leave();
  }
}

async function benchCost(bench, seconds) {
  const cost = await play(bench, chart, seconds);
  // In a run of its own, so that nothing is measured together with what measures.
  const file = join(bench.folder, 'blocks');
  const watched = await play(bench, chart, seconds, {
    NODE_OPTIONS: `--import ${new URL('./stand-blocks.mjs', import.meta.url).href}`,
    BARKLINE_BLOCKS: file,
  });
  const turns = readFileSync(file, 'utf8')
    .split('\n')
    .map((line) => line.split(' '))
    .map(([at, length]) => ({ at: BigInt(at), length: Number(length) }))
    .filter(({ at }) => at > watched.from && at < watched.until);
  // The longest of each beat; a beat from the middle between two pictures to the next middle.
  const middle = Number(watched.lastBefore) / 1e6 + beatMs / 2;
  const longest = new Map();
  for (const { at, length } of turns) {
    const beat = Math.floor((Number(at) / 1e6 - middle) / beatMs);
    longest.set(beat, Math.max(length, longest.get(beat) ?? 0));
  }
  const blocks = [...longest.values()];
  const lengths = turns.map(({ length }) => length);
  const both = cost.interface.memory + cost.player.memory;
  console.log(
    `\nWhat the stand costs: 140x45, 240 beats a minute, ${cost.took.toFixed(0)} s after the first ${cost.startUp.toFixed(0)} s of the music`,
  );
  console.table([
    row('interface: processor, % of a core', cost.interface.processor / 10, 8, 1),
    row('player: processor, % of a core', cost.player.processor / 10, 5, 1),
    row('interface: memory (VmRSS at the end), MiB', cost.interface.memory, null, 0),
    row('player: memory, MiB', cost.player.memory, null, 0),
    row('both: memory, MiB', both, 250, 0),
    row('written to the terminal, kB a second', cost.bytes / 1000, 40, 1),
    row('longest turn of the event loop in each beat: p50, ms', quantile(blocks, 0.5), null, 2),
    row('longest turn of the event loop in each beat: p99, ms', quantile(blocks, 0.99), 8, 2),
    row('longest turn of the event loop in each beat: max, ms', Math.max(...blocks), null, 2),
  ]);
  console.log(
    [
      `the event loop in a run of its own (interface ${(watched.interface.processor / 10).toFixed(1)} % of a core there): ${blocks.length} beats;`,
      `a turn is all that keeps the loop between two waits. Of all ${lengths.length} turns, ${(lengths.length / watched.took).toFixed(0)} a second:`,
      `p50 ${ms(quantile(lengths, 0.5))}, p99 ${ms(quantile(lengths, 0.99))}, max ${ms(Math.max(...lengths))} ms`,
      `all else on the machine, with what measures: ${percent(cost.others)} of a core in the first run, ${percent(watched.others)} in that of the event loop`,
    ].join('\n'),
  );
  return {
    'interface, processor': cost.interface.processor,
    'player, processor': cost.player.processor,
    'both, memory': both,
    'bytes a second': cost.bytes,
    'longest turns, p99': quantile(blocks, 0.99),
  };
}

function row(what, value, goal, digits) {
  const shown = value.toFixed(digits);
  if (goal === null) return { what, measured: shown, goal: '', met: '' };
  return { what, measured: shown, goal: `under ${goal}`, met: yes(value < goal) };
}

/**
 * Both charts play at the same time, so that whatever else the machine does comes to both, and what each costs is read again and again
 * over the same stretches of time. The arrangement's making is not in it, nor the collector's work behind that: V8 tidies up after a
 * big piece of work when it has been idle for a while.
 */
async function benchLength({ folder, pace }, seconds) {
  const line = '    1 4 (1 5) 6-^7\n';
  const charts = [32, 10_000].map((bars) => {
    const file = join(folder, `bars-${bars}.yaml`);
    writeFileSync(
      file,
      `title: Bars ${bars}\nkey: A\ntempo: 240\nsections:\n  V: |\n${line.repeat(bars / 4)}`,
    );
    return { bars, run: new Running(folder, [node, main, 'play', file, ...atBeats, '--out', 'none']) };
  });
  const taken = charts.map(() => ({ all: [], main: [] }));
  const others = [];
  try {
    for (const { run } of charts) await run.shows('ready');
    for (const { run } of charts) run.type(' ');
    await pause(pace.tidied * 1000);
    for (let turn = 0; turn < pace.stretches; turn += 1) {
      const look = () =>
        charts.map(({ run }) => ({
          all: exactMs(run.pid),
          main: exactMs(run.pid, run.pid),
          pictures: run.outputs.length,
        }));
      const [machine, at, before] = [machineMs(), performance.now(), look()];
      await pause((seconds * 1000) / pace.stretches);
      const after = look();
      const beats = (performance.now() - at) / beatMs;
      after.forEach((now, index) => {
        for (const what of ['all', 'main'])
          taken[index][what].push((now[what] - before[index][what]) / beats);
      });
      const own = after.reduce((sum, now, index) => sum + now.all - before[index].all, 0);
      others.push((machineMs() - machine - own) / ((performance.now() - at) / 1000));
      if (charts.some(({ run }) => run.ended !== null)) throw new Error('it ended while it was playing');
    }
    const ratios = (what) => taken[1][what].map((one, turn) => one / taken[0][what][turn]);
    console.log(
      `\nWhat a long chart costs a picture: processor time of the interface a beat, one picture a beat; both at once, ${pace.stretches} stretches of ${(seconds / pace.stretches).toFixed(0)} s`,
    );
    console.table(
      charts.map(({ bars, run }, index) => ({
        bars,
        'ms a beat': ms(median(taken[index].all)),
        'stretch by stretch': taken[index].all.map(ms).join(', '),
        'of it the main thread': ms(median(taken[index].main)),
        'memory, MiB': memoryMiB(run.pid).toFixed(0),
      })),
    );
    const times = ratios('all').map((one) => one.toFixed(2));
    console.log(
      `all else on the machine: ${others.map(percent).join(', ')}; goal: what 32 bars cost, or at most 1.1 times that`,
    );
    const ratio = { all: median(ratios('all')), main: median(ratios('main')) };
    console.table([
      {
        what: '10 000 bars against 32',
        measured: ratio.all.toFixed(2),
        'stretch by stretch': times.join(', '),
        goal: 'at most 1.1',
        met: yes(ratio.all <= 1.1),
      },
      { what: 'the same, the main thread alone', measured: ratio.main.toFixed(2) },
    ]);
    return { '10 000 bars against 32': ratio.all, 'the same, main thread': ratio.main };
  } finally {
    await Promise.all(charts.map(({ run }) => run.leave()));
  }
}

const parts = {
  start: ({ folder, pace: { rounds } }) => benchStart({ folder, rounds }),
  cursor: ({ folder, pace }) => benchDrawn({ folder, quick: pace === hasty }),
  length: (bench, seconds) => benchLength(bench, Math.min(seconds, 120)),
  cost: benchCost,
  tune: (bench) => benchTune({ quick: bench.pace === hasty }),
};

/** The parts that are wanted, one after the other. */
export async function benchStand(quick) {
  const pace = quick ? hasty : usual;
  const option = (name) => {
    const at = process.argv.indexOf(`--${name}`);
    return at > 0 ? process.argv[at + 1] : undefined;
  };
  const seconds = Number(option('seconds') ?? pace.seconds);
  const wanted = option('part');
  if (!(seconds > 0) || (wanted !== undefined && !parts[wanted])) {
    console.error(`usage: npm run bench -- stand [--seconds 180] [--part ${Object.keys(parts).join('|')}]`);
    process.exit(2);
  }
  const folder = mkdtempSync(join(tmpdir(), 'barkline-bench-'));
  const tidy = async () => {
    await endAll();
    rmSync(folder, { recursive: true, force: true });
  };
  for (const [signal, status] of [
    ['SIGINT', 130],
    ['SIGTERM', 143],
  ])
    process.once(signal, () => tidy().then(() => process.exit(status)));
  const figures = {};
  try {
    for (const [name, part] of Object.entries(parts)) {
      if ((wanted ?? name) !== name) continue;
      const [machine, at] = [machineMs(), performance.now()];
      Object.assign(figures, await part({ folder, pace }, seconds));
      const took = (performance.now() - at) / 1000;
      console.log(
        `(${took.toFixed(0)} s, in which the whole machine was busy for ${percent((machineMs() - machine) / took)} of a core)`,
      );
    }
    return figures;
  } finally {
    await tidy();
  }
}
