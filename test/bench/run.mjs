// npm run bench -- chart, hand, diary, stand, clock, set or exchange: times in one run, printed as a table.
import { readdirSync, readFileSync } from 'node:fs';
import { readChart } from '../../dist/chart/read.js';
import { unroll } from '../../dist/chart/unroll.js';
import { changesOf } from '../../dist/hand/changes.js';
import { mandolin } from '../../dist/hand/instrument.js';
import { planHand } from '../../dist/hand/plan.js';

const benches = {
  chart: benchChart,
  hand: benchHand,
  diary: async () => (await import('./diary.mjs')).benchDiary(),
  stand: async () => (await import('./stand-bench.mjs')).benchStand(),
  clock: async () => (await import('./clock.mjs')).benchClock(),
  set: async () => (await import('./set-bench.mjs')).benchSet(),
  exchange: async () => (await import('./exchange.mjs')).benchExchange(),
};
const bench = benches[process.argv[2]];
if (!bench) {
  console.error(`usage: npm run bench -- ${Object.keys(benches).join('|')}`);
  process.exit(2);
}
await bench();

/** The median time of a call, in ms, after a warm-up. */
function time(call, rounds = 15, warmUp = 5) {
  for (let index = 0; index < warmUp; index += 1) call();
  const times = Array.from({ length: rounds }, () => {
    const start = performance.now();
    call();
    return performance.now() - start;
  }).sort((one, other) => one - other);
  return times[Math.floor(times.length / 2)];
}

function benchChart() {
  const line = '    1 4 (1 5) 6-^7\n';
  const chartOf = (bars) => Buffer.from(`title: T\nkey: A\nsections:\n  V: |\n${line.repeat(bars / 4)}`);
  const rows = [];
  let before = null;
  for (const bars of [100, 1000, 10_000]) {
    const bytes = chartOf(bars);
    const reading = readChart(bytes);
    if (!reading.ok || unroll(reading.value).bars.length !== bars) throw new Error('the chart does not read');
    const read = time(() => readChart(bytes));
    const played = time(() => unroll(reading.value));
    rows.push({
      what: `${bars} bars`,
      'read ms': read.toFixed(2),
      'unroll ms': played.toFixed(2),
      'times the one before': before === null ? '' : ((read + played) / before).toFixed(1),
    });
    before = read + played;
  }
  console.table(rows);

  const folder = new URL('../../charts/', import.meta.url);
  const demos = readdirSync(folder).filter((name) => name.endsWith('.yaml') && !name.includes('gathering'));
  const each = demos.map((name) => {
    const bytes = readFileSync(new URL(name, folder));
    for (let index = 0; index < 100; index += 1) readChart(bytes);
    return {
      chart: name,
      'read and unroll ms, warm': time(() => unroll(readChart(bytes).value), 51).toFixed(3),
    };
  });
  console.table(each);
  const worst = Math.max(...each.map((one) => Number(one['read and unroll ms, warm'])));
  console.log(`slowest demo chart: ${worst} ms (goal: under 1)`);
}

function benchHand() {
  // Twelve different chords, many of them a bar from the other: more entangled than any song.
  const numbers = ['1', '4', '5', '6-', '2-', '2^7', 'b7', '3-', '5^7', '1^7', '4-', '6^7'];
  const chartOf = (bars, key = 'A') => {
    let state = 7;
    const lines = [];
    for (let bar = 0; bar < bars; bar += 4) {
      lines.push(
        `    ${Array.from({ length: 4 }, () => {
          state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
          return numbers[Math.floor((state / 2 ** 32) * numbers.length)];
        }).join(' ')}`,
      );
    }
    const reading = readChart(Buffer.from(`title: T\nkey: ${key}\nsections:\n  V: |\n${lines.join('\n')}\n`));
    if (!reading.ok) throw new Error('the chart does not read');
    return changesOf(unroll(reading.value).bars);
  };
  const rows = [];
  for (const bars of [64, 1000, 10_000]) {
    const changes = chartOf(bars);
    for (const [hold, voicings] of [
      ['steady', 'stock'],
      ['free', 'stock'],
      ['steady', 'any'],
      ['free', 'any'],
    ]) {
      const start = performance.now();
      planHand(changes, mandolin, { hold, voicings });
      const cold = performance.now() - start;
      rows.push({
        bars,
        changes: changes.length,
        hold,
        voicings,
        'first ms': cold.toFixed(1),
        'warm ms': time(() => planHand(changes, mandolin, { hold, voicings }), 5, 1).toFixed(1),
      });
    }
  }
  const keys = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'].map((key) => {
    const changes = chartOf(64, key);
    const start = performance.now();
    planHand(changes, mandolin);
    return performance.now() - start;
  });
  console.table(rows);
  console.log(`64 bars in each of twelve keys, once: at most ${Math.max(...keys).toFixed(1)} ms`);
  console.log(
    'goals: 64 bars, steady, stock, warm: 50 ms; 1000 bars: 100 ms; a new key within a beat at 260: 231 ms',
  );
  console.log(`peak memory ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MiB`);
}
