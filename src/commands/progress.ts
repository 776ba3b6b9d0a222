import { say } from './exit.js';

/** How long nothing is said, and how long after that from one time to the next, ms. */
const patience = 1500;
const every = 2000;

/** Says on stderr how far long work is, from when it lasts longer than a moment on. */
export class Progress {
  private due = Date.now() + patience;

  /** @param what what is done: `listening to take.wav` */
  constructor(private readonly what: string) {}

  /** Does all of the work, whose steps answer how far it is, 0–1; that is from … to … of the whole. */
  run<T>(work: Generator<number, T>, from: number, to: number): T {
    for (;;) {
      const step = work.next();
      if (step.done) return step.value;
      if (Date.now() < this.due || step.value >= 1) continue;
      this.due = Date.now() + every;
      say(`${this.what}: ${Math.round(100 * (from + (to - from) * step.value))} %`);
    }
  }
}
