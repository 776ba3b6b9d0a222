import { spawn } from 'node:child_process';
import { printDocument } from '../print.js';

/** A text as it is shown by a pager, with styles of our own, and as it is printed. */
export interface Paged {
  readonly styled: string;
  readonly plain: string;
}

/**
 * Shows a text with the pager that PAGER names, else with `less -R`; prints it where there is none, or where stdout is not a terminal
 * that can move about. What fits on the screen the usual pager prints and leaves there.
 * Nothing of it may come from outside: a pager is given it as it is.
 */
export async function page({ styled, plain }: Paged): Promise<void> {
  const { PAGER, TERM } = process.env;
  const wanted = PAGER?.trim() ?? '';
  if (!process.stdout.isTTY || TERM === 'dumb' || wanted === 'cat' || !(await shown(wanted, styled)))
    printDocument(plain);
}

/** Answers whether the pager could be run; an empty one is the usual one. */
function shown(pager: string, text: string): Promise<boolean> {
  return new Promise((resolve) => {
    const child = spawn(pager === '' ? 'less' : pager, pager === '' ? ['-R'] : [], {
      // PAGER may have arguments, so a shell runs it; the usual pager is run directly, so no shell complains if it is missing.
      shell: pager !== '',
      stdio: ['pipe', 'inherit', 'inherit'],
      env: { LESS: 'FRX', ...process.env },
    });
    // The key that stops a command is the pager's as long as it runs.
    const left = (): void => {};
    process.on('SIGINT', left);
    // A pager that is left early reads no further.
    child.stdin.on('error', () => {});
    child.stdin.end(text.endsWith('\n') ? text : `${text}\n`);
    const over = (answer: boolean): void => {
      process.removeListener('SIGINT', left);
      resolve(answer);
    };
    child.on('error', () => over(false));
    // With these two statuses a shell says that there is no such program, or that it cannot be run.
    child.on('close', (status) => over(status !== 127 && status !== 126));
  });
}
