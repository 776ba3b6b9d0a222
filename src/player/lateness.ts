import type { LatenessReport } from './messages.js';

/** How many of the latest sends are kept for the percentiles. */
const mostKept = 8192;

/** Counts how late messages leave. Recording allocates nothing. */
export class Lateness {
  private readonly recent = new Float64Array(mostKept);
  private count = 0;
  private worst = 0;
  private missedCount = 0;

  /** Records one send, in ms after its deadline; early counts as on time. */
  record(ms: number): void {
    const late = Math.max(ms, 0);
    this.recent[this.count % mostKept] = late;
    this.count += 1;
    if (late > this.worst) this.worst = late;
  }

  /** Counts a message that came too late to be sent. */
  miss(): void {
    this.missedCount += 1;
  }

  /** Percentiles of the latest sends; maximum and counts of all. */
  report(): LatenessReport {
    const sorted = this.recent.slice(0, Math.min(this.count, mostKept)).sort();
    const share = (part: number): number =>
      sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? 0;
    return {
      count: this.count,
      p50: share(0.5),
      p99: share(0.99),
      max: this.worst,
      missed: this.missedCount,
    };
  }
}

/** A report as one line: `lateness of 12345 messages: half within 0.02 ms, 99 % within 0.31, worst 1.20; 2 missed`. */
export function latenessText({ count, p50, p99, max, missed }: LatenessReport): string {
  const [half, most, worst] = [p50, p99, max].map((value) => value.toFixed(2));
  const lost = missed === 0 ? '' : `; ${missed} missed`;
  return `lateness of ${count} messages: half within ${half} ms, 99 % within ${most}, worst ${worst}${lost}`;
}
