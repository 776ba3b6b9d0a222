import { spawnSync } from 'node:child_process';
import { writeSync } from 'node:fs';
import { setPriority } from 'node:os';
import { machineHost } from './host.js';
import { Loop } from './loop.js';
import type { FromPlayer, ToPlayer } from './messages.js';
import { destinations, openOutput } from './outputs/open.js';
import { type Output, openNone } from './outputs/output.js';

/** The descriptor on which the child inherits the terminal, when there is one. */
const terminalDescriptor = 4;
const wantedPriority = -10;

/*
 * The player's process. It keeps time and sends, and knows nothing of charts. It must end well whatever
 * becomes of the parent: what sounds is silenced, and a terminal that the parent left behind is put back.
 */

let output: Output = openNone();
let leaving = false;
let terminal: { modes: string; screen: string } | null = null;
/** Opening is asynchronous: one after the other, in the order asked for. */
let opening: Promise<void> = Promise.resolve();

const loop = new Loop(machineHost(), announce);
loop.setOutput(output);

function announce(message: FromPlayer): void {
  if (!process.connected) return;
  try {
    process.send?.(message, undefined, undefined, () => {});
  } catch {
    // The parent has just gone; the disconnect that follows ends this process.
  }
}

async function open(outs: Extract<ToPlayer, { kind: 'open' }>['outs']): Promise<void> {
  const refused: string[] = [];
  for (const out of outs) {
    try {
      const opened = await openOutput(out, (message) => announce({ kind: 'trouble', message }));
      const before = output;
      output = opened;
      loop.setOutput(opened);
      before.close();
      announce({ kind: 'opened', out, label: opened.label, lead: opened.lead, refused });
      return;
    } catch (error) {
      refused.push((error as Error).message);
    }
  }
  announce({ kind: 'failed', reasons: refused });
}

function obey(message: ToPlayer): void {
  switch (message.kind) {
    case 'open':
      opening = opening.then(() => open(message.outs));
      break;
    case 'list':
      destinations().then((found) => announce({ kind: 'destinations', destinations: found }));
      break;
    case 'append':
      loop.append(message.segments);
      break;
    case 'replace':
      loop.replace(message.tick, message.segments);
      break;
    case 'play':
      loop.play(message.tick);
      break;
    case 'pause':
      loop.pause();
      break;
    case 'silence':
      // Behind the output that is being opened: that is where the notes hang.
      opening = opening.then(() => loop.silence(message.notes));
      break;
    case 'terminal':
      terminal = message.modes === '' && message.screen === '' ? null : message;
      break;
    case 'lateness':
      announce({ kind: 'lateness', report: loop.lateness.report() });
      break;
    case 'quit':
      leave(0);
  }
}

function leave(code: number): void {
  if (leaving) return;
  leaving = true;
  try {
    loop.end();
    output.close();
  } finally {
    // The sound card is given a moment to fall silent without a crack.
    setTimeout(() => process.exit(code), output.lead > 0 ? 60 : 0);
  }
}

/** The parent vanished without a word: the screen and the line settings are put back as they were. */
function restoreTerminal(): void {
  if (!terminal) return;
  try {
    writeSync(terminalDescriptor, terminal.screen);
    if (terminal.modes !== '')
      spawnSync('stty', [terminal.modes], { stdio: [terminalDescriptor, 'ignore', 'ignore'], timeout: 2000 });
  } catch {
    // The terminal has gone too.
  }
}

process.on('message', (message) => obey(message as ToPlayer));
process.on('disconnect', () => {
  if (!leaving) restoreTerminal();
  leave(0);
});
for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP'] as const) process.on(signal, () => leave(0));
process.on('uncaughtException', (error) => {
  announce({ kind: 'trouble', message: `the player failed: ${error.message}` });
  leave(1);
});
process.stderr.on('error', () => {});

try {
  setPriority(wantedPriority);
} catch {
  // Not permitted here: the clock is then a little less exact, and nothing is wrong.
}
announce({ kind: 'ready' });
