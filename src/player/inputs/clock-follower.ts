import { ChangeDetector, fullLookPulses, testedPulses } from './change-detector.js';
import { clamp, RegressionLine, usualPeriodMs } from './regression-line.js';
import { pulsesPerQuarter, SongPosition, ticksPerPulse } from './song-position.js';

/**
 * How the position stands with an external clock.
 *
 * - `waiting`: no clock is heard, and nothing runs on by itself.
 * - `acquiring`: pulses come, but too few yet to be sure of them.
 * - `locked`: tempo and position are known.
 * - `holdover`: the clock was lost while it ran; time goes on at the last tempo.
 */
export type FollowState = 'waiting' | 'acquiring' | 'locked' | 'holdover';

/** Where an external clock is: from tick `tick` at `time` (ms) on, a tick lasts `msPerTick`. */
export interface Followed {
  readonly state: FollowState;
  /** Ticks from the start of the song, 960 a quarter, with fractions. */
  readonly tick: number;
  readonly time: number;
  readonly msPerTick: number;
}

/** Inliers that make a lock: a beat of them. */
const lockPulses = 24;

/** Pulses before a tempo is reported: a quarter of a beat. */
const tempoPulses = 6;

/** The clock counts as lost after this many pulses' worth without one, but not before this many ms, which a stall lasts. */
const lossPulses = 8;
const lossMs = 250;

/** The least jitter (standard deviation, ms) that is assumed: a clock made with a 1 ms timer has 1/√12, 0.29. */
const leastJitterMs = 0.3;
const leastVariance = leastJitterMs * leastJitterMs;

/** The most jitter (standard deviation, in pulses) with which one pulse can be told from the next. */
const mostJitterPulses = 0.45;

/** This many pulses, two beats, are kept at most before the jitter is known: they may be of a tempo that has gone. */
const acquiringPulses = 48;

/** While the jitter is being estimated, a pulse farther off than so many standard deviations is an outlier. */
const firstOutlierDeviations = 3;

/** A pulse farther off than so many standard deviations is an outlier (uniform jitter reaches √3, 1.73). */
const outlierDeviations = 3.5;

/** The least share of a new pulse in the variance of the jitter, a running mean; at first each pulse has the same. */
const leastVarianceShare = 1 / 256;

/** Standard deviation of the prior on a tempo known from before, as a share of it. */
const priorDeviation = 0.05;

/** After a gap this many pulses are awaited to see where they fall, evenly to within this many periods. */
const rejoinPulses = 8;
const rejoinStrayPulses = 1.5;
/** After this many ms of them it is no burst of what was held up that has made them come too close. */
const burstMs = 1000;

/** Of the newest pulses so large a share must be inliers, or the line is given up. */
const leastInlierShare = 1 / 4;

/** Times beyond this (ms) lose whole milliseconds. */
const largestTime = Number.MAX_SAFE_INTEGER;

/** Whether a time is a usable number. */
const sane = (time: number): boolean => Math.abs(time) <= largestTime;

/**
 * Follows the MIDI clock of other gear. It is told what arrives and when (monotonic ms), and answers where the song
 * is. It owns no clock of its own and allocates nothing for a pulse.
 *
 * The estimate is a regression line through the latest pulses. A pulse far from it is an outlier until several agree
 * on what happened: pulses were lost or doubled (a cycle slip: the labels change, the line stays) or the tempo changed
 * (the line begins again where it did). As positions come from the line, it can wait for that.
 */
export class ClockFollower {
  private readonly line = new RegressionLine();
  private readonly detector = new ChangeDetector(this.line);
  private readonly song = new SongPosition();

  /** Pulses that ever came. */
  private heard = 0;
  /** Label and arrival (ms) of the newest pulse. */
  private label = -1;
  private time = 0;
  /** The variance of the jitter, in ms squared, and from how many inliers it is known. */
  private variance = leastVariance;
  private varianceCount = 0;
  /** Whether the jitter is known, so that outliers can be told. */
  private jitterKnown = false;
  /** Pulses since a gap that have not found their place yet; 0: there was none. */
  private rejoining = 0;

  /** Between a start (or continue) and a stop. */
  get running(): boolean {
    return this.song.running;
  }

