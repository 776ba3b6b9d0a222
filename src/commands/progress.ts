import { say } from './exit.js';

/** How long to wait before the first report, and between reports, ms. */
const patience = 1500;
const every = 2000;

/** Reports the progress of long work on stderr, once it takes longer than a moment. */
export class Progress {
  private due = Date.now() + patience;

  /** @param what the work: `listening to take.wav` */
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
