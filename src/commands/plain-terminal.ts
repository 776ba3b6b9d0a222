import { JobControl } from '../ui/job-control.js';
import { TtyWriter } from '../ui/tty-writer.js';
import { whenOutputFails, writeThrough } from './print.js';

/** How long a terminal is waited for at the end, ms. */
const lastWordsMs = 300;

/** Signals that end what is played, and the exit status they give. */
const signals = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

/** What is played, as far as the shell and the terminal have to do with it. */
export interface Obedient {
  /** Ends it, with this exit status. */
  end(status: number): void;
  /** The program is about to be stopped: resolves when nothing sounds. */
  rest(): Promise<void>;
  /** The program goes on. */
  goOn(): void;
}

/** Writers to those of the standard streams that are terminals: once a program, as several songs may be played. */
let writers: readonly TtyWriter[] | null = null;

/**
 * From now on results and remarks never wait for a terminal that does not read: nothing could be obeyed meanwhile.
 */
export function writePatiently(): void {
  if (writers) return;
  const { stdout, stderr } = process;
  const out = stdout.isTTY ? new TtyWriter(stdout) : null;
  const err = stderr.isTTY ? new TtyWriter(stderr) : null;
  writers = [out, err].filter((one) => one !== null);
  writeThrough(out, err);
}

/** Waits until terminals have taken what was written, for a bounded time. */
export async function lastWords(): Promise<void> {
  await Promise.all((writers ?? []).map((one) => one.taken(lastWordsMs)));
}

/** Has signals, the shell's job control and readers that go away obeyed; answers how that is ended. */
export function obeyOutside(played: Obedient): () => void {
  const jobs = new JobControl(
    () => void jobs.suspend(),
    () => played.rest(),
    () => played.goOn(),
  );
  const hungUp = (): void => played.end(signals.SIGHUP);
  const obeyed = Object.entries(signals).map(
    ([signal, status]) => [signal, () => played.end(status)] as const,
  );
  for (const [signal, obey] of obeyed) process.on(signal, obey);
  for (const one of writers ?? []) one.on('gone', hungUp);
  const unheard = whenOutputFails((status) => played.end(status));
  return () => {
    jobs.close();
    for (const [signal, obey] of obeyed) process.off(signal, obey);
    for (const one of writers ?? []) one.off('gone', hungUp);
    unheard();
  };
}