  /** The tempo of the clock, or null before a few pulses were heard. */
  get quartersPerMinute(): number | null {
    return this.heard < tempoPulses ? null : 60_000 / (pulsesPerQuarter * this.line.period);
  }

  /** A pulse of the clock (F8) arrived. */
  pulse(time: number): void {
    if (!sane(time)) return;
    const at = this.heard > 0 ? Math.max(time, this.time) : time;
    if (this.heard === 0) this.line.clear(usualPeriodMs, 0);
    else if (this.lost(at)) this.resume(at);
    this.heard += 1;
    this.time = at;
    this.label += 1;
    this.song.pulse(this.label);
    if (!this.jitterKnown) this.acquire();
    else if (this.rejoining > 0) this.rejoin();
    else this.follow();
  }

  /** The song starts (FA): its position is 0 at the next pulse. */
  start(time: number): void {
    this.song.rewind();
    this.run(time);
  }

  /** The song goes on (FB): the next pulse is the one that would have come next when it stopped. */
  continueFrom(time: number): void {
    if (!this.running) this.run(time);
  }

  /** The song stops (FC). Pulses that come from now on tell the tempo only. */
  stop(time: number): void {
    if (!this.running) return;
    // A clock that was lost has gone on meanwhile.
    const goneOn = sane(time) && this.lost(time);
    const last = goneOn ? Math.max(Math.floor(this.line.labelAt(time)), this.label) : this.label;
    this.song.stop(last + 1);
  }

  /** The song is put to a place (F2), in units of six pulses. Heeded only while it is stopped. */
  songPosition(units: number): void {
    this.song.put(units);
  }

  /**
   * Where the song is at a time (ms). Just before its first pulse that is a little below 0; while it is stopped, it is
   * where it would go on. It may lie before an answer given earlier, by as much as the estimate was corrected.
   */
  now(time: number): Followed {
    const at = sane(time) ? time : this.time;
    return {
      state: this.state(at),
      tick: ticksPerPulse * this.song.at(this.line.labelAt(at)),
      time: at,
      msPerTick: this.line.period / ticksPerPulse,
    };
  }

  private state(at: number): FollowState {
    if (this.lost(at)) return this.song.counting ? 'holdover' : 'waiting';
    const sure = this.jitterKnown && this.rejoining === 0 && this.line.count >= lockPulses;
    return sure ? 'locked' : 'acquiring';
  }

  /** Whether there is no clock, or no pulse came for too long. */
  private lost(time: number): boolean {
    const limit = Math.max(lossPulses * this.line.period, lossMs);
    return this.heard === 0 || time - this.time > limit;
  }

  private run(time: number): void {
    // While the clock comes, the next pulse is known before it is there; otherwise it must be awaited.
    const awaited = !sane(time) || this.lost(time);
    this.song.run(awaited ? null : this.label + 1);
  }

  /** The clock comes again after a gap: the position was counted on, to the nearest pulse. */
  private resume(at: number): void {
    const { line } = this;
    if (this.song.counting) {
      this.label = Math.max(Math.round(line.labelAt(at)) - 1, this.label);
      if (this.jitterKnown) {
        this.rejoining = 1;
        return;
      }
    }
    line.clear(line.period, this.jitterKnown ? this.priorWeight(line.period) : 0);
    this.jitterKnown = false;
    this.rejoining = 0;
    this.song.breakLabels();
  }

  /** The weight of a prior on the tempo: the variance of the jitter over that of the prior. */
  private priorWeight(period: number): number {
    return Math.min(this.variance / period ** 2, mostJitterPulses ** 2) / priorDeviation ** 2;
  }

  /**
   * Takes a pulse as long as the jitter is not known: as it comes. What looks like jitter of half a pulse is something
   * else (pulses were lost, or the tempo was still changing): it is left to pass.
   */
  private acquire(): void {
    const { line } = this;
    line.push(this.label, this.time, true);
    if (line.count < lockPulses) return;
    const far = firstOutlierDeviations * Math.sqrt(Math.max(line.meanSquare(), leastVariance));
    for (let age = 0; age < line.held; age += 1) {
      if (Math.abs(line.residual(age)) > far) line.setInlier(age, false);
    }
    line.fit();
    const variance = line.meanSquare();
    if (variance <= (mostJitterPulses * line.period) ** 2) {
      this.variance = Math.max(variance, leastVariance);
      this.varianceCount = line.count;
      this.jitterKnown = true;
      return;
    }
    this.acquireAnew(acquiringPulses);
  }

