import { fstatSync, writeSync } from 'node:fs';
import { replaceUnsafe, safeLines, safeText } from '../base/safe-text.js';

/*
 * Where text leaves for a person: nothing else writes to stdout or stderr but the full screen, whose writer has a rule of its
 * own. Everything is made safe here, so that no caller can forget it.
 */

/** What happens when stdout can take no more; told the exit status that is due. */
let onLost: (status: number) => void = () => {};
let lost = false;

/**
 * Has somebody told once when stdout can take no more, with the exit status: 0 when the reader has gone (`| head`), 3 after a
 * sentence when it is a disk that is full, or broken. The last one that asked is reported; answers how that is ended.
 */
export function whenOutputFails(tell: (status: number) => void): () => void {
  const before = onLost;
  onLost = tell;
  return () => {
    onLost = before;
  };
}

/** A writer that takes text without blocking. */
export interface TextSink {
  write(text: string): unknown;
}

let patientOut: TextSink | null = null;
let patientErr: TextSink | null = null;

/** From now on what is written to stdout and stderr goes there, where it is not `null`: to terminals that may not read. */
export function writeThrough(out: TextSink | null, err: TextSink | null): void {
  patientOut = out;
  patientErr = err;
}

/** To be called once at the start: what the streams tell of themselves is heard from then on. */
export function guardOutput(): void {
  process.stdout.on('error', failed);
  // If stderr fails, there is nowhere left to report it.
  process.stderr.on('error', () => {});
}

/** Ends the process's output: calls back when everything has been written, and never when it could not be. */
export function finishOutput(then: () => void): void {
  if (lost) return;
  if (process.stdout.writableLength === 0) then();
  else
    process.stdout.write('', (error) => {
      if (!error) then();
    });
}

/** Writes results to stdout, a line each: a line feed within one is shown as a symbol, so that no name can forge a line. */
export function print(...lines: readonly string[]): void {
  send(`${lines.map(safeText).join('\n')}\n`);
}

/** Writes what went wrong, or is worth knowing, to stderr, a line each. */
export function say(...lines: readonly string[]): void {
  sendRemark(`${lines.map(safeText).join('\n')}\n`);
}

/** Writes to stderr what is said of the command line. What it quotes of that stays on its line: it may be any file's name. */
export function sayOfCall(text: string): void {
  const safe = process.argv.slice(2).reduce((all, word) => all.replaceAll(word, safeText(word)), text);
  say(...safe.trimEnd().split('\n'));
}

/** Writes a question to stderr; the answer comes after it on the same line. */
export function ask(text: string): void {
  sendRemark(`${safeText(text)} `);
}

/** Writes a document of several lines to stdout: JSON, CSV, a chart, a page. Its format has escaped what it can. */
export function printDocument(text: string): void {
  send(safeLines(text.endsWith('\n') ? text : `${text}\n`));
}

/**
 * Writes the text of a file to stdout with its own line ends, tabs, and end. Whatever else could steer a terminal is shown as a
 * sign; answers how many characters that was. A byte order mark goes to files and pipes only, and a terminal gets a line's end.
 */
export function printFileText(text: string): number {
  let shown = 0;
  const marked = text.startsWith('\ufeff');
  const safe = replaceUnsafe(marked ? text.slice(1) : text, (character, at, all) => {
    if (character === '\n' || character === '\t' || (character === '\r' && all[at + 1] === '\n'))
      return character;
    shown += 1;
    return safeText(character);
  });
  const { isTTY } = process.stdout;
  send((marked && !isTTY ? '\ufeff' : '') + safe + (isTTY && !safe.endsWith('\n') ? '\n' : ''));
  return shown;
}

/** Writes a file's bytes to stdout as they are: for a program that reads them, never for a terminal. */
export function printBytes(bytes: Uint8Array): void {
  send(bytes);
}

/** On a terminal, clears it. */
export function clearScreen(): void {
  if (process.stdout.isTTY) send('\u001b[2J\u001b[H');
}

/** On a terminal, writes its last line again: a part in inverse, and what comes after it. */
export function redrawLine(inverse = '', text = ''): void {
  const lit = inverse === '' ? '' : `\u001b[7m${safeText(inverse)}\u001b[0m`;
  send(`\r\u001b[K${lit}${safeText(text)}`);
}

function send(data: string | Uint8Array): void {
  if (lost) return;
  if (patientOut && typeof data === 'string') {
    patientOut.write(data);
    return;
  }
  if (!isFile()) {
    process.stdout.write(data);
    return;
  }
  // Node's own stream for files takes a write that was cut short, as on a disk that fills up, for a whole one.
  const bytes = Buffer.from(data as string);
  try {
    for (let at = 0; at < bytes.length; ) at += writeSync(1, bytes, at);
  } catch (error) {
    failed(error as NodeJS.ErrnoException);
  }
}

function sendRemark(text: string): void {
  (patientErr ?? process.stderr).write(text);
}

let fileKnown: boolean | null = null;

/** Whether stdout is a file or a device other than a terminal: what writes to at once, and can be full. */
function isFile(): boolean {
  if (fileKnown === null) {
    const stat = fstatSync(1);
    fileKnown = !process.stdout.isTTY && (stat.isFile() || stat.isCharacterDevice() || stat.isBlockDevice());
  }
  return fileKnown;
}

function failed(error: NodeJS.ErrnoException): void {
  if (lost) return;
  lost = true;
  if (error.code === 'EPIPE') {
    onLost(0);
    return;
  }
  const why = error.code === 'ENOSPC' ? 'the disk is full' : `${error.code ?? error.message}`;
  say(
    `barkline: stdout cannot be written: ${why}; the output is incomplete`,
    'free some space, or write to another place',
  );
  onLost(3);
}
