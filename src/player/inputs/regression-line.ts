// The straight line through the recent pulses of a clock: arrival time over pulse number ("label"), by ordinary least
// squares over the inliers, with a Gaussian prior on the slope. A prior adds to the normal equations what pulses of
// that tempo would, which is Bayesian linear regression, or ridge regression toward the prior's slope (Hoerl and
// Kennard 1970, "Ridge regression: biased estimation for nonorthogonal problems", Technometrics 12).

/** Ms a pulse while nothing is known: 120 quarters a minute, the tempo of a MIDI file that names none, at 24 a quarter. */
export const usualPeriodMs = 60_000 / (120 * 24);

/** Ms a pulse that are believed (2500 to 2.5 quarters a minute): no flood or trickle of pulses makes time stand still or fly. */
const leastPeriodMs = 1;
const mostPeriodMs = 1000;

/** Pulses the line is laid through at most, 20 quarters: more would gain little, and hold on to a tempo that wanders. */
const capacityPulses = 480;

/** The least weight of a prior, in squared labels: next to no pulses, yet a lone pulse has a slope. */
const leastPriorWeight = 1e-3;

/** A number held between two others. */
export const clamp = (value: number, least: number, most: number): number =>
  Math.min(Math.max(value, least), most);

/**
 * The latest pulses in a ring, each with its label (a whole number, one more for each pulse) and its arrival (ms), and
 * the regression line through those that are inliers. The sums run; about a new origin they are made again each time
 * the ring has gone round, so that rounding does not add up. Nothing is allocated after the construction.
 */
export class RegressionLine {
  private readonly labels = new Float64Array(capacityPulses);
  private readonly times = new Float64Array(capacityPulses);
  private readonly inliers = new Uint8Array(capacityPulses);
  private readonly close = new Uint8Array(capacityPulses);
  /** Pulses ever added; that of age `a` (0: the newest) is in slot `(added - 1 - a) % capacityPulses`. */
  private added = 0;
  private untilNewSums = 0;

  /** How many pulses are held, inliers and outliers. */
  held = 0;
  /** How many of them are inliers. */
  count = 0;
  // Sums over the inliers, of u = label - originLabel and y = time - originTime - u * originPeriod: small numbers, so
  // that little is lost to rounding.
  private sumU = 0;
  private sumUU = 0;
  private sumY = 0;
  private sumUY = 0;
  private originLabel = 0;
  private originTime = 0;
  private originPeriod = usualPeriodMs;

  /** The prior on the slope, ms a label, and its weight as a sum of squared labels. */
  private priorPeriod = usualPeriodMs;
  private priorWeight = 0;

  /** The line: it runs through (`meanLabel`, `meanTime`) at `period` ms a label. */
  meanLabel = 0;
  meanTime = 0;
  period = usualPeriodMs;
  /** Sum of squared distances of the inliers' labels from their mean. */
  spread = 0;

  private slot(age: number): number {
    return (this.added - 1 - age) % capacityPulses;
  }

  /** The arrival (ms) of the pulse of an age in pulses; 0 is the newest. */
  time(age: number): number {
    return this.times[this.slot(age)] as number;
  }

  /** The label of the pulse of an age. */
  label(age: number): number {
    return this.labels[this.slot(age)] as number;
  }

  /** Whether the line is laid through the pulse of an age. */
  isInlier(age: number): boolean {
    return this.inliers[this.slot(age)] === 1;
  }

  /** How much later than the line the pulse came, in ms. */
  residual(age: number): number {
    const slot = this.slot(age);
    return (this.times[slot] as number) - this.timeOf(this.labels[slot] as number);
  }

  /** Where the line is at a label, in ms. */
  timeOf(label: number): number {
    return this.meanTime + (label - this.meanLabel) * this.period;
  }

  /** The label, with a fraction, that the line has at a time. */
  labelAt(time: number): number {
    return this.meanLabel + (time - this.meanTime) / this.period;
  }

  /** The leverage of a label: the variance of the line there, as a multiple of the variance of the jitter. */
  leverage(label: number): number {
    const weight = this.spread + this.priorWeight;
    const off = label - this.meanLabel;
    return (this.count > 0 ? 1 / this.count : 1) + (weight > 0 ? (off * off) / weight : 1);
  }

  /** Begins again with nothing but a prior on the tempo; `weight` 0 takes it for a guess. */
  clear(period: number, weight: number): void {
    this.held = 0;
    this.prior(period, weight);
  }

