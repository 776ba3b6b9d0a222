import { readFileSync } from 'node:fs';
import { backgroundQuestion } from '../../ui/terminal-answer.js';
import { TtyWriter } from '../../ui/tty-writer.js';
import type { TerminalAnswers } from './judge-terminal.js';
import { type Answered, readAnswered, widthQuestions } from './terminal-answers.js';

/** No terminal answers more than this, characters. */
const mostSent = 65_536;
/** How long a terminal may take to read what it is asked, at the end, ms. */
const takenMs = 300;

/** What a terminal is asked. */
export interface TerminalQuestions {
  readonly background: boolean;
  readonly signs: readonly string[];
}

/** A terminal that was asked. */
export interface AskedTerminal {
  /** What it answered: all of it, or as much as came within the time it was given. */
  readonly answers: Promise<TerminalAnswers>;
  /** Puts it back. Until then whatever else it answers is swallowed, so that no shell takes it for a command. */
  close(): Promise<void>;
}

/**
 * Asks the terminal of stdin and stdout, which must be terminals. Its answers come as if they were typed, so nothing typed meanwhile
 * is shown. Where all have come it is put back at once.
 *
 * @param ms how long is waited for them
 * @param onInterrupt Ctrl-C was pressed: the terminal has been put back
 */
export async function askTerminal(
  { background, signs }: TerminalQuestions,
  ms: number,
  onInterrupt: () => void,
): Promise<AskedTerminal> {
  if (!isInForeground())
    return unasked('this runs in the background of its terminal; run it in the foreground');
  const { stdin } = process;
  const writer = new TtyWriter(process.stdout);
  // On one that is full, setting the line would wait until it is read.
  writer.write('\r');
  if (!(await writer.taken(takenMs)))
    return unasked('the terminal does not read what is written to it; press Ctrl-Q, or open another one');
  let sent = '';
  let isOpen = true;
  let finish: () => void = () => {};
  const putBack = (): void => {
    if (!isOpen) return;
    isOpen = false;
    clearTimeout(limit);
    stdin.off('data', hear);
    stdin.setRawMode(false);
    stdin.pause();
    for (const [signal, leave] of leaving) process.off(signal, leave);
    finish();
  };
  const isWhole = ({ background: told, widths }: Answered): boolean =>
    widths.length >= signs.length && (!background || told !== null);
  const hear = (data: Buffer): void => {
    if (sent.length < mostSent) sent += data.toString('utf8');
    const answered = readAnswered(sent);
    if (answered.interrupted) {
      putBack();
      onInterrupt();
    } else if (isWhole(answered)) putBack();
  };
  // Without this a signal would leave a terminal that shows nothing that is typed.
  const leaving = (
    [
      ['SIGTERM', 143],
      ['SIGHUP', 129],
      ['SIGINT', 130],
    ] as const
  ).map(([signal, status]) => {
    const leave = (): void => {
      putBack();
      process.exit(status);
    };
    process.on(signal, leave);
    return [signal, leave] as const;
  });
  const answers = new Promise<TerminalAnswers>((resolve) => {
    finish = () => {
      const { background: told, widths } = readAnswered(sent);
      resolve({ unasked: null, background: told, widths: widths.slice(0, signs.length) });
    };
  });
  const limit = setTimeout(() => finish(), ms);
  stdin.setRawMode(true);
  stdin.on('data', hear);
  for (const event of ['end', 'error'] as const) stdin.on(event, putBack);
  stdin.resume();
  writer.write((background ? backgroundQuestion : '') + widthQuestions(signs));
  return {
    answers,
    close: async () => {
      // Else it is put back as the program ends, which waits for nobody.
      if (await writer.taken(takenMs)) putBack();
    },
  };
}

/** What is said of a terminal that is not asked, and why. */
export function unasked(why: string): AskedTerminal {
  return { answers: Promise.resolve({ unasked: why, background: null, widths: [] }), close: async () => {} };
}

/**
 * Whether this process may set its terminal: one in the background that does is stopped by the system. Only Linux tells without
 * another program.
 */
function isInForeground(): boolean {
  try {
    // Behind the name, which may have anything in it: state, parent, group, session, terminal, the terminal's foreground group (proc(5)).
    const [, , group, , , foreground] =
      readFileSync('/proc/self/stat', 'utf8').split(') ').at(-1)?.split(' ') ?? [];
    return group === foreground;
  } catch {
    return true;
  }
}
