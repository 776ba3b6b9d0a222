import { hrtimeMs } from '../../player/host.js';
import { ParentWatch } from '../../player/parent-watch.js';
import { ignoreTerminal } from '../ignore-terminal.js';
import type { FromBroker, ToBroker } from './messages.js';
import { BandBroker } from './serve.js';

/*
 * The broker's process: what strangers send reaches nothing but this. It ends when its parent has gone, and never touches the
 * terminal.
 */

const lookMs = 500;
let broker: BandBroker | null = null;
let leaving = false;

function tell(message: FromBroker): void {
  if (!process.connected) return;
  try {
    process.send?.(message, undefined, undefined, () => {});
  } catch {
    // The parent has just gone; the disconnect that follows ends this process.
  }
}

function obey(message: ToBroker): void {
  if (leaving) return;
  switch (message.kind) {
    case 'open':
      if (broker) return;
      broker = new BandBroker(message.options, hrtimeMs, tell);
      broker.open().catch((error: Error) => fail(error));
      break;
    case 'leader':
      broker?.setLeader(message.id);
      break;
    case 'turn-away':
      broker?.turnAway(message.id);
      break;
    case 'ping':
      tell({ kind: 'pong' });
      break;
    case 'quit':
      leave(0);
  }
}

/** Closes what is open. Nothing that fails or waits may keep the process from ending. */
function leave(code: number): void {
  if (leaving) return;
  leaving = true;
  setTimeout(() => process.exit(code), 300);
  const closing = broker?.close() ?? Promise.resolve();
  closing.catch(() => {}).finally(() => process.exit(code));
}

function fail(error: Error): void {
  tell({ kind: 'trouble', sentence: `the band’s broker has failed (${error.message}); it is started again` });
  // The process is in an unknown state, so nothing is closed in order.
  setImmediate(() => process.exit(1));
}

const parent = new ParentWatch(Number(process.argv[2]) || process.ppid, hrtimeMs, () => leave(0));
process.on('message', (message) => obey(message as ToBroker));
process.on('disconnect', () => leave(0));
setInterval(parent.look, lookMs);
process.on('SIGTERM', () => leave(0));
ignoreTerminal();
process.on('uncaughtException', fail);
process.on('unhandledRejection', (reason) =>
  fail(reason instanceof Error ? reason : new Error(String(reason))),
);
process.stderr.on('error', () => {});

tell({ kind: 'ready' });
