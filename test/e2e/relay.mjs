// arecord … | node relay.mjs FILE | aplay …: hands sound on, so many samples later as stands in a file, which may change meanwhile. Samples are 32-bit
// floats of one channel, 48000 a second. A tenth of a second of silence comes first, so that the player never runs dry.
import { readFileSync } from 'node:fs';

const sampleBytes = 4;
const silence = 4800;
/** What comes so soon, ms, was recorded while this program was still being started: it would be late for good. */
const early = 1500;
const wanted = () => sampleBytes * (Number(readFileSync(process.argv[2], 'utf8')) || 0);

let held = null;
let looked = 0;
process.stdin.on('data', (data) => {
  if (held === null) {
    if (performance.now() < early) return;
    held = Buffer.alloc(wanted());
    process.stdout.write(Buffer.alloc(silence * sampleBytes));
  }
  looked += 1;
  if (looked % 20 === 0) {
    const more = wanted() - held.length;
    if (more !== 0) held = more > 0 ? Buffer.concat([Buffer.alloc(more), held]) : held.subarray(-more);
  }
  const all = Buffer.concat([held, data]);
  process.stdout.write(all.subarray(0, data.length));
  held = all.subarray(data.length);
});
