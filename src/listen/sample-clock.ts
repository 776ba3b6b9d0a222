import { type Line, lineBelow, type Point } from './lower-line.js';

/** Of what arrives within so many seconds of sound only the most punctual piece is kept ... */
const bucket = 0.25;
/** ... for so many seconds: long enough for the card's rate, short enough to follow its drift as it warms. */
const span = 30;
/**
 * A card's rate differs from its name by so many ms a second at most: crystals by 0.1, cards that are made of software by more. What
 * was heard for less than `soon` seconds says little: there it differs less, and hardly from what was found before sound was lost.
 */
const steepest = { unknown: 0.15, known: 0.02, long: 2 };
const soon = 10;
/** When for so many seconds all comes later than it should, sound was lost; so much later, ms, and so many times what is usual. */
const lostAfter = 0.6;
/** Where the source said that it lost sound about here, so many seconds are enough; it is believed for so many. */
const lostSoon = 0.15;
const believed = 2;
/** What a line was begun with is left out when so many seconds have come behind it: some of it may be from before the loss after all. */
const provisional = 0.75;
const lostMs = 3;
const lostTimes = 4;
/** So many losses are remembered, with where they were: strokes from before them are still asked for. */
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
  /** Arrivals since sound was last lost, the most punctual of each bucket: x in seconds of sound from `origin`, y ms later than by the rate's name. */
  private points: Point[] = [];
  private origin: { readonly sample: number; readonly ms: number } | null = null;
  private line: Line = { at: 0, slope: 0 };
  /** What arrived since anything was last as punctual as it should be, each with the sample that its piece began with. */
  private late: (Point & { readonly from: number })[] = [];
  /** Lines that held up to a sample at which sound was lost. */
  private readonly past: { readonly end: number; readonly line: Line }[] = [];
  /** The second of sound up to which a loss is likely. */
  private alert = Number.NEGATIVE_INFINITY;
  /** What the line was laid below before the last loss, in case it was none. */
  private before: { readonly points: Point[]; readonly line: Line } | null = null;
  /** Up to this second of sound the kept points are provisional; `null` when none is. */
  private doubtful: number | null = null;
  private losses = 0;
  /** How much later than the line the kept points are, their median, ms. */
  private usual = 0;
  /** The slope that was found from a long look; `null` before one. */
  private known: number | null = null;

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
    return -(this.known ?? 0) * 1e3;
  }

  /** The sample at which sound was last lost; before the first if none was. */
  get lastLoss(): number {
    return this.past.at(-1)?.end ?? Number.NEGATIVE_INFINITY;
  }

  /** A piece of so many samples arrived at `ms` (the shared clock). */
  arrived(samples: number, ms: number): void {
    const from = this.count;
    this.count += samples;
    this.origin ??= { sample: this.count, ms };
    const point = this.point(this.count, ms);
    this.takeBack(point);
    const excess = this.excess(point);
    if (this.points.length > 0 && excess < -earlyMs && point.x > soon) this.anchor([point], from);
    else if (excess > this.limit()) this.delayed({ ...point, from });
    else {
      for (const one of this.late) this.keep(one);
      this.late = [];
      this.keep(point);
    }
  }

  /** The source lost sound right here: what comes from now on is laid on a line of its own. */
  lost(): void {
    if (this.points.length > 0) this.anchor([], this.count);
  }

  /** The source lost sound about here; where, is seen from what arrives. */
  mayHaveLost(): void {
    this.alert = this.points.length === 0 ? this.alert : (this.points.at(-1) as Point).x + believed;
  }

  /** When a sample sounded, ms of the shared clock; may be asked for samples that are still to come. `null` before anything arrived. */
  at(sample: number): number | null {
    if (!this.origin) return null;
    const x = (sample - this.origin.sample) / this.rate;
    const { at, slope } = this.past.find(({ end }) => sample < end)?.line ?? this.line;
    return this.origin.ms + 1000 * x + at + slope * x;
  }

  /**
   * The sample, with its fraction, that sounds at a time of the shared clock behind the last loss, if no more is lost; `null` before
   * anything arrived.
   */
  sampleAt(ms: number): number | null {
    if (!this.origin) return null;
    const x = (ms - this.origin.ms - this.line.at) / (1000 + this.line.slope);
    return this.origin.sample + x * this.rate;
  }

  private point(sample: number, ms: number): Point {
    const { sample: first, ms: begin } = this.origin as { sample: number; ms: number };
    const x = (sample - first) / this.rate;
    return { x, y: ms - begin - 1000 * x };
  }

  /** How much later than the line a piece may be and still be called punctual, ms. */
  private limit(): number {
    return this.points.length === 0 ? Number.POSITIVE_INFINITY : Math.max(lostMs, lostTimes * this.usual);
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
    // The earliest of them may have come late before the loss, less late than all behind it.
    const least = Math.min(...sure.map((one) => this.excess(one)));
    const begin = this.late.find((one) => this.excess(one) > least / 2) ?? point;
    const before = { points: this.points, line: this.line };
    this.anchor(sure, begin.from);
    this.doubtful = point.x;
    this.before = before;
  }

  /** Sound that was lost never comes: where a piece is as punctual as before the loss, there was none, and the system had stopped. */
  private takeBack({ x, y }: Point): void {
    const { before } = this;
    if (!before || Math.abs(y - before.line.at - before.line.slope * x) > lostMs) return;
    this.points = before.points;
    this.line = before.line;
    this.past.pop();
    this.before = null;
    this.doubtful = null;
  }

  private excess({ x, y }: Point): number {
    return y - this.line.at - this.line.slope * x;
  }

  /** Begins anew with these points, from a sample on. The card is the same: its rate is still known. */
  private anchor(points: readonly Point[], from: number): void {
    this.losses += 1;
    this.past.push({ end: from, line: this.line });
    if (this.past.length > mostLosses) this.past.shift();
    this.points = [];
    this.late = [];
    this.alert = Number.NEGATIVE_INFINITY;
    this.doubtful = null;
    this.before = null;
    for (const point of points) this.keep(point);
  }

  private keep(point: Point): void {
    if (this.doubtful !== null && point.x > this.doubtful + provisional) {
      const from = this.doubtful;
      this.points = this.points.filter(({ x }) => x > from);
      this.doubtful = null;
      this.before = null;
    }
    const last = this.points.at(-1);
    const place = Math.floor(point.x / bucket);
    if (last && Math.floor(last.x / bucket) === place && last.x !== this.doubtful) {
      if (this.above(point) >= this.above(last)) return;
      this.points[this.points.length - 1] = point;
    } else this.points.push(point);
    while ((this.points[0] as Point).x < point.x - span) this.points.shift();
    this.lay();
  }

  private above({ x, y }: Point): number {
    return y - this.line.slope * x;
  }

  private lay(): void {
    const long = (this.points.at(-1) as Point).x - (this.points[0] as Point).x >= soon;
    const about = long ? 0 : (this.known ?? 0);
    const turned = this.points.map(({ x, y }) => ({ x, y: y - about * x }));
    const most = long ? steepest.long : this.known === null ? steepest.unknown : steepest.known;
    const { at, slope } = lineBelow(turned, most);
    this.line = { at, slope: about + slope };
    if (long) this.known = this.line.slope;
    const excess = this.points
      .map((point) => this.above(point) - this.line.at)
      .sort((one, other) => one - other);
    this.usual = excess[excess.length >> 1] as number;
  }
}
