// npm run bench -- hand: how long the plan of the hand takes, for charts of growing length and in every key.
import { readChart } from '../../dist/chart/read.js';
import { unroll } from '../../dist/chart/unroll.js';
import { changesOf } from '../../dist/hand/changes.js';
import { mandolin } from '../../dist/hand/instrument.js';
import { planHand } from '../../dist/hand/plan.js';
import { medianTime } from './figures.mjs';

// Twelve different chords, many of them a bar from the other: more entangled than any song.
const numbers = ['1', '4', '5', '6-', '2-', '2^7', 'b7', '3-', '5^7', '1^7', '4-', '6^7'];
const keys = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

function changesIn(bars, key = 'A') {
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
}

/** The time of one call, ms. */
function once(call) {
  const start = performance.now();
  call();
  return performance.now() - start;
}

/** Plans of growing length, in every way there is; then a song in each key, once. */
export function benchHand(quick) {
  const figures = {};
  const rows = [];
  for (const bars of quick ? [64, 1000] : [64, 1000, 10_000]) {
    const changes = changesIn(bars);
    for (const [hold, voicings] of [
      ['steady', 'stock'],
      ['free', 'stock'],
      ['steady', 'any'],
      ['free', 'any'],
    ]) {
      // Every shape there is, for a long chart: that alone takes longer than all else.
      if (quick && voicings === 'any' && bars > 64) continue;
      const plan = () => planHand(changes, mandolin, { hold, voicings });
      const cold = once(plan);
      const warm = quick ? medianTime(plan, 1, 0) : medianTime(plan, 5, 1);
      figures[`${bars} bars, ${hold}, ${voicings}, first`] = cold;
      figures[`${bars} bars, ${hold}, ${voicings}, warm`] = warm;
      rows.push({
        bars,
        changes: changes.length,
        hold,
        voicings,
        'first ms': cold.toFixed(1),
        'warm ms': warm.toFixed(1),
      });
    }
  }
  const slowestKey = Math.max(
    ...keys.map((key) => {
      const changes = changesIn(64, key);
      return once(() => planHand(changes, mandolin));
    }),
  );
  console.table(rows);
  console.log(`64 bars in each of twelve keys, once: at most ${slowestKey.toFixed(1)} ms`);
  console.log(
    'goals: 64 bars, steady, stock, warm: 50 ms; 1000 bars: 100 ms; a new key within a beat at 260: 231 ms',
  );
  const memory = process.resourceUsage().maxRSS / 1024;
  console.log(`peak memory ${memory.toFixed(0)} MiB`);
  return { ...figures, 'a new key': slowestKey, 'peak memory': memory };
}
