import { statSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import { ClockReader, type Input, type OnClock } from './input.js';

/** Listens to a named pipe or a raw MIDI device. Throws a sentence when the path is no such thing. */
export function openRawInput(path: string, onClock: OnClock, onTrouble: (message: string) => void): Input {
  const stat = statSync(path, { throwIfNoEntry: false });
  if (!stat) throw new Error(`there is no ${path}; make a pipe with mkfifo, or name a raw MIDI device`);
  if (stat.isFile() || stat.isDirectory())
    throw new Error(`${path} is no named pipe or raw MIDI device, so no clock can be heard there`);
  // Read and stamped in a thread of its own: ours may be waiting for a note when a byte comes.
  const worker = new Worker(new URL('./raw-worker.js', import.meta.url), { workerData: { path } });
  const reader = new ClockReader(onClock);
  worker.on('message', ([time, bytes]: [number, Uint8Array]) => {
    for (const value of bytes) reader.byte(value, time);
  });
  worker.on('error', (error) => onTrouble(`${path} can no longer be read: ${error.message}`));
  worker.unref();
  return { label: `raw ${path}`, close: () => void worker.terminate() };
}