  /** Sets the prior on the slope, as heavy as pulses whose labels spread so far; `fit` must follow. */
  prior(period: number, weight: number): void {
    this.priorPeriod = clamp(period, leastPeriodMs, mostPeriodMs);
    this.priorWeight = Math.max(weight, leastPriorWeight);
  }

  /** Adds a pulse, and lets the oldest go when there are too many. */
  push(label: number, time: number, inlier: boolean): void {
    if (this.held === capacityPulses) {
      this.setInlier(this.held - 1, false);
      this.held -= 1;
    }
    this.added += 1;
    this.held += 1;
    const slot = this.slot(0);
    this.labels[slot] = label;
    this.times[slot] = time;
    this.inliers[slot] = 0;
    this.untilNewSums -= 1;
    if (this.held === 1 || this.untilNewSums <= 0) {
      this.inliers[slot] = inlier ? 1 : 0;
      this.sumAnew();
    } else {
      this.setInlier(0, inlier);
      this.fit();
    }
  }

  /** Makes a pulse an inlier or an outlier; `fit` must follow. */
  setInlier(age: number, inlier: boolean): void {
    const slot = this.slot(age);
    if ((this.inliers[slot] === 1) === inlier) return;
    this.inliers[slot] = inlier ? 1 : 0;
    const sign = inlier ? 1 : -1;
    const u = (this.labels[slot] as number) - this.originLabel;
    const y = (this.times[slot] as number) - this.originTime - u * this.originPeriod;
    this.count += sign;
    this.sumU += sign * u;
    this.sumUU += sign * u * u;
    this.sumY += sign * y;
    this.sumUY += sign * u * y;
  }

  /**
   * Makes each of the newest `count` pulses an inlier or an outlier again: an inlier comes within `far` ms, which grow
   * with the line's own uncertainty at its label.
   */
  classify(count: number, far: number): void {
    const { close } = this;
    let near = 0;
    for (let age = 0; age < count; age += 1) {
      const isClose = Math.abs(this.residual(age)) <= far * Math.sqrt(1 + this.leverage(this.label(age)));
      close[age] = isClose ? 1 : 0;
      if (isClose) near += 1;
    }
    // A line that most of them are far from is no measure for them, if there is nothing else it is laid through.
    const alone = this.held === count && 2 * near < count;
    for (let age = 0; age < count; age += 1) this.setInlier(age, alone || close[age] === 1);
    this.fit();
  }

  /** Moves the labels of the newest `count` pulses. */
  relabel(count: number, by: number): void {
    for (let age = 0; age < count; age += 1) this.labels[this.slot(age)] = this.label(age) + by;
    this.sumAnew();
  }

  /** Forgets all but the newest `count` pulses. */
  keep(count: number): void {
    this.held = Math.min(this.held, count);
    this.sumAnew();
  }

  /** Makes the sums again with the newest pulse as their origin, and the line by them. */
  private sumAnew(): void {
    const slot = this.slot(0);
    this.untilNewSums = capacityPulses;
    this.originLabel = this.labels[slot] as number;
    this.originTime = this.times[slot] as number;
    this.originPeriod = this.count > 1 ? this.period : this.priorPeriod;
    this.count = this.sumU = this.sumUU = this.sumY = this.sumUY = 0;
    for (let age = this.held - 1; age >= 0; age -= 1) {
      if (!this.isInlier(age)) continue;
      this.inliers[this.slot(age)] = 0;
      this.setInlier(age, true);
    }
    this.fit();
  }

  /** Lays the line again; where there is no inlier, it stays. */
  fit(): void {
    const { count } = this;
    if (count === 0) return;
    const u = this.sumU / count;
    this.spread = Math.max(this.sumUU - this.sumU * u, 0);
    const covariation =
      this.sumUY - this.sumY * u + this.priorWeight * (this.priorPeriod - this.originPeriod);
    this.period = clamp(
      this.originPeriod + covariation / (this.spread + this.priorWeight),
      leastPeriodMs,
      mostPeriodMs,
    );
    this.meanLabel = this.originLabel + u;
    this.meanTime = this.originTime + u * this.originPeriod + this.sumY / count;
  }

  /** The inliers' mean squared residual, ms squared: the variance of the jitter, without bias (two numbers were fitted). */
  meanSquare(): number {
    let sum = 0;
    for (let age = 0; age < this.held; age += 1) if (this.isInlier(age)) sum += this.residual(age) ** 2;
    return sum / Math.max(this.count - 2, 1);
  }
}
