// The pipe's reader where there is no C compiler: node clock-reader.mjs PATH poll|spin. See clock-reader.c.
import { constants, openSync, readSync } from 'node:fs';
import { getPriority, setPriority } from 'node:os';

const [path, how] = process.argv.slice(2);
const spin = how === 'spin';
// Open for writing too, so that the pipe does not end while writers come and go. A blocking read sleeps.
const pipe = openSync(path, constants.O_RDWR | (spin ? constants.O_NONBLOCK : 0));
const buffer = Buffer.alloc(65536);
const lines = [];

if (!spin) {
  try {
    setPriority(-20);
  } catch {
    // Not permitted: its turn then comes later under load.
  }
}
process.stdout.write(`ready nice ${getPriority()}, in Node\n`);

/** Waits for what arrives next and notes it; answers whether the end mark was in it. */
function take() {
  let length = 0;
  try {
    length = readSync(pipe, buffer);
  } catch (error) {
    if (error.code !== 'EAGAIN') throw error;
    return false;
  }
  lines.push(`${process.hrtime.bigint()} ${buffer.toString('hex', 0, length)}`);
  return buffer[length - 1] === 0xff;
}

while (!take());
process.stdout.write(`${lines.join('\n')}\n`);
