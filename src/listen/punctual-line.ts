import { type Line, lineBelow, type Point } from './lower-line.js';

/** Of what arrives within this many seconds of sound only the most punctual piece is kept ... */
const bucket = 0.25;
/** ... for this many seconds: long enough for the card's rate, short enough to follow its drift as it warms. */
const span = 30;
/**
 * A card's rate differs from its name by this many ms a second at most: crystals by 0.1, cards that are made of software by more. What
 * was heard for less than `soon` seconds says little: there it differs less, and hardly from what was found before sound was lost.
 */
const steepest = { unknown: 0.15, known: 0.02, long: 2 };
/** This many seconds of sound are a long look. */
export const soon = 10;
/** What a line was begun with is left out when so many seconds have come after it: some of it may be from before the loss after all. */
const provisional = 0.75;
/** What comes later than the line by this much, ms, or by this many times what is usual, is not punctual. */
const lateMs = 3;
const lateTimes = 4;

/**
 * The line below what arrived most punctually: x in seconds of sound, y in ms that a piece came later than by the card's rate. A new one may be begun, and taken back while
 * what it was begun with is provisional.
 */
export class PunctualLine {
  /** The most punctual of each bucket. */
  private points: Point[] = [];
  private line: Line = { at: 0, slope: 0 };
  /** How much later than the line the points are, their median, ms. */
  private usual = 0;
  /** The slope that was found from a long look; `null` before one. It is the card's: a new line keeps it. */
  private known: number | null = null;
  /** Up to this second of sound the points are provisional; `null` when none is. */
  private doubtful: number | null = null;
  /** The line that this one may have taken the place of wrongly. */
  private before: { readonly points: Point[]; readonly line: Line } | null = null;

  /** The line as it lies now. */
  get now(): Line {
    return this.line;
  }

  /** The last second of sound that it was laid below; `null` before anything was. */
  get end(): number | null {
    return this.points.at(-1)?.x ?? null;
  }

  /** Its slope, ms a second, as a long look found it; 0 before. */
  get steady(): number {
    return this.known ?? 0;
  }

  /** How much later than the line a piece may be and still be called punctual, ms. */
  get limit(): number {
    return this.points.length === 0 ? Number.POSITIVE_INFINITY : Math.max(lateMs, lateTimes * this.usual);
  }

  /** How much later than the line a piece came, ms. */
  excess({ x, y }: Point): number {
    return y - this.line.at - this.line.slope * x;
  }

  /** Lays the line below one point more, by rising x. */
  keep(point: Point): void {
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

  /** Begins again below these points. The card is the same: its rate is still known. `perhaps`: it may be taken back, the points are provisional. */
  begin(points: readonly Point[], perhaps = false): void {
    const before = { points: this.points, line: this.line };
    this.points = [];
    this.doubtful = null;
    this.before = null;
    for (const point of points) this.keep(point);
    if (!perhaps) return;
    this.doubtful = points.at(-1)?.x ?? null;
    this.before = before;
  }

  /** Takes the beginning back where a piece is as punctual as by the line before; returns whether it did. */
  takeBack({ x, y }: Point): boolean {
    const { before } = this;
    if (!before || Math.abs(y - before.line.at - before.line.slope * x) > lateMs) return false;
    this.points = before.points;
    this.line = before.line;
    this.before = null;
    this.doubtful = null;
    return true;
  }

  private above({ x, y }: Point): number {
    return y - this.line.slope * x;
  }

  private lay(): void {
    const long = (this.points.at(-1) as Point).x - (this.points[0] as Point).x >= soon;
    const about = long ? 0 : this.steady;
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
