// Whether the newest pulses of a clock show something other than jitter: a cycle slip (pulses lost or doubled: the
// arrival times jump by whole periods) or a change of tempo (the line breaks). This is two-phase regression with an
// unknown change point, tested by the likelihood ratio over all change points that come into question: Quandt 1958,
// "The estimation of the parameters of a linear regression system obeying two separate regimes" (J. Am. Stat. Assoc.
// 53), and 1960, "Tests of the hypothesis that a linear regression system obeys two separate regimes" (ibid. 55); with
// the two lines meeting at the change point, Hinkley 1971, "Inference in two-phase regression" (ibid. 66). Where
// outliers take part, a residual's cost is its truncated square (truncated least squares; cf. Huber 1981, "Robust
// Statistics"). The thresholds are this program's own.
//
// A "gain" is twice the logarithm of a likelihood ratio, for normal jitter: a difference of sums of squared residuals
// in units of the jitter's variance. A gain of x is thus what one deviation of √x standard deviations would give.

import type { RegressionLine } from './regression-line.js';

/** Pulses a beat: a change that this many show is long. */
const beatPulses = 24;

/** The newest pulses in which slips and changes are looked for, outliers and inliers: two beats. */
export const testedPulses = 48;
/** The fewest pulses that can show anything: fewer are fitted by too much. */
const leastTestedPulses = 4;
/** Up to so many newest pulses each change point is tried; beyond, where one more matters less, each fourth. */
const densePulses = 16;
const sparseStep = 4;
/** Inliers that must be left before a change point, so that there is a line to measure from. */
const leastPulsesBefore = 8;

/** Among inliers, change points are looked for this many pulses back at each pulse; at every sixteenth, all the way. */
const lookBackPulses = 64;
export const fullLookPulses = 16;
/** Inliers that must lie after a change point among inliers, and before it. */
const leastInliersAfter = beatPulses / 2;
const leastInliersBefore = 16;

/** The most a residual costs, in variances (three standard deviations): no single stray pulse may decide anything. */
const mostCost = 9;

/** The gain that proves a slip or a change, in variances: five standard deviations. */
const proof = 25;
/** The gain that proves a change a beat or more ago: it is less often chance, and costs less if it is. */
const longProof = 17;
/** From such a gain or cost on, in variances, it is worth a closer look. */
const suspicion = 12;
/** A change of tempo must gain this much more than a slip, which leaves the line where it is and so can wait. */
const tempoLead = 15;
/** A slip must gain this much more than a change of tempo, and this many pulses must show it. */
const slipLead = 5;
const leastSlipPulses = 6;
/** The cost of the freest hypothesis, a line of its own through the newest pulses, for the two numbers it has free. */
const freeLineCost = 25;

/** The tempo can become so many times as fast or slow at once; anything else is a stall, or the burst after it. */
const mostTempoRatio = 3;
/** No clock sends pulses faster than this, ms (625 quarters a minute): faster ones are a burst. */
const burstPeriodMs = 4;

/** Something other than jitter that the newest `count` pulses show. */
interface Hypothesis {
  /** By how much it is likelier than none, in variances; 0: there is none. */
  gain: number;
  count: number;
}

/** Pulses were lost or doubled just before the newest: their labels are wrong by this much. */
interface Slip extends Hypothesis {
  by: number;
}

/** The tempo changed just before the newest: ms a pulse since then. */
interface TempoChange extends Hypothesis {
  period: number;
}

/** What is proved: nothing, a cycle slip, or a change of tempo. */
export type Finding = 'nothing' | 'slip' | 'tempo-change';

/** Tests the pulses of a regression line, of which it leaves everything as it was. Nothing is allocated for a test. */
export class ChangeDetector {
  /** The likeliest slip of the last test. */
  readonly slip: Slip = { gain: 0, count: 0, by: 0 };
  /** The likeliest change of tempo of the last test. */
  readonly tempoChange: TempoChange = { gain: 0, count: 0, period: 0 };
  // Of the newest pulses, the newest first: residuals from the line that is laid without them, what they cost by the
  // line as it is, and whether they are inliers.
  private readonly residuals = new Float64Array(testedPulses);
  private readonly costs = new Float64Array(testedPulses);
  private readonly inliers = new Uint8Array(testedPulses);
  /** The variance of the jitter, ms squared. */
  private variance = 1;

  constructor(private readonly line: RegressionLine) {}

  /** What the newest pulses prove, with jitter of a variance (ms squared); `full` looks for changes all the way back. */
  test(variance: number, full: boolean): Finding {
    const { line, slip, tempoChange } = this;
    this.variance = variance;
    slip.gain = 0;
    tempoChange.gain = 0;
    this.testInliers(full ? line.held : lookBackPulses);
    this.testNewest();
    const enough = tempoChange.count >= beatPulses ? longProof : proof;
    if (tempoChange.gain >= enough && tempoChange.gain >= slip.gain + tempoLead) return 'tempo-change';
    const told = slip.gain >= proof && slip.count >= leastSlipPulses;
    return told && slip.gain >= tempoChange.gain + slipLead ? 'slip' : 'nothing';
  }

