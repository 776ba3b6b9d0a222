import { closeSync, constants, fstatSync, openSync, readSync } from 'node:fs';
import { parentPort, workerData } from 'node:worker_threads';
import { hrtimeMs } from '../host.js';
import { unfit } from '../outputs/raw-kind.js';

/*
 * Reads a pipe or device without ever blocking in the system, so that the thread can be ended, and stamps what comes
 * with the time at which it was seen, half a millisecond late on the average.
 */

const { path } = workerData as { path: string };
/** How often to check whether bytes have come, ms. */
const lookMs = 1;
const bytes = Buffer.alloc(256);
const never = new Int32Array(new SharedArrayBuffer(4));
/** No descriptor: reading from it fails. */
const none = -1;
let descriptor = open();

/** Opens the path; throws a sentence when what is there is neither pipe nor device, or no longer is. */
function open(): number {
  const opened = openSync(path, constants.O_RDONLY | constants.O_NONBLOCK | constants.O_NOCTTY);
  const fault = unfit(fstatSync(opened), path, 'what is listened to');
  if (fault === null) return opened;
  closeSync(opened);
  throw new Error(fault);
}

function look(): void {
  try {
    // One read each time: no cable is faster, and an endless source must leave time for everything else.
    const count = read();
    if (count > 0) parentPort?.postMessage([hrtimeMs(), Uint8Array.from(bytes.subarray(0, count))]);
  } catch {
    // The device has gone: it is opened again when it is back.
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
  // A closed descriptor's number may soon be another's.
  if (descriptor >= 0) closeSync(descriptor);
  descriptor = none;
  try {
    descriptor = open();
  } catch {
    Atomics.wait(never, 0, 0, 200);
  }
}

look();
