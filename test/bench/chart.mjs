// npm run bench -- chart: how long charts take to be read and unrolled, and how that grows with their length.
import { readdirSync, readFileSync } from 'node:fs';
import { readChart } from '../../dist/chart/read.js';
import { unroll } from '../../dist/chart/unroll.js';
import { medianTime } from './figures.mjs';

const line = '    1 4 (1 5) 6-^7\n';
const folder = new URL('../../charts/', import.meta.url);

/** Charts of growing length, and the demo charts, warm. */
export function benchChart(quick) {
  const figures = {};
  const rows = [];
  let before = null;
  for (const bars of [100, 1000, 10_000]) {
    const bytes = Buffer.from(`title: T\nkey: A\nsections:\n  V: |\n${line.repeat(bars / 4)}`);
    const reading = readChart(bytes);
    if (!reading.ok || unroll(reading.value).bars.length !== bars) throw new Error('the chart does not read');
    const [rounds, warmUp] = quick ? [3, 1] : [15, 5];
    const read = medianTime(() => readChart(bytes), rounds, warmUp);
    const unrolled = medianTime(() => unroll(reading.value), rounds, warmUp);
    figures[`${bars} bars, read`] = read;
    figures[`${bars} bars, unroll`] = unrolled;
    rows.push({
      what: `${bars} bars`,
      'read ms': read.toFixed(2),
      'unroll ms': unrolled.toFixed(2),
      'times the one before': before === null ? '' : ((read + unrolled) / before).toFixed(1),
    });
    before = read + unrolled;
  }
  console.table(rows);
  return { ...figures, ...benchDemos(quick) };
}

function benchDemos(quick) {
  const demos = readdirSync(folder).filter((name) => name.endsWith('.yaml') && !name.includes('gathering'));
  const times = demos.map((name) => {
    const bytes = readFileSync(new URL(name, folder));
    return medianTime(() => unroll(readChart(bytes).value), quick ? 5 : 51, quick ? 10 : 100);
  });
  console.table(
    demos.map((chart, index) => ({ chart, 'read and unroll ms, warm': times[index].toFixed(3) })),
  );
  const slowest = Math.max(...times);
  console.log(`slowest demo chart: ${slowest.toFixed(3)} ms (goal: under 1)`);
  return { 'slowest demo chart': slowest };
}