  /**
   * Takes a pulse after a gap. Only when several came evenly (a stall ends in a burst) is it clear which they are; one
   * alone may be nearer to another's place than to its own.
   */
  private rejoin(): void {
    const { line } = this;
    line.push(this.label, this.time, false);
    const came = Math.min(this.rejoining, line.held);
    this.rejoining += 1;
    if (came < rejoinPulses) return;
    const stray = (line.time(0) - line.time(rejoinPulses - 1)) / line.period - (rejoinPulses - 1);
    if (Math.abs(stray) > rejoinStrayPulses) {
      // Slower, or faster for long: the tempo is another since the gap. The count goes on from where the first fell.
      if (stray < 0 && line.time(0) - line.time(came - 1) < burstMs) return;
      this.rejoining = 0;
      this.acquireAnew(rejoinPulses);
      return;
    }
    this.rejoining = 0;
    let sum = 0;
    for (let age = 0; age < rejoinPulses; age += 1) sum += line.residual(age);
    const by = Math.round(sum / rejoinPulses / line.period);
    if (by !== 0) this.relabel(came, by);
    this.classify(Math.min(came, testedPulses));
  }

  /** Takes a pulse of a clock that is known: it is an inlier if it is near. Looks whether all is as it was. */
  private follow(): void {
    const { line, label } = this;
    const off = this.time - line.timeOf(label);
    const square = (off * off) / (1 + line.leverage(label));
    const inlier = square <= outlierDeviations * outlierDeviations * this.variance;
    if (inlier) {
      const share = Math.max(leastVarianceShare, 1 / this.varianceCount);
      const variance = this.variance + (square - this.variance) * share;
      this.variance = clamp(variance, leastVariance, (mostJitterPulses * line.period) ** 2);
      this.varianceCount += 1;
    }
    line.push(label, this.time, inlier);

    const full = label % fullLookPulses === 0;
    const finding = this.detector.test(this.variance, full);
    if (finding === 'tempo-change') this.acceptTempoChange();
    else if (finding === 'slip') this.acceptSlip();
    else if (full) this.giveUpIfLost();
  }

  private acceptSlip(): void {
    const { line } = this;
    const { count, by } = this.detector.slip;
    for (let age = 0; age < count; age += 1) line.setInlier(age, false);
    this.relabel(count, by);
    this.classify(count);
  }

  private acceptTempoChange(): void {
    const { line } = this;
    const { count, period } = this.detector.tempoChange;
    line.keep(count);
    line.prior(period, this.priorWeight(period));
    const newest = Math.min(count, testedPulses);
    for (let age = 0; age < newest; age += 1) line.setInlier(age, true);
    line.fit();
    this.classify(newest);
  }

  /** Gives other labels to the newest pulses, and to all that was counted from theirs. */
  private relabel(count: number, by: number): void {
    const first = this.line.label(count - 1);
    this.line.relabel(count, by);
    this.label += by;
    this.song.relabel(first, by);
  }

  private classify(count: number): void {
    this.line.classify(count, outlierDeviations * Math.sqrt(this.variance));
  }

  /** Begins again with the newest pulses if nothing explains why most of them are far from the line. */
  private giveUpIfLost(): void {
    const { line } = this;
    const newest = Math.min(testedPulses, line.held);
    let near = 0;
    for (let age = 0; age < newest; age += 1) if (line.isInlier(age)) near += 1;
    if (near < leastInlierShare * newest) this.acquireAnew(lockPulses);
  }

  /** Begins again with the newest pulses, as if nothing was known. */
  private acquireAnew(count: number): void {
    const { line } = this;
    line.prior(line.period, 0);
    line.keep(count);
    for (let age = 0; age < line.held; age += 1) line.setInlier(age, true);
    line.fit();
    this.jitterKnown = false;
  }
}
