import { machineHost } from './host.js';
import { ClockFollower } from './inputs/clock-follower.js';
import type { Input } from './inputs/input.js';
import { openInput } from './inputs/open.js';
import { PedalInputs } from './inputs/pedals.js';
import { type LaneOutput, Loop } from './loop.js';
import type { FromPlayer, InSpec, OutSpec, Pong, ToPlayer } from './messages.js';
import { destinations, openOutput } from './outputs/open.js';
import { type Output, openNone } from './outputs/output.js';
import { ParentWatch } from './parent-watch.js';
import { goFirst } from './priority.js';
import { restoreTerminal } from './terminal-restore.js';

/** The descriptor on which the child inherits the terminal, when there is one. */
const terminalDescriptor = 4;
/** How long leaving waits for an output that is being opened, ms: what another player left sounding is ended there. */
const mostOpeningMs = 800;
/** How often the parent is looked for where nothing plays, ms. */
const parentMs = 250;

/*
 * The player's process. It keeps time and sends, and knows nothing of charts. It must end well whatever
 * becomes of the parent: what sounds is silenced, and a terminal that the parent left after is put back.
 */

let outputs: readonly LaneOutput[] = [{ output: openNone() }];
let input: Input | null = null;
let leaving = false;
let terminal: { modes: string; screen: string } | null = null;
/** Opening is asynchronous: one after the other, in the order asked for. */
let opening: Promise<void> = Promise.resolve();

const host = machineHost();
// Named by the parent itself: it may have gone before this process could ask.
const parent = new ParentWatch(Number(process.argv[2]) || process.ppid, host.now, () => leave(0));
const loop = new Loop(host, announce, parent.look);
loop.setOutputs(outputs);

function announce(message: FromPlayer | Pong): void {
  if (!process.connected) return;
  try {
    process.send?.(message, undefined, undefined, () => {});
  } catch {
    // The parent has just gone; the disconnect that follows ends this process.
  }
}

const tellTrouble = (message: string): void => announce({ kind: 'trouble', message });

async function open({ outs, also = [] }: Extract<ToPlayer, { kind: 'open' }>): Promise<void> {
  const refused: string[] = [];
  const opened: { out: OutSpec; output: Output }[] = [];
  const tryOne = async (out: OutSpec): Promise<boolean> => {
    try {
      opened.push({ out, output: await openOutput(out, tellTrouble) });
      return true;
    } catch (error) {
      refused.push((error as Error).message);
      return false;
    }
  };
  for (const out of outs) if (await tryOne(out)) break;
  for (const out of also) await tryOne(out);
  const first = opened[0];
  if (!first) {
    announce({ kind: 'failed', reasons: refused });
    return;
  }
  const before = outputs;
  outputs = opened.map(({ out, output }) => ({ output, options: laneOptions(out) }));
  loop.setOutputs(outputs);
  for (const one of before) one.output.close();
  const label = opened.map(({ output }) => output.label).join(' + ');
  announce({ kind: 'opened', out: first.out, label, lead: loop.lead, refused });
}

function laneOptions(out: OutSpec): NonNullable<LaneOutput['options']> {
  const hears = out.kind !== 'sound' && out.kind !== 'none';
  return { offset: out.offset ?? 0, clock: hears && (out.clock ?? false) };
}

const pedals = new PedalInputs(
  (status, data1, data2, time) => announce({ kind: 'pedal', status, data1, data2, time }),
  tellTrouble,
  // What is sent to the system's own loop comes back there.
  (name) => /^midi through/i.test(name) && outputs.some(({ output }) => /midi through/i.test(output.label)),
);

function listen(to: InSpec | null): void {
  input?.close();
  input = null;
  loop.follow(null);
  if (!to) {
    announce({ kind: 'listening', label: null, reason: null });
    return;
  }
  try {
    const opened = openInput(to, (event) => loop.hear(event), tellTrouble);
    input = opened;
    loop.follow(new ClockFollower());
    announce({ kind: 'listening', label: opened.label, reason: null });
  } catch (error) {
    announce({ kind: 'listening', label: null, reason: (error as Error).message });
  }
}

function obey(message: ToPlayer): void {
  if (leaving) return;
  switch (message.kind) {
    case 'open':
      opening = opening.then(() => open(message));
      break;
    case 'listen':
      listen(message.to);
      break;
    case 'idle':
      loop.setIdle(message.msPerPulse);
      break;
    case 'pedals':
      // After the outputs: on those of our own nothing is listened to.
      opening = opening.then(() => pedals.listen(message.from));
      break;
    case 'arm':
      loop.arm(message.tick, message.song);
      break;
    case 'offset':
      loop.setOffset(message.ms);
      break;
    case 'levels':
      loop.setLevels(message.levels, message.gear);
      break;
    case 'send':
      loop.sendNow(message.messages);
      break;
    case 'list':
      destinations(message.sound).then((found) => announce({ kind: 'destinations', destinations: found }));
      break;
    case 'append':
      loop.append(message.segments);
      break;
    case 'replace':
      loop.replace(message.tick, message.segments);
      break;
    case 'release':
      loop.release(message.id);
      break;
    case 'play':
      loop.play(message.tick, message);
      break;
    case 'line':
      loop.setLine(message.spans);
      break;
    case 'pause':
      loop.pause();
      break;
    case 'silence':
      // After the output that is being opened: that is where the notes hang.
      opening = opening.then(() => loop.silence(message.notes));
      break;
    case 'terminal':
      terminal = message.modes === '' && message.screen === '' ? null : message;
      break;
    case 'lateness':
      announce({ kind: 'lateness', report: loop.lateness.report() });
      break;
    case 'ping':
      announce({ kind: 'pong' });
      break;
    case 'quit':
      leave(0);
  }
}

/** What sounds is silenced first, before anything that can fail or take its time; then all is closed. */
function leave(code: number): void {
  if (leaving) return;
  leaving = true;
  quietly(() => loop.end());
  let closed = false;
  const close = (): void => {
    if (closed) return;
    closed = true;
    for (const one of outputs) quietly(() => one.output.close());
    quietly(() => input?.close());
    quietly(() => pedals.close());
    // The parent vanished without a word: the screen and the line settings are put back as they were.
    if (terminal && parent.gone) restoreTerminal(terminalDescriptor, terminal);
    // The sound card is given a moment to fall silent without a crack.
    setTimeout(() => process.exit(code), outputs.some((one) => one.output.lead > 0) ? 60 : 0);
  };
  opening.then(close, close);
  setTimeout(close, mostOpeningMs);
}

/** While leaving, a failure must not prevent the rest from being done. */
function quietly(act: () => void): void {
  try {
    act();
  } catch {
    // There is nobody left to tell.
  }
}

process.on('message', (message) => obey(message as ToPlayer));
process.on('disconnect', () => leave(0));
setInterval(parent.look, parentMs);
for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP'] as const) process.on(signal, () => leave(0));
process.on('uncaughtException', (error) => {
  announce({ kind: 'trouble', message: `the player failed: ${error.message}` });
  leave(1);
});
process.stderr.on('error', () => {});

goFirst();
announce({ kind: 'ready' });
