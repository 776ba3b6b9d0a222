// Two machines for the bench band: namespaces with a wire between them, where the system lets us have them; else one machine, with a relay between
// the stands and their broker.

import { execFileSync, fork, spawn } from 'node:child_process';
import { createServer } from 'node:net';
import { compile, here, start, undoAtEnd, until } from './clock-tools.mjs';

/**
 * What is on the way between leader and followers: ms from the leader's machine to the others' and back, and up to so much more, evenly
 * spread; the share of packets that are lost. Nothing is overtaken.
 */
export const ways = {
  near: { there: 0, thereJitter: 0, back: 0, backJitter: 0, loss: 0 },
  wired: { there: 0.3, thereJitter: 0.4, back: 0.3, backJitter: 0.4, loss: 0 },
  // 5 ± 4 ms, and 2 ms more on the way back.
  wireless: { there: 1, thereJitter: 8, back: 3, backJitter: 8, loss: 0.01 },
};

/** The followers' monotonic clock is so many seconds ahead of the leader's, where the system has namespaces of time. */
const aheadSeconds = 4321;

/** Whether a command ends well. */
function works(command, words) {
  try {
    execFileSync(command, words, { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

/** Words that run a command with its clock ahead; none where that is not to be had. */
const aheadWords = () => {
  const words = ['--time', '--monotonic', String(aheadSeconds), '--fork', '--kill-child'];
  return works('unshare', [...words, 'true']) ? ['unshare', ...words] : [];
};

/** A port that is free now. */
export async function freePort() {
  const server = createServer();
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address();
  await new Promise((resolve) => server.close(resolve));
  return port;
}

/** Opens a way. `kind` says how it is made; `lead` and `follow` are words before a command that is to run on either machine. */
export async function openWay(way, folder, port) {
  const ahead = aheadWords();
  const made = await namespaces(way, folder).catch(() => null);
  if (made)
    return {
      ...made,
      kind: 'packets, between two network namespaces',
      ahead: ahead.length > 0,
      lead: ['nsenter', `--net=${made.spaces[0]}`],
      follow: ['nsenter', `--net=${made.spaces[1]}`, ...ahead],
      host: '192.0.2.1',
      joinHost: '192.0.2.1',
      joinPort: port,
    };
  const relay = await openRelay(way, port);
  return {
    ...relay,
    kind: 'a relay on one machine; what is lost comes 200 ms later, as TCP has it',
    ahead: ahead.length > 0,
    lead: [],
    follow: ahead,
    host: '127.0.0.1',
    joinHost: '127.0.0.1',
    joinPort: relay.port,
  };
}

/** Two namespaces and the process between them; fails where it may not. */
async function namespaces({ there, thereJitter, back, backJitter, loss }, folder) {
  const program = process.platform === 'linux' ? compile('band-wire', folder) : null;
  if (!program || !works('nsenter', ['--version'])) throw new Error('no namespaces');
  const words = [there, thereJitter, back, backJitter, loss].map(String);
  const child = spawn(program, words, { stdio: ['pipe', 'pipe', 'ignore'] });
  const close = undoAtEnd(() => child.kill());
  let said = '';
  let ended = false;
  child.on('exit', () => {
    ended = true;
  });
  child.stdin.on('error', () => {});
  child.stdout.on('data', (data) => {
    said += data;
  });
  await until('the wire', () => said.includes('\n') || ended);
  const [word, ...spaces] = said.trim().split(' ');
  if (word !== 'ready') throw new Error('no wire');
  return { spaces, close, cut: () => child.stdin.write('c'), mend: () => child.stdin.write('m') };
}

async function openRelay(way, port) {
  const child = fork(here('band-relay.mjs'), [JSON.stringify({ ...way, port })]);
  const close = undoAtEnd(() => child.kill());
  const own = await new Promise((resolve) => child.once('message', resolve));
  return { port: own.port, close, cut: () => child.send('cut'), mend: () => child.send('mend') };
}

/** Starts one of the bench's processes with words before it. `next(kind)` resolves with its next message of a kind. */
export function stand(words, options) {
  const [command, ...rest] = [...words, process.execPath, here('band-stand.mjs'), JSON.stringify(options)];
  const child = spawn(command, rest, { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
  const forget = undoAtEnd(() => child.kill());
  const waiting = new Set();
  const come = [];
  const exited = new Promise((resolve) =>
    child.once('exit', () => {
      forget();
      resolve();
      for (const { reject } of waiting) reject(new Error('a stand of the bench has died'));
    }),
  );
  child.on('message', (message) => {
    const said = { ...message, at: performance.now() };
    const one = [...waiting].find(({ holds }) => holds(said));
    if (one) {
      waiting.delete(one);
      one.resolve(said);
    } else come.push(said);
  });
  /** The next message for which something holds, of those that nobody has taken. */
  const wait = (what, holds, ms = 20_000) => {
    const place = come.findIndex(holds);
    if (place >= 0) return Promise.resolve(come.splice(place, 1)[0]);
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => reject(new Error(`waited in vain for ${what}`)), ms);
      const done = (settle) => (value) => {
        clearTimeout(timer);
        settle(value);
      };
      waiting.add({ holds, resolve: done(resolve), reject: done(reject) });
    });
  };
  return {
    pid: () => child.pid,
    tell: (what) => child.connected && child.send(what),
    wait,
    /** What it has said until now is of no interest. */
    forget() {
      come.length = 0;
    },
    next: (kind, ms) => wait(kind, (one) => one.kind === kind, ms),
    async account() {
      child.send('account');
      return wait('an account', (one) => one.kind === 'account');
    },
    async end() {
      if (child.connected) child.send('end');
      const late = setTimeout(() => child.kill('SIGKILL'), 4000);
      await exited;
      clearTimeout(late);
    },
  };
}

/** The same for a command of the program: what it prints is kept. */
export function command(words, call, env) {
  const [first, ...rest] = [...words, ...call];
  return start(first, rest, { env });
}
