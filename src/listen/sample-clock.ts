import type { Line, Point } from './lower-line.js';
import { PunctualLine, soon } from './punctual-line.js';

/** When for this many seconds nothing is punctual, sound was lost. */
const lostAfter = 0.6;
/** Where the source said that it lost sound about here, so many seconds are enough; it is believed for this many. */
const lostSoon = 0.15;
const believed = 2;
/** This many losses are remembered, with where they were: strokes from before them are still asked for. */
const mostLosses = 16;
/** What comes so much too early, ms, was counted twice or put in. */
const earlyMs = 20;

/**
 * When each sample of a sound card sounded, on the clock that all processes share, from when pieces of sound arrived. A piece
 * cannot arrive before its last sample has sounded, but arrives later by as much as buffers and the system please: so the line
 * is laid below what was measured. What is constant of the delay stays in it; it is measured otherwise, once for a card.
 *
 * For cards that drift by up to 100 ppm, pieces that come up to 4 ms late in the mean and a system that stops for up to 250 ms,
 * times are within 1 ms of that constant in 99 % of cases once five seconds were heard, and again two and a half seconds after
 * sound was lost.
 */
export class SampleClock {
  /** Samples that have arrived. */
  private count = 0;
  private origin: { readonly sample: number; readonly ms: number } | null = null;
  /** What arrived punctually since sound was last lost: x in seconds of sound from `origin`, y ms later than by the rate's name. */
  private readonly line = new PunctualLine();
  /** What arrived since anything was last as punctual as it should be, each with the sample that its piece began with. */
  private late: (Point & { readonly from: number })[] = [];
  /** Lines that held up to a sample at which sound was lost. */
  private readonly past: { readonly end: number; readonly line: Line }[] = [];
  /** The second of sound up to which a loss is likely. */
  private alert = Number.NEGATIVE_INFINITY;
  private losses = 0;

  /** `rate`: samples a second, as the card names it. */
  constructor(private readonly rate: number) {}

  /** Samples so far. */
  get samples(): number {
    return this.count;
  }

  /** How often sound was lost, as far as was noticed. */
  get gaps(): number {
    return this.losses;
  }

  /** How much faster than its name the card runs, in parts of a million; 0 until that is known. */
  get drift(): number {
    return -this.line.steady * 1e3;
  }

  /** The sample at which sound was last lost; before the first if none was. */
  get lastLoss(): number {
    return this.past.at(-1)?.end ?? Number.NEGATIVE_INFINITY;
  }

  /**
   * A piece of this many samples arrived at `ms` (the shared clock). `awaited`: the reader was waiting for it; where it had other things
   * to do, that the piece comes late says nothing of the card.
   */
  arrived(samples: number, ms: number, awaited = true): void {
    const from = this.count;
    this.count += samples;
    this.origin ??= { sample: this.count, ms };
    const point = this.point(this.count, ms);
    // Sound that was lost never comes: where a piece is as punctual as before, none was, and the system had stopped.
    if (this.line.takeBack(point)) this.past.pop();
    const excess = this.line.excess(point);
    if (this.line.end !== null && excess < -earlyMs && point.x > soon) this.anchor([point], from);
    else if (excess > this.line.limit) {
      if (awaited) this.delayed({ ...point, from });
    } else {
      for (const one of this.late) this.line.keep(one);
      this.late = [];
      this.line.keep(point);
    }
  }

  /** The source lost sound right here: what comes from now on is laid on a line of its own. */
  lost(): void {
    if (this.line.end !== null) this.anchor([], this.count);
  }

  /** The source lost sound about here; where, is seen from what arrives. */
  mayHaveLost(): void {
    if (this.line.end !== null) this.alert = this.line.end + believed;
  }

  /** When a sample sounded, ms of the shared clock; may be asked for samples that are still to come. `null` before anything arrived. */
  at(sample: number): number | null {
    if (!this.origin) return null;
    const x = (sample - this.origin.sample) / this.rate;
    const { at, slope } = this.past.find(({ end }) => sample < end)?.line ?? this.line.now;
    return this.origin.ms + 1000 * x + at + slope * x;
  }

  /**
   * The sample, with its fraction, that sounds at a time of the shared clock after the last loss, if no more is lost; `null` before
   * anything arrived.
   */
  sampleAt(ms: number): number | null {
    if (!this.origin) return null;
    const { at, slope } = this.line.now;
    const x = (ms - this.origin.ms - at) / (1000 + slope);
    return this.origin.sample + x * this.rate;
  }

  private point(sample: number, ms: number): Point {
    const { sample: first, ms: begin } = this.origin as { sample: number; ms: number };
    const x = (sample - first) / this.rate;
    return { x, y: ms - begin - 1000 * x };
  }

  /** A late piece: either the system was slow and catches up, or sound was lost and all that follows is as late. */
  private delayed(point: Point & { readonly from: number }): void {
    this.late.push(point);
    const first = this.late[0] as Point;
    const seconds = point.x - first.x;
    const enough = point.x < this.alert ? lostSoon : lostAfter;
    // In sound as well as in time: after a long stall much arrives at once, and the last of it is punctual.
    if (seconds < enough || seconds + (point.y - first.y) / 1000 < enough) return;
    const sure = this.late.filter(({ x }) => x > point.x - enough / 2);
    // The earliest of them may have come late before the loss, less late than all after it.
    const least = Math.min(...sure.map((one) => this.line.excess(one)));
    const begin = this.late.find((one) => this.line.excess(one) > least / 2) ?? point;
    this.anchor(sure, begin.from, true);
  }

  /** Begins again with these points, from a sample on; `perhaps`: it may turn out that nothing was lost. */
  private anchor(points: readonly Point[], from: number, perhaps = false): void {
    this.losses += 1;
    this.past.push({ end: from, line: this.line.now });
    if (this.past.length > mostLosses) this.past.shift();
    this.late = [];
    this.alert = Number.NEGATIVE_INFINITY;
    this.line.begin(points, perhaps);
  }
}
