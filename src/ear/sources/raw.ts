import { constants, openSync, statSync } from 'node:fs';
import { Socket } from 'node:net';
import { hrtimeMs } from '../../player/host.js';
import { unfit } from '../../player/outputs/raw-kind.js';
import { PieceReader } from './pieces.js';
import { CannotHear, type Source, type SourceEvents } from './source.js';

/** Full scale is 1; a writer may go beyond it, but not so far. */
const loudest = 4;

/** A sample that is one, whatever a writer sent: one that is not finite or huge would be heard in every level that is followed, for good. */
function sane(sample: number): number {
  if (Number.isNaN(sample)) return 0;
  return Math.max(-loudest, Math.min(loudest, sample));
}

/** Listens to a named pipe of 32-bit floating point samples of one channel, at a sample rate of its writer's. Throws `CannotHear`. */
export function openRawSound(path: string, rate: number, events: SourceEvents): Source {
  const stat = statSync(path, { throwIfNoEntry: false });
  const fault = stat
    ? unfit(stat, path, 'what is listened to')
    : `there is no ${path}; make a pipe with mkfifo`;
  if (fault) throw new CannotHear(fault, 'absent');
  let socket: Socket;
  try {
    // For writing too, so that the pipe never ends while writers come and go.
    const flags = constants.O_RDWR | (constants.O_NONBLOCK ?? 0) | (constants.O_NOCTTY ?? 0);
    socket = new Socket({ fd: openSync(path, flags), readable: true, writable: false });
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new CannotHear(`${path} cannot be opened (${code}); make a pipe of your own with mkfifo`, 'denied');
  }
  const reader = new PieceReader({ kind: 'float', bits: 32 });
  socket.on('data', (data: Buffer) => {
    const samples = reader.take(data);
    if (samples.length > 0) events.onSound(samples.map(sane), hrtimeMs());
  });
  socket.on('error', () => events.onGone(`${path} can no longer be read; make the pipe again`));
  return { name: path, rate, by: 'pipe', close: () => void socket.destroy() };
}
