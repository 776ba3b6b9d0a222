// npm run bench -- hand: how long the plan of the hand takes and how much memory, for charts of growing length, and in every key.
// With --against DIST another build of the program is timed beside this one, each plan in turn.
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { once, plansOf } from './hand-plans.mjs';

const keys = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const dist = fileURLToPath(new URL('../../dist', import.meta.url));
const plans = fileURLToPath(new URL('./hand-plans.mjs', import.meta.url));

/** Times some plans with a build, in a process of their own. */
function timed(build, bars, sections, hold, voicings, rounds) {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [plans, build, ...[bars, sections].map(String), hold, voicings, String(rounds)],
    { encoding: 'utf8' },
  );
  if (status !== 0) throw new Error(stderr.trim().split('\n').at(-1) ?? `status ${status}`);
  return JSON.parse(stdout);
}

/** Plans of growing length, in every way there is; then a song in each key, once. */
export async function benchHand(quick) {
  const asked = process.argv.indexOf('--against');
  const other = asked < 0 ? null : process.argv[asked + 1];
  const figures = {};
  const rows = [];
  let memory = 0;
  const charts = [[64, 1], [64, 4], [1000, 1], ...(quick ? [] : [[10_000, 1]])];
  for (const [bars, sections] of charts) {
    for (const voicings of ['stock', 'any']) {
      for (const hold of ['steady', 'free']) {
        const rounds = quick ? 1 : 5;
        const before = other && timed(other, bars, sections, hold, voicings, rounds);
        const now = timed(dist, bars, sections, hold, voicings, rounds);
        memory = Math.max(memory, now.memory);
        const name = `${bars} bars, ${sections} ${sections === 1 ? 'section' : 'sections'}, ${hold}, ${voicings}`;
        figures[`${name}, first`] = now.first;
        figures[`${name}, warm`] = now.warm;
        rows.push({
          bars,
          sections,
          changes: now.changes,
          voicings,
          hold,
          ...(before && shown(before, 'other: ')),
          ...shown(now, ''),
        });
      }
    }
  }
  console.table(rows);
  const { changesIn, plan } = await plansOf(dist);
  const slowestKey = Math.max(
    ...keys.map((key) => {
      const changes = changesIn(64, { key });
      return once(() => plan(changes, {}));
    }),
  );
  console.log(`64 bars in each of twelve keys, once: at most ${slowestKey.toFixed(1)} ms`);
  console.log(`peak memory of a process that plans: ${memory.toFixed(0)} MiB`);
  console.log(
    'goals: 64 bars, warm: 50 ms; 1000 bars: 150 ms, and beyond no more for each bar; 250 MiB; a new key within a beat at 260: 231 ms',
  );
  return { ...figures, 'a new key': slowestKey, 'peak memory': memory };
}

function shown({ first, warm, memory }, prefix) {
  return {
    [`${prefix}first ms`]: first.toFixed(1),
    [`${prefix}warm ms`]: warm.toFixed(1),
    [`${prefix}peak MiB`]: memory.toFixed(0),
  };
}
