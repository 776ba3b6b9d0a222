import { statSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import { unfit } from '../outputs/raw-kind.js';
import { ClockReader, type Input, type OnClock } from './input.js';

/** Listens for the clock of a named pipe or a raw MIDI device. Throws a sentence when the path is neither. */
export function openRawInput(path: string, onClock: OnClock, onTrouble: (message: string) => void): Input {
  const reader = new ClockReader(onClock);
  return openRawBytes(path, (value, time) => reader.byte(value, time), onTrouble);
}

/** Listens to a pipe or device byte by byte, each with the time of its arrival. Throws as `openRawInput` does. */
export function openRawBytes(
  path: string,
  onByte: (value: number, time: number) => void,
  onTrouble: (message: string) => void,
): Input {
  const stat = statSync(path, { throwIfNoEntry: false });
  if (!stat) throw new Error(`there is no ${path}; make a pipe with mkfifo, or name a raw MIDI device`);
  const fault = unfit(stat, path, 'what is listened to');
  if (fault) throw new Error(fault);
  // Read and stamped in a thread of its own: ours may be waiting for a note when a byte comes.
  const worker = new Worker(new URL('./raw-worker.js', import.meta.url), { workerData: { path } });
  worker.on('message', ([time, bytes]: [number, Uint8Array]) => {
    for (const value of bytes) onByte(value, time);
  });
  worker.on('error', (error) => onTrouble(`${path} can no longer be read: ${error.message}`));
  worker.unref();
  return { label: `raw ${path}`, close: () => void worker.terminate() };
}
