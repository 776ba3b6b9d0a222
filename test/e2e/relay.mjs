// arecord … | node relay.mjs FILE | aplay …: hands sound on, so many samples later as stands in a file, which may change meanwhile. Samples are 32-bit
// floats of one channel; what is played first is a quarter of a second of silence, so that the player never runs dry.
import { readFileSync } from 'node:fs';

const sampleBytes = 4;
const wanted = () => sampleBytes * (Number(readFileSync(process.argv[2], 'utf8')) || 0);
let held = Buffer.alloc(wanted());
let looked = 0;
process.stdout.write(Buffer.alloc(12_000 * sampleBytes));
process.stdin.on('data', (data) => {
  looked += 1;
  if (looked % 20 === 0) {
    const more = wanted() - held.length;
    // Whole samples are held, whatever part of one a piece ends with.
    held = more > 0 ? Buffer.concat([Buffer.alloc(more), held]) : held.subarray(-more);
  }
  const all = Buffer.concat([held, data]);
  process.stdout.write(all.subarray(0, data.length));
  held = all.subarray(data.length);
});
