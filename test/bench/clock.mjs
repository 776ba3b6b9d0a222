// npm run bench -- clock [--drift-minutes N] [--rounds 3] [--bars 12] [--only busy] [--quick]
// --quick only sees that everything works: a round of short runs, whose figures say little.
// When bytes arrive at another process, against when they were due: the player, a plain timer, and the system's floor.
import { mkdirSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { latenessOf, median, share } from './clock-lateness.mjs';
import { lengthOf, music } from './clock-music.mjs';
import { bareLoop, drawOnly, flagsOf, floor, inkTimer, onStand, plain, prepare } from './clock-senders.mjs';
import { compile, flag, hasTmux, keepBusy, openPipe, option, pause, workFolder } from './clock-tools.mjs';

/** Quarters a minute; quick ones are played faster. */
const bpm = flag('--quick') ? 400 : 240;
/** More than this share of the cores taken by others, and the figures are not to be relied on. */
const mostOthers = 0.03;
/** Between two runs, so that one has settled before the next, ms. */
const restMs = 300;

const names = {
  plain: 'barkline, plain',
  tune: 'barkline, plain, with a tune',
  stand: 'barkline, on the stand',
  timer: 'a timer in an Ink program',
  bare: 'a bare loop in Node',
  floor: 'the floor: absolute sleeps',
};
const conditions = {
  idle: 'idle',
  drawing: 'a stand of 140x45 redrawing',
  busy: 'every core kept busy',
};

/** How the reader reads. One that looks without pause takes a core, so it may only where none is wanted. */
const readerWays = { idle: 'spin', drawing: 'poll', busy: 'poll' };

/** Every row of the table: which system under which condition. */
const plans = [
  ['plain', 'idle'],
  ['tune', 'idle'],
  ['floor', 'idle'],
  ['stand', 'drawing'],
  ['timer', 'drawing'],
  ['floor', 'drawing'],
  ['plain', 'busy'],
  ['tune', 'busy'],
  ['bare', 'busy'],
  ['floor', 'busy'],
];
/** Of these, what is run when it is only to be seen that everything works. */
const quickPlans = new Set([
  'plain,idle',
  'tune,idle',
  'stand,drawing',
  'timer,drawing',
  'plain,busy',
  'bare,busy',
  'floor,busy',
]);

/** Measures everything and prints one table, what stands to it, and the goals; answers p50 and p99 of each row, ms. */
export async function benchClock(quick) {
  const bench = setUp(quick);
  await tellBefore(bench);
  const runs = new Map(bench.plans.map((plan) => [plan.join(), []]));
  for (let round = 1; round <= bench.rounds; round += 1) {
    progress(`round ${round} of ${bench.rounds}`);
    // Forth and back: no system always comes first.
    for (const plan of round % 2 === 1 ? bench.plans : [...bench.plans].reverse()) {
      runs.get(plan.join()).push(await measure(bench, ...plan));
      await pause(restMs);
    }
  }
  const rows = bench.plans.map(([system, condition]) =>
    rowOf(system, condition, runs.get([system, condition].join())),
  );
  console.table(rows.map((row) => row.shown));
  await tellAfter(bench, rows);
  tellGoals(rows);
  const minutes = option('--drift-minutes', null);
  if (minutes !== null) await tellDrift(bench, minutes);
  return Object.fromEntries(
    rows.flatMap(({ system, condition, p50, p99 }) => [
      [`${names[system]}, ${conditions[condition]}, p50`, p50],
      [`${names[system]}, ${conditions[condition]}, p99`, p99],
    ]),
  );
}

function setUp(quick) {
  const folder = workFolder();
  const flags = flagsOf();
  const reader = compile('clock-reader', folder);
  const floorProgram = compile('clock-floor', folder);
  const tmux = hasTmux();
  const only = process.argv[process.argv.indexOf('--only') + 1 || Number.POSITIVE_INFINITY] ?? null;
  const left = plans.filter(
    ([system, condition]) =>
      (!quick || quickPlans.has(`${system},${condition}`)) &&
      (only === null || condition === only) &&
      (system !== 'floor' || floorProgram !== null) &&
      (condition !== 'drawing' || tmux),
  );
  const bars = option('--bars', quick ? 4 : 12);
  const run = prepare(folder, music({ bars, bpm, passes: 1, clock: flags.clock }), flags);
  // The same with a tune: what sounds more must make nothing later.
  const withTune = join(folder, 'tune');
  mkdirSync(withTune);
  const tuneRun = prepare(withTune, music({ bars, bpm, passes: 1, clock: flags.clock, tune: true }), flags);
  return {
    quick,
    folder,
    flags,
    reader,
    floorProgram,
    tmux,
    run,
    tuneRun,
    plans: left,
    rounds: option('--rounds', quick ? 1 : 3),
    /** What the player was seen to run with. */
    means: { nice: null, realTime: false },
  };
}

async function tellBefore({ quick, flags, reader, tmux, run, plans, rounds }) {
  const seconds = plans.length * rounds * (run.music.ms / 1000 + 2);
  console.log(
    `${bpm} quarters a minute, ${rounds} rounds of ${plans.length} runs, about ${Math.ceil(seconds / 60)} minutes`,
  );
  await tellOthers('before', quick);
  if (!flags.clock)
    console.log('no MIDI clock is sent: play has no --send-clock here, so there are fewer deadlines');
  if (reader === null)
    console.log('no C compiler: the reader is in Node and less exact, and the floor is left out');
  if (!tmux) console.log('no tmux: what needs a terminal is left out');
}

/** How busy others keep the machine while this program waits: what is measured beside them is worth little. */
async function tellOthers(when, quick) {
  const times = () => cpus().flatMap((cpu) => Object.entries(cpu.times));
  const sum = (list, busyOnly) =>
    list.reduce((total, [kind, ms]) => total + (busyOnly && kind === 'idle' ? 0 : ms), 0);
  const first = times();
  await pause(quick ? 300 : 2000);
  const last = times();
  const busy = (sum(last, true) - sum(first, true)) / (sum(last, false) - sum(first, false));
  const advice = busy > mostOthers ? ': too much; run it again on a quiet machine' : '';
  console.log(`${cpus().length} cores; ${when}, others keep them ${Math.round(busy * 100)} % busy${advice}`);
}

function progress(text) {
  if (process.stderr.isTTY) console.error(text);
}

/** One run of a system under a condition: its lateness, and what else became known. */
async function measure(bench, system, condition) {
  const pipe = await openPipe(bench.folder, bench.reader, readerWays[condition]);
  const stopLoad = await load(bench, system, condition);
  const run = system === 'tune' ? bench.tuneRun : bench.run;
  try {
    const told = await senders[system](bench, pipe.path);
    if (system === 'plain') bench.means = { nice: told.nice, realTime: told.realTime };
    const batches = await pipe.close();
    return {
      ...latenessOf(batches, run.music),
      ...told,
      readerMs: readerDelays(batches, told.sent, run.schedule),
      reader: pipe.priority,
    };
  } catch (error) {
    pipe.drop();
    throw new Error(`${names[system]}, ${conditions[condition]}: ${error.message}`);
  } finally {
    stopLoad();
  }
}

const senders = {
  plain: (bench, pipe) => plain(bench.run, pipe),
  tune: (bench, pipe) => plain(bench.tuneRun, pipe),
  stand: (bench, pipe) => onStand(bench.run, pipe),
  timer: (bench, pipe) => inkTimer(bench.run, pipe),
  bare: (bench, pipe) => bareLoop(bench.run, pipe, bench.means),
  // The player's own priority, as it was seen.
  floor: (bench, pipe) => floor(bench.run, pipe, bench.floorProgram, bench.means),
};

/** What goes on beside a run. A system that draws a stand itself needs no other. */
async function load(bench, system, condition) {
  if (condition === 'busy') return keepBusy();
  if (condition === 'drawing' && system === 'floor') return drawOnly(bench.run);
  return () => {};
}

/** From handing bytes over to the reader's stamp, where the sender noted the former: what the measuring itself adds. */
function readerDelays(batches, sent, schedule) {
  if (!sent) return null;
  const delays = [];
  let batch = 0;
  let before = 0;
  let offset = 0;
  for (const [index, { hex }] of schedule.entries()) {
    while (batch < batches.length && before + batches[batch].bytes.length <= offset) {
      before += batches[batch].bytes.length;
      batch += 1;
    }
    if (batch < batches.length) delays.push(batches[batch].time - sent[index]);
    offset += hex.length / 2;
  }
  return delays.sort((one, other) => one - other);
}

/** A row: medians of the rounds; the greatest of all rounds; sums of what was missed. */
function rowOf(system, condition, rounds) {
  const middle = (name) => median(rounds.map((round) => round[name]));
  const [p50, p95, p99, p999, max] = ['p50', 'p95', 'p99', 'p999', 'max'].map(middle);
  if (![p50, p95, p99, p999, max].every(Number.isFinite))
    throw new Error(`${names[system]}: there are no figures`);
  const missed = rounds.reduce((sum, round) => sum + round.missed, 0);
  const ms = (value) => value.toFixed(3);
  return {
    system,
    condition,
    rounds,
    p50,
    p95,
    p99,
    shown: {
      system: names[system],
      condition: conditions[condition],
      deadlines: middle('count'),
      p50: ms(p50),
      p95: ms(p95),
      p99: ms(p99),
      'p99.9': ms(p999),
      max: ms(max),
      'worst of all': ms(Math.max(...rounds.map((round) => round.max))),
      missed,
    },
  };
}

/** What one must know to read the table. */
async function tellAfter(bench, rows) {
  console.log(
    'ms; p50 to max are medians of the rounds, missed is their sum; deadlines are those of one round',
  );
  console.log(
    'lateness is arrival minus musical time, counted from the least of each run: for every system in the same way',
  );
  const { nice, realTime } = bench.means;
  if (nice !== null)
    console.log(
      `the player runs at nice ${nice}${realTime ? ' and in real time' : ''}; floor and bare loop too, the timer, as programs do, at nice 0`,
    );
  for (const row of rows.filter((one) => one.system === 'floor')) tellReader(row);
  for (const row of rows) tellQuiet(row);
  await tellOthers('after', bench.quick);
}

function tellReader({ condition, rounds }) {
  const middle = (part) => median(rounds.map((round) => share(round.readerMs, part))).toFixed(3);
  const { reader } = rounds[0];
  console.log(
    `the reader (${readerWays[condition]}, ${reader}) adds, ${conditions[condition]}: p50 ${middle(0.5)}, p99 ${middle(0.99)}`,
  );
}

function tellQuiet({ system, condition, rounds }) {
  const quiet = [...new Set(rounds.flatMap((round) => round.quiet))];
  if (quiet.length > 0)
    console.log(
      `${names[system]}, ${conditions[condition]}: nothing came on channel ${quiet.map((one) => Number(one) + 1).join(', ')}, taken as switched off`,
    );
}

/** The goals, each with the figures it was judged by. */
function tellGoals(rows) {
  const of = (name, system, condition) =>
    rows.find((row) => row.system === system && row.condition === condition)?.[name];
  const p99 = (system, condition) => of('p99', system, condition);
  const judge = (text, ours, limit) => {
    const known = ours !== undefined && limit !== undefined && !Number.isNaN(limit);
    const verdict = known ? (ours <= limit ? 'yes' : 'no') : 'not measured';
    const figures = known ? ` (${ours.toFixed(3)} against ${limit.toFixed(3)})` : '';
    console.log(`  ${text}: ${verdict}${figures}`);
  };
  console.log('goals:');
  judge('idle, p99 at most the floor', p99('plain', 'idle'), p99('floor', 'idle'));
  judge(
    'with the stand, p99 at most the floor beside a stand',
    p99('stand', 'drawing'),
    p99('floor', 'drawing'),
  );
  judge(
    'cores busy, p95 at most 1.5 times the floor and 0.1 ms',
    of('p95', 'plain', 'busy'),
    1.5 * of('p95', 'floor', 'busy') + 0.1,
  );
  judge('cores busy, p99 at most 1.5 times the floor', p99('plain', 'busy'), 1.5 * p99('floor', 'busy'));
  judge(
    'with the stand, p99 ten times better than the timer',
    p99('stand', 'drawing'),
    p99('timer', 'drawing') / 10,
  );
  const drifts = rows
    .filter((row) => row.system === 'plain')
    .flatMap((row) => row.rounds.map((round) => round.drift));
  if (drifts.length > 0)
    console.log(`drift of barkline within a run: at most ${Math.max(...drifts.map(Math.abs)).toFixed(3)} ms`);
}

/** Plays on for minutes and tells the drift of that. */
async function tellDrift(bench, minutes) {
  const run = prepare(
    bench.folder,
    music({ ...lengthOf(minutes, bpm), bpm, clock: bench.flags.clock }),
    bench.flags,
  );
  progress(`playing for ${minutes} minutes`);
  const pipe = await openPipe(bench.folder, bench.reader, 'poll');
  await plain(run, pipe.path);
  const { drift, count, missed } = latenessOf(await pipe.close(), run.music);
  console.log(`drift over ${minutes} minutes: ${drift.toFixed(3)} ms (${count} deadlines, missed ${missed})`);
}
