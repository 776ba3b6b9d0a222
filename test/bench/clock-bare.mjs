// A bare loop in one Node process: timer, blocking wait, spin, write, and nothing else. What the player could come to.
//
//     node clock-bare.mjs JOB NICE
//
// JOB is a JSON file as for ink-timer.mjs; of it the pipe and the schedule are used.
import { constants, openSync, readFileSync, writeFileSync, writeSync } from 'node:fs';
import { setPriority } from 'node:os';

/** The player's own figures: how long before a deadline the timer fires, and how long it spins, ms. */
const marginMs = 3;
const spinMs = 0.12;
const startMs = 300;

const [path, nice] = process.argv.slice(2);
const job = JSON.parse(readFileSync(path, 'utf8'));
const pipe = openSync(job.pipe, constants.O_WRONLY | constants.O_NONBLOCK);
try {
  setPriority(Number(nice));
  // The session's priority too, as the player does.
  writeFileSync('/proc/self/autogroup', nice);
} catch {
  // Not permitted: it runs as it is.
}
const never = new Int32Array(new SharedArrayBuffer(4));
const start = performance.now() + startMs;
const messages = job.schedule.map(({ ms, hex }) => ({ time: start + ms, bytes: Buffer.from(hex, 'hex') }));
let next = 0;

function fire() {
  while (next < messages.length && messages[next].time - performance.now() <= marginMs) {
    const { time, bytes } = messages[next];
    const rest = time - performance.now() - spinMs;
    if (rest > 0) Atomics.wait(never, 0, 0, rest);
    while (performance.now() < time);
    writeSync(pipe, bytes);
    next += 1;
  }
  if (next < messages.length)
    setTimeout(fire, Math.floor(messages[next].time - performance.now() - marginMs));
}
setTimeout(fire, startMs / 2);
