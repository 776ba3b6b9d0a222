import type { EarMessage } from '../ear/client.js';

type Quiet = Extract<EarMessage, { kind: 'condition' }>;

/** Nothing comes above this where a microphone is muted or forbidden: zeros, or the last bit of a converter, dB below full scale. */
const nothingAtAll = -90;
/** A room may be this quiet until somebody plays: silence is reported after this many bars that should be played. */
const enoughBars = 3;

/** Tells a microphone that hears nothing from a room in which nobody plays yet. */
export class QuietWatch {
  private waiting: { readonly message: Quiet; readonly since: number } | null = null;
  private peak = 0;

  /** Since when it has been quiet, ms; infinite where it is not. */
  get since(): number {
    return this.waiting?.since ?? Number.POSITIVE_INFINITY;
  }

  /** Takes what the ear said; returns whether it is kept back for now. */
  holds(message: EarMessage, at: number): boolean {
    if (message.kind === 'level') this.peak = message.peak;
    if (message.kind !== 'condition') return false;
    this.waiting = null;
    if (message.condition !== 'silent' || this.peak < nothingAtAll) return false;
    this.waiting = { message, since: at };
    return true;
  }

  /** This many bars were due since it became quiet: what should be reported because of it. */
  look(bars: number): Quiet | null {
    const { waiting } = this;
    if (!waiting || bars < enoughBars) return null;
    this.waiting = null;
    return waiting.message;
  }
}
