// What the clock's benchmarks need of the machine: processes that end with us, pipes, terminals, compiled readers.
import { execFileSync, spawn } from 'node:child_process';
import {
  closeSync,
  constants,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { availableParallelism, getPriority, tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

export { pause };

/** The built program. */
export const program = fileURLToPath(new URL('../../dist/main.js', import.meta.url));

/** A file of this folder. */
export function here(name) {
  return fileURLToPath(new URL(name, import.meta.url));
}

const undoing = new Set();

/** Has something undone when this process ends, by Ctrl-C too; answers how to undo it now. */
export function undoAtEnd(undo) {
  undoing.add(undo);
  return () => {
    if (undoing.delete(undo)) undo();
  };
}

function undoAll() {
  for (const undo of [...undoing].reverse()) {
    undoing.delete(undo);
    try {
      undo();
    } catch {
      // It had gone already.
    }
  }
}

process.on('exit', undoAll);
for (const [signal, status] of [
  ['SIGINT', 130],
  ['SIGTERM', 143],
  ['SIGHUP', 129],
])
  process.once(signal, () => process.exit(status));

/** The number after an option on the command line. */
export function option(name, instead) {
  const place = process.argv.indexOf(name);
  if (place < 0) return instead;
  const value = Number(process.argv[place + 1]);
  if (value > 0) return value;
  console.error(`${name} wants a number above 0`);
  process.exit(2);
}

/** Whether an option stands on the command line. */
export function flag(name) {
  return process.argv.includes(name);
}

/** An empty folder that goes away at the end. */
export function workFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'barkline-bench-'));
  undoAtEnd(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** An environment in which nothing is remembered from elsewhere, and the terminal is one that can show everything. */
export function cleanEnv(folder) {
  const kept = { ...process.env, XDG_STATE_HOME: folder, XDG_DATA_HOME: folder, XDG_CONFIG_HOME: folder };
  return { ...kept, LANG: 'C.UTF-8', LC_ALL: 'C.UTF-8' };
}

/** Compiles a C program of this folder into another; `null` when there is no compiler. */
export function compile(name, folder) {
  const compiled = join(folder, name);
  try {
    execFileSync(process.env.CC || 'cc', ['-O2', '-o', compiled, here(`${name}.c`)], {
      stdio: ['ignore', 'ignore', 'inherit'],
    });
    return compiled;
  } catch (error) {
    if (error.code === 'ENOENT') return null;
    throw error;
  }
}

/** Starts a child that ends with us; `done` resolves to what it wrote and its exit status. */
export function start(command, words, { input = '', ...options } = {}) {
  const child = spawn(command, words, { stdio: ['pipe', 'pipe', 'pipe'], ...options });
  const forget = undoAtEnd(() => child.kill('SIGTERM'));
  const texts = { out: '', err: '' };
  child.stdout?.on('data', (data) => {
    texts.out += data;
  });
  child.stderr?.on('data', (data) => {
    texts.err += data;
  });
  child.stdin?.on('error', () => {});
  child.stdin?.end(input);
  const done = new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => {
      forget();
      resolve({ code, ...texts });
    });
  });
  return { child, done, texts, stop: forget };
}

/** Waits until something holds; throws what it waited for when it never does. */
export async function until(what, holds, ms = 15_000) {
  for (const end = Date.now() + ms; Date.now() < end; await pause(50)) if (holds()) return;
  throw new Error(`waited in vain for ${what}`);
}

/**
 * A named pipe and the process that reads it. `how` is `spin` or `poll`, as `clock-reader.c` says. `reader` is the
 * compiled one, or `null` for the one in Node.
 */
export async function openPipe(folder, reader, how) {
  const path = join(folder, `pipe-${Math.random().toString(36).slice(2)}`);
  execFileSync('mkfifo', [path]);
  const [command, ...words] = reader === null ? [process.execPath, here('clock-reader.mjs')] : [reader];
  const reading = start(command, [...words, path, how]);
  await until('the reader', () => reading.texts.out.startsWith('ready ') && reading.texts.out.includes('\n'));
  return {
    path,
    /** The priority the reader was given. */
    priority: reading.texts.out.split('\n', 1)[0].slice('ready '.length),
    /** Ends the reader; answers what arrived, as batches `{time, bytes}`, times in ms. */
    async close() {
      sendEndMark(path);
      const { code, out, err } = await reading.done;
      if (code !== 0) throw new Error(`the reader failed: ${err}`);
      rmSync(path, { force: true });
      return batchesOf(out);
    },
    /** Ends the reader, whatever arrived. */
    drop() {
      reading.stop();
      rmSync(path, { force: true });
    },
  };
}

