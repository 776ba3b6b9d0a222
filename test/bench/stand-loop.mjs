// Loaded into the interface's process by NODE_OPTIONS: measures how long its event loop is kept from running. A timer is due
// every millisecond; what is told is how much later than that it came, so it holds the timer's own lateness too, and is
// never less than the longest block.
import { writeFileSync } from 'node:fs';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { isMainThread } from 'node:worker_threads';

const file = process.env.BARKLINE_LOOP;
if (file && isMainThread && process.argv[1]?.endsWith('main.js')) {
  const delay = monitorEventLoopDelay({ resolution: 1 });
  // What happens before the music is not what is asked about.
  setTimeout(() => delay.enable(), 5000).unref();
  process.on('exit', () => {
    const ms = (ns) => ns / 1e6 - 1;
    writeFileSync(
      file,
      JSON.stringify({ p50: ms(delay.percentile(50)), p99: ms(delay.percentile(99)), max: ms(delay.max) }),
    );
  });
}
