// npm run bench -- chart: times of the chart's reader, in one run, printed as a table.
import { readdirSync, readFileSync } from 'node:fs';
import { readChart } from '../../dist/chart/read.js';
import { unroll } from '../../dist/chart/unroll.js';

if (process.argv[2] !== 'chart') {
  console.error('usage: npm run bench -- chart');
  process.exit(2);
}

/** The median time of a call, in ms, after a warm-up. */
function time(call, rounds = 15) {
  for (let index = 0; index < 5; index += 1) call();
  const times = Array.from({ length: rounds }, () => {
    const start = performance.now();
    call();
    return performance.now() - start;
  }).sort((one, other) => one - other);
  return times[Math.floor(times.length / 2)];
}

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
