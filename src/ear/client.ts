import type { SoundAhead } from '../listen/sound-ahead.js';
import type { CourseToTune } from '../listen/tuning-ear.js';
import { KeptProcess } from './kept-process.js';
import type { EarSpec, FromEar, ToEar } from './messages.js';

/** How an ear is opened. */
export interface EarOptions {
  /** Where it listens at once; `null`: nowhere yet, for example only to list microphones. */
  readonly from: EarSpec | null;
  /** The WAV file to write the sound to; without it nothing is written. */
  readonly keep?: string | null;
  /** What it hears and what is wrong with it. `died`: its process ended, and another took its place or no more are started. */
  readonly onMessage: (message: EarMessage) => void;
}

/** What an ear tells its owner: what its process says, and what becomes of that. Each `sentence` is one line: what, and what to do. */
export type EarMessage =
  | Exclude<FromEar, { kind: 'ready' }>
  | { readonly kind: 'died'; readonly sentence: string; readonly again: boolean };

/** The owner's end of an ear. Its process may stall or die; nothing here waits for it, throws for it, or writes to the terminal. */
export interface Ear {
  /** Listens there, in place of where it listened: `opened` or `failed` follows. */
  open(from: EarSpec, keep?: string | null): void;
  /** Stops listening; the process stays. */
  close(): void;
  /** Asks for the microphones: `microphones` follows. */
  list(): void;
  /**
   * Own sounds that are going to be made, some hundred ms before they are due, to be taken out of what is heard: in place of all
   * that were announced from `from` on. Times by the clock of `hrtimeMs`. To be told again after each `opened`.
   */
  announce(sounds: readonly SoundAhead[], from: number): void;
  /** How much later than they are due own sounds are heard, ms: from calibration. `null`: the ear finds it out. */
  setDelay(ms: number | null): void;
  /** Hears courses that are struck for tuning, as well; `null`: no longer. To be told after each `opened`. */
  tune(courses: readonly CourseToTune[] | null): void;
  /** Ends the process; resolves when it has gone, after 1.5 s at most. */
  quit(): Promise<void>;
}

/** Starts an ear: a process of its own that listens. */
export function openEar(options: EarOptions): Ear {
  return new EarClient(options);
}

class EarClient implements Ear {
  private opened: Extract<ToEar, { kind: 'open' }> | null = null;
  private delay: number | null = null;
  private readonly process: KeptProcess;

  constructor({ from, keep = null, onMessage }: EarOptions) {
    this.process = new KeptProcess({
      onMessage,
      onDied: (reason, again) => {
        if (again) this.tellAgain();
        onMessage({ kind: 'died', sentence: died(reason, again), again });
      },
    });
    if (from) this.open(from, keep);
  }

  open(from: EarSpec, keep: string | null = null): void {
    this.opened = { kind: 'open', from, keep };
    this.send(this.opened);
  }

  close(): void {
    this.opened = null;
    this.send({ kind: 'close' });
  }

  list(): void {
    this.send({ kind: 'list' });
  }

  announce(sounds: readonly SoundAhead[], from: number): void {
    this.send({ kind: 'ahead', from, sounds });
  }

  setDelay(ms: number | null): void {
    this.delay = ms;
    this.send({ kind: 'delay', ms });
  }

  tune(courses: readonly CourseToTune[] | null): void {
    this.send({ kind: 'courses', courses });
  }

  quit(): Promise<void> {
    return this.process.quit();
  }

  /** Tells a new process what the one before knew. */
  private tellAgain(): void {
    if (this.delay !== null) this.send({ kind: 'delay', ms: this.delay });
    if (this.opened) this.send({ ...this.opened, again: true });
  }

  private send(message: ToEar): void {
    this.process.send(message);
  }
}

function died(reason: string, again: boolean): string {
  const then = again
    ? 'it is being started again, and the music goes on'
    : 'it keeps failing and will not be started again; choose another microphone';
  return `the process that listens to the microphone has stopped (${reason}); ${then}`;
}
