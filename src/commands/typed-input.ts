import { fstatSync, readFileSync } from 'node:fs';

/** Characters that a line may have before the rest of it is dropped: nobody types as many. */
const mostHeld = 4096;

/** A pipe that says nothing for so long may say something later, ms. */
const silentMs = 250;

/**
 * Whether commands can come from stdin. Nothing comes from the null device, nor from a pipe or a file that is at its end before a character:
 * then it is played as if there were no commands. A program that reads a terminal from the background is stopped by the shell.
 */
export async function canBeTyped(): Promise<boolean> {
  if (!isOpen()) return false;
  if (process.stdin.isTTY) return true;
  const { stdin } = process;
  return new Promise((resolve) => {
    const done = (can: boolean): void => {
      clearTimeout(limit);
      stdin.off('readable', readable);
      stdin.off('end', ended);
      stdin.off('error', ended);
      resolve(can);
    };
    const readable = (): void => {
      const first: unknown = stdin.read();
      if (first === null) return;
      stdin.unshift(first);
      done(true);
    };
    const ended = (): void => done(false);
    const limit = setTimeout(() => done(true), silentMs);
    stdin.on('readable', readable);
    stdin.on('end', ended);
    stdin.on('error', ended);
  });
}

function isOpen(): boolean {
  if (process.stdin.isTTY) return inForeground();
  try {
    const stat = fstatSync(0);
    return stat.isFIFO() || stat.isFile() || stat.isSocket();
  } catch {
    return false;
  }
}

/** Whether the program is in the foreground of its terminal; where that cannot be known, it is. */
export function inForeground(): boolean {
  try {
    // Behind the name, which may have any sign in it: state, parent, group, session, terminal, the terminal's foreground group.
    const [, , group, , , front] =
      readFileSync('/proc/self/stat', 'utf8').split(') ').at(-1)?.split(' ') ?? [];
    return group === undefined || front === undefined || group === front;
  } catch {
    return true;
  }
}

/**
 * Hands over the lines of stdin one after the other, each when the one before was obeyed: a sender that is faster waits. Resolves at the end
 * of the input, however that came. `at`: when a line arrived, ms.
 */
export async function eachLine(
  input: NodeJS.ReadableStream,
  now: () => number,
  obeyed: (line: string, at: number) => Promise<boolean>,
): Promise<void> {
  input.setEncoding('utf8');
  let held = '';
  try {
    for await (const chunk of input) {
      const at = now();
      const parts = `${held}${String(chunk)}`.split(/\r?\n/);
      held = (parts.pop() ?? '').slice(0, mostHeld);
      for (const line of parts) if (!(await obeyed(line.slice(0, mostHeld), at))) return;
    }
    if (held !== '') await obeyed(held, now());
  } catch {
    // A terminal that has gone gives an error in place of an end.
  }
}