  /**
   * Tests whether the inliers change their slope anywhere among the newest `most` pulses. The line was laid through all of
   * them and has taken up part of such a change; the test weighs the rest exactly: it is that of one more regressor,
   * max(0, label − change point), of which the part that the line explains is taken out.
   */
  private testInliers(most: number): void {
    const { line, variance } = this;
    let count = 0;
    let sumV = 0;
    let sumVV = 0;
    let sumR = 0;
    let sumRV = 0;
    const end = Math.min(most, line.held - 1);
    for (let age = 0; age < end; age += 1) {
      const v = line.label(age) - line.meanLabel;
      if (line.isInlier(age)) {
        const r = line.residual(age);
        count += 1;
        sumV += v;
        sumVV += v * v;
        sumR += r;
        sumRV += r * v;
      }
      if (count < leastInliersAfter) continue;
      if (line.count - count < leastInliersBefore) return;
      const changePoint = v - 1;
      const top = sumRV - changePoint * sumR;
      const ones = sumV - count * changePoint;
      const along = sumVV - changePoint * sumV;
      const under = along - changePoint * ones - (ones * ones) / line.count - (along * along) / line.spread;
      const change = top / under;
      this.proposeTempoChange((change * top) / variance, age + 1, line.period + change);
    }
  }

  /** Tests the newest pulses, outliers and inliers, with truncated costs, so that a stall or a stray pulse proves nothing. */
  private testNewest(): void {
    const { line, costs, inliers } = this;
    const most = Math.min(testedPulses, line.held - 1);
    let newest = 0;
    for (let age = 0; age < most; age += 1) {
      const cost = this.cost(line.residual(age));
      costs[age] = cost;
      if (age < densePulses) newest += cost;
    }
    // Mostly there is nothing the matter: those cost what jitter does.
    if (newest < proof && this.tempoChange.gain < suspicion) return;
    for (let age = 0; age < most; age += 1) inliers[age] = line.isInlier(age) ? 1 : 0;
    let current = 0;
    for (let count = 1; count <= most; count += 1) {
      current += costs[count - 1] as number;
      // The line as it was before these pulses could draw it toward them.
      line.setInlier(count - 1, false);
      if (line.count < leastPulsesBefore) break;
      if (count >= leastTestedPulses && (count <= densePulses || count % sparseStep === 0)) {
        line.fit();
        this.compare(count, current);
      }
    }
    for (let age = 0; age < most; age += 1) line.setInlier(age, inliers[age] === 1);
    line.fit();
  }

  /** What a residual (ms) costs: its square, in variances, cut off. */
  private cost(off: number): number {
    return Math.min((off * off) / this.variance, mostCost);
  }

  /**
   * Compares hypotheses about the newest `count` pulses: a slip, another slope from the change point on, and a line of
   * their own. The line is laid without them; with them they cost `current`.
   */
  private compare(count: number, current: number): void {
    const { line, residuals } = this;
    const { period } = line;
    const middle = (line.label(0) + line.label(count - 1)) / 2;
    // The line without them is itself uncertain: a shift of them all weighs the less for it.
    const certainty = 1 / (1 + count * line.leverage(middle));
    let before = 0;
    let sumOff = 0;
    let sumLabel = 0;
    for (let age = 0; age < count; age += 1) {
      const off = line.residual(age);
      residuals[age] = off;
      before += this.cost(off);
      sumOff += off;
      sumLabel += line.label(age) - middle;
    }
    if (current < suspicion && before * certainty < suspicion) return;

    const mean = sumOff / count;
    const by = Math.round(mean / period);
    const changePoint = line.label(count - 1) - 1;
    const centre = middle + sumLabel / count;
    // Joined: zero at the change point, then in proportion to the distance. Free: a line through mean and centre.
    let joinedTop = 0;
    let joinedUnder = 0;
    let freeTop = 0;
    let freeUnder = 0;
    for (let age = 0; age < count; age += 1) {
      const off = residuals[age] as number;
      const along = line.label(age) - changePoint;
      const about = line.label(age) - centre;
      joinedTop += along * off;
      joinedUnder += along * along;
      freeTop += about * off;
      freeUnder += about * about;
    }
    const joined = joinedTop / joinedUnder;
    const free = freeTop / freeUnder;
    let slipCost = 0;
    let joinedCost = 0;
    let freeCost = freeLineCost;
    for (let age = 0; age < count; age += 1) {
      const off = residuals[age] as number;
      slipCost += this.cost(off - by * period);
      joinedCost += this.cost(off - joined * (line.label(age) - changePoint));
      freeCost += this.cost(off - mean - free * (line.label(age) - centre));
    }
    this.proposeSlip(gainOf(slipCost, current, before, certainty), count, by);
    this.proposeTempoChange(gainOf(joinedCost, current, before, certainty), count, period + joined);
    this.proposeTempoChange(gainOf(freeCost, current, before, certainty), count, period + free);
  }

  private proposeSlip(gain: number, count: number, by: number): void {
    const { slip } = this;
    if (by === 0 || !(gain > slip.gain)) return;
    slip.gain = gain;
    slip.count = count;
    slip.by = by;
  }

  private proposeTempoChange(gain: number, count: number, period: number): void {
    const { tempoChange, line } = this;
    const possible = period >= line.period / mostTempoRatio && period <= line.period * mostTempoRatio;
    if (!possible || period < burstPeriodMs || !(gain > tempoChange.gain)) return;
    tempoChange.gain = gain;
    tempoChange.count = count;
    tempoChange.period = period;
  }
}

/** What a hypothesis of a cost gains on the line laid with the pulses, or without them as far as that one is certain. */
function gainOf(cost: number, current: number, before: number, certainty: number): number {
  return Math.max(current - cost, (before - cost) * certainty);
}