function sendEndMark(path) {
  const descriptor = openSync(path, constants.O_WRONLY | constants.O_NONBLOCK);
  writeSync(descriptor, Buffer.from([0xff]));
  closeSync(descriptor);
}

function batchesOf(text) {
  const lines = text.trimEnd().split('\n').slice(1);
  return lines.map((line) => {
    const [time, hex] = line.split(' ');
    return { time: Number(time) / 1e6, bytes: Buffer.from(hex, 'hex').filter((byte) => byte !== 0xff) };
  });
}

/** A real terminal of the stand's size with one command in it, on a tmux server of its own. */
export class Screen {
  #socket = `barkline-bench-${process.pid}-${Math.random().toString(36).slice(2)}`;
  #close;

  constructor(words, env, { columns = 140, rows = 45 } = {}) {
    this.#close = undoAtEnd(() => this.#tmux('kill-server'));
    const command = words.map((word) => `'${word}'`).join(' ');
    const size = ['-x', String(columns), '-y', String(rows)];
    this.#tmux('-f', '/dev/null', 'new-session', '-d', ...size, command, { env });
    this.#tmux('set-option', '-g', 'remain-on-exit', 'on');
  }

  text() {
    return this.#tmux('capture-pane', '-p');
  }

  /** The process in the terminal. tmux gives a single command to a shell, which may have put itself in its place or not. */
  pid() {
    const pid = Number(this.#tmux('display-message', '-p', '#{pane_pid}'));
    return commandOf(pid).includes('node') ? pid : (childrenOf(pid)[0] ?? pid);
  }

  async shows(wanted) {
    try {
      await until(String(wanted), () => wanted.test(this.text()));
    } catch (error) {
      throw new Error(`${error.message}; the screen shows:\n${this.text().trimEnd()}`);
    }
  }

  press(key) {
    this.#tmux('send-keys', key);
  }

  close() {
    this.#close();
  }

  #tmux(...words) {
    const options = typeof words.at(-1) === 'object' ? words.pop() : {};
    return execFileSync('tmux', ['-L', this.#socket, ...words], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'pipe'],
      ...options,
    });
  }
}

/** Whether terminals can be opened here. */
export function hasTmux() {
  try {
    execFileSync('tmux', ['-V'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

/** Keeps every core busy, or as many as are said, with loops at normal priority; answers how to end them. */
export function keepBusy(cores = availableParallelism()) {
  const loops = Array.from({ length: cores }, () => start(process.execPath, ['-e', 'for (;;);']));
  return () => {
    for (const loop of loops) loop.stop();
  };
}

/** The player's process among the descendants of another, or `null`. */
export function playerOf(pid) {
  return childrenOf(pid).find((child) => commandOf(child).includes('player/process.js')) ?? null;
}

/** The priority a process has, as a nice value; `null` when it has gone. */
export function niceOf(pid) {
  try {
    return getPriority(pid);
  } catch {
    return null;
  }
}

/** Whether a process runs in real time, first in, first out (proc(5), stat, field 41; fields before may hold spaces). */
export function isRealTime(pid) {
  return procFile(pid, 'stat').split(') ').at(-1).split(' ')[38] === '1';
}

/** What of a process is in memory, in KiB; `null` when it has gone. */
export function residentKiB(pid) {
  const match = /^VmRSS:\s+(\d+) kB$/m.exec(procFile(pid, 'status'));
  return match ? Number(match[1]) : null;
}

function childrenOf(pid) {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map(Number)
    .filter((one) => Number(/\nPPid:\s+(\d+)\n/.exec(procFile(one, 'status'))?.[1]) === pid);
}

function commandOf(pid) {
  return procFile(pid, 'cmdline').replaceAll('\0', ' ');
}

function procFile(pid, name) {
  try {
    return readFileSync(`/proc/${pid}/${name}`, 'utf8');
  } catch {
    return '';
  }
}
