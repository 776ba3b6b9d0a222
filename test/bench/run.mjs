// npm run bench -- chart, hand, diary, stand, clock, set, exchange, tunes [PATH], listen, listen-verdict, listen-cost, ear, band, band-link, calibration or soak: times in one run, printed as a table.
// With --quick it takes seconds and judges only that everything works; --quick alone runs all of them so.
// The status is 1 when one throws, has no figure or never ends.
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { judged } from './figures.mjs';

/** Each is called with `quick` and answers its figures, numbers by name. What it needs is loaded only when it is run. */
const benches = {
  chart: async (quick) => (await import('./chart.mjs')).benchChart(quick),
  hand: async (quick) => (await import('./hand.mjs')).benchHand(quick),
  diary: async (quick) => (await import('./diary.mjs')).benchDiary(quick),
  stand: async (quick) => (await import('./stand-bench.mjs')).benchStand(quick),
  clock: async (quick) => (await import('./clock.mjs')).benchClock(quick),
  set: async (quick) => (await import('./set-bench.mjs')).benchSet(quick),
  exchange: async (quick) => (await import('./exchange.mjs')).benchExchange(quick),
  tunes: async () => (await import('./tunes.mjs')).benchTunes(),
  listen: async (quick) => (await import('./listen.mjs')).benchListen(quick),
  'listen-verdict': async (quick) => (await import('./listen-verdict.mjs')).benchListenVerdict(quick),
  'listen-cost': async (quick) => (await import('./listen-cost.mjs')).benchListenCost(quick),
  ear: async (quick) => (await import('./ear.mjs')).benchEar(quick),
  calibration: async () => (await import('./calibration.mjs')).benchCalibration(),
  band: async (quick) => (await import('./band.mjs')).benchBand(quick),
  'band-link': async (quick) => (await import('./band-link.mjs')).benchBandLink(quick),
  soak: async (quick) => (await import('./soak.mjs')).benchSoak(quick),
};

/** It has no quick kind: a machine is emulated, and test/e2e does the quick thing. */
const notQuick = 'calibration';
/** A quick bench that takes longer hangs, ms: the longest takes half a minute. */
const mostMs = 180_000;

const quick = process.argv.includes('--quick');
const name = process.argv[2];
if (benches[name]) await runOne(name);
else if (quick && name.startsWith('--')) runAll();
else {
  console.error(
    `usage: npm run bench -- ${Object.keys(benches).join('|')} [--quick], or --quick alone for all`,
  );
  process.exitCode = 2;
}

async function runOne(name) {
  const { count, fault } = await judged(benches[name], quick);
  if (fault === null) return console.log(`bench ${name}: ${count} figures`);
  console.error(`bench ${name}: ${fault}`);
  // A bench that failed may have left something open, which must not keep the process.
  process.exit(process.exitCode || 1);
}

/** Each in a process of its own: what one leaves in memory is no concern of the next. */
function runAll() {
  const begun = performance.now();
  const rows = Object.keys(benches)
    .filter((name) => name !== notQuick)
    .map((name) => {
      console.log(`\n-- ${name}`);
      const started = performance.now();
      const { status, signal } = spawnSync(
        process.execPath,
        [fileURLToPath(import.meta.url), name, '--quick'],
        {
          stdio: ['ignore', 'inherit', 'inherit'],
          timeout: mostMs,
        },
      );
      const seconds = ((performance.now() - started) / 1000).toFixed(1);
      return { bench: name, seconds, well: status === 0 ? 'yes' : `no (${signal ?? `status ${status}`})` };
    });
  console.table(rows);
  console.log(`all in ${((performance.now() - begun) / 1000).toFixed(0)} s`);
  if (rows.some(({ well }) => well !== 'yes')) process.exitCode = 1;
}
