import { closeSync, constants, openSync, readSync } from 'node:fs';
import { parentPort, workerData } from 'node:worker_threads';
import { hrtimeMs } from '../host.js';

/*
 * Reads a pipe or device without ever blocking in the system, so that the thread can be ended, and stamps what comes
 * with the time at which it was seen, half a millisecond late on the average.
 */

const { path } = workerData as { path: string };
/** How often it is looked whether bytes have come, ms. */
const lookMs = 1;
const bytes = Buffer.alloc(256);
const never = new Int32Array(new SharedArrayBuffer(4));
let descriptor = openSync(path, constants.O_RDONLY | constants.O_NONBLOCK);

function look(): void {
  try {
    for (let count = read(); count > 0; count = read())
      parentPort?.postMessage([hrtimeMs(), Uint8Array.from(bytes.subarray(0, count))]);
  } catch {
    // The device has gone: it is opened anew when it is back.
    reopen();
  }
  Atomics.wait(never, 0, 0, lookMs);
  setImmediate(look);
}

function read(): number {
  try {
    return readSync(descriptor, bytes);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EAGAIN') return 0;
    throw error;
  }
}

function reopen(): void {
  try {
    closeSync(descriptor);
  } catch {
    // It was closed already.
  }
  try {
    descriptor = openSync(path, constants.O_RDONLY | constants.O_NONBLOCK);
  } catch {
    Atomics.wait(never, 0, 0, 200);
  }
}

look();
