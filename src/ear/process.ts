import { hrtimeMs } from '../player/host.js';
import { ParentWatch } from '../player/parent-watch.js';
import { Listening, lookMs } from './listening.js';
import type { EarPong, FromEar, ToEar } from './messages.js';
import { rehearse } from './rehearse.js';
import { listMicrophones } from './sources/microphones.js';
import { openSource } from './sources/open.js';

/*
 * The ear's process. It listens and tells what strokes it heard; what they were meant to be is the parent's. It ends when the
 * parent has gone, and never touches the terminal.
 */

let leaving = false;
let rehearsed = false;

function announce(message: FromEar | EarPong): void {
  if (!process.connected) return;
  try {
    process.send?.(message, undefined, undefined, () => {});
  } catch {
    // The parent has just gone; the disconnect that follows ends this process.
  }
}

const listening = new Listening(
  {
    now: hrtimeMs,
    later: (act, ms) => void setTimeout(act, ms),
    open: openSource,
    waited,
  },
  announce,
);
const parent = new ParentWatch(Number(process.argv[2]) || process.ppid, hrtimeMs, () => leave(0));

function obey(message: ToEar): void {
  if (leaving) return;
  switch (message.kind) {
    case 'open':
      if (!rehearsed) rehearse();
      rehearsed = true;
      listening.open(message.from, message.keep, message.again);
      break;
    case 'close':
      listening.close();
      break;
    case 'list':
      listMicrophones().then((found) => announce({ kind: 'microphones', ...found }));
      break;
    case 'ahead':
      listening.announce(message.sounds, message.from);
      break;
    case 'delay':
      listening.setDelay(message.ms);
      break;
    case 'courses':
      listening.tune(message.courses);
      break;
    case 'ping':
      announce({ kind: 'pong' });
      break;
    case 'quit':
      leave(0);
  }
}

/** Less than this is not waiting, ms: a loop that has always something to do still asks the system for news. */
const leastWait = 0.3;
let idle = performance.eventLoopUtilization().idle;
function waited(): boolean {
  const before = idle;
  idle = performance.eventLoopUtilization().idle;
  return idle - before > leastWait;
}

/** Closes the source and what is kept. Nothing that fails may keep the process from ending. */
function leave(code: number): void {
  if (leaving) return;
  leaving = true;
  try {
    listening.close();
  } catch {
    // There is nobody left to tell.
  }
  process.exit(code);
}

process.on('message', (message) => obey(message as ToEar));
process.on('disconnect', () => leave(0));
setInterval(() => {
  parent.look();
  listening.look();
}, lookMs);
for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP'] as const) process.on(signal, () => leave(0));
process.on('uncaughtException', (error) => {
  announce({
    kind: 'trouble',
    sentence: `the listening process failed (${error.message}); it is being started again`,
  });
  leave(1);
});
process.stderr.on('error', () => {});

announce({ kind: 'ready' });
