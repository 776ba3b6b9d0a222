/**
 * How the position stands with an outside clock.
 *
 * - `waiting`: no clock is heard, and nothing runs on by itself.
 * - `locking`: pulses come, but too few yet to be sure of them.
 * - `locked`: tempo and position are known.
 * - `riding`: the clock was lost while it ran; time goes on at the last tempo.
 */
export type FollowState = 'waiting' | 'locking' | 'locked' | 'riding';

/** Where an outside clock is: from tick `tick` at `time` (ms) on, a tick lasts `msPerTick`. */
export interface Followed {
  readonly state: FollowState;
  /** Ticks from the start of the song, 960 a quarter, with fractions. */
  readonly tick: number;
  readonly time: number;
  readonly msPerTick: number;
}

/** Pulses a quarter (MIDI 1.0, System Real Time: Timing Clock). */
export const pulsesPerQuarter = 24;

/** Ticks a pulse: 960 ticks a quarter over 24 pulses. */
export const ticksPerPulse = 40;

/** Pulses a unit of the song position (MIDI 1.0, Song Position Pointer: one unit is six clocks). */
export const pulsesPerUnit = 6;

/** The greatest song position: 14 bits (MIDI 1.0, Song Position Pointer). */
const mostUnits = 0x3fff;

/** Ms a pulse as long as nothing is known: 120 quarters a minute. */
const usualPeriod = 60_000 / (120 * pulsesPerQuarter);

/** Ms a pulse that are believed, so that no flood and no trickle of pulses makes time stand still or fly. */
const leastPeriod = 1;
const mostPeriod = 1000;

/** The most pulses the line is laid through. More would gain little, and hold on to a tempo that wanders. */
const capacity = 480;

/** So many pulses, a beat, make a lock. */
const lockPulses = 24;

/** Pulses before a tempo is told. */
const tempoPulses = 6;

/** The clock counts as lost after so many pulses' worth without one, but not before so many ms. */
const lossPulses = 8;
const lossMs = 250;

/** After so many ms without a pulse the line is too old to be carried on; only its tempo is a hint. */
const longGapMs = 4000;

/** The least jitter (standard deviation, ms) that is assumed: a clock made with a 1 ms timer has 0.29. */
const leastJitter = 0.3;

/** A pulse farther off than so many standard deviations does not bear on the line (uniform jitter reaches 1.73). */
const gate = 3.5;

/** The share of a new pulse in the variance of the jitter. */
const jitterShare = 1 / 64;

/** Standard deviation of a tempo known from before, as a share of it. */
const priorSpread = 0.05;

/** The newest pulses, among which slips of the count and sudden changes of tempo are looked for. */
const judged = Number(process.env.JUDGED ?? 16);
const leastJudged = 4;

/** What one pulse can cost at most, in variances: no single stray pulse may decide anything. */
const mostCost = 9;

/** By so much, in variances, another reading of the newest pulses must beat the line. */
const proof = 25;

const RIVAL = Number(process.env.RIVAL ?? 10);
const SLIP = Number(process.env.SLIP ?? 25);
const BEFORE = Number(process.env.BEFORE ?? 8);
const RS = Number(process.env.RS ?? 0);
const straightCosts = new Float64Array(64);
const bearingBefore = new Uint8Array(64);
const JL = Number(process.env.JL ?? 12);
const FREE = Number(process.env.FREE ?? 15);
const BEND = Number(process.env.BEND ?? 1);

/** Times and labels beyond this lose whole milliseconds. */
const largest = Number.MAX_SAFE_INTEGER;

const clamp = (value: number, least: number, most: number): number => Math.min(Math.max(value, least), most);

/**
 * The latest pulses, each with its label (a whole number, one more for each pulse) and its arrival, and the
 * straight line of least squares through those of them that bear on it. Sums run, and are made anew about a new
 * centre each time the ring has gone round; nothing is allocated.
 */
class PulseLine {
  private readonly labels = new Float64Array(capacity);
  private readonly times = new Float64Array(capacity);
  private readonly bears = new Uint8Array(capacity);
  /** Pulses ever added; that of age `a` (0: the newest) is in slot `(added - 1 - a) % capacity`. */
  private added = 0;
  private untilAnew = 0;

  /** How many are held, with those that do not bear on the line. */
  held = 0;
  /** How many bear on the line. */
  count = 0;
  // Sums over those that bear, of u = label - refLabel and y = time - refTime - u * refPeriod.
  private sumU = 0;
  private sumUU = 0;
  private sumY = 0;
  private sumUY = 0;
  private refLabel = 0;
  private refTime = 0;
  private refPeriod = usualPeriod;

  /** A tempo known from before, and its weight as a sum of squared labels. */
  private priorPeriod = usualPeriod;
  private priorWeight = 0;

  /** The line: it runs through (`centreLabel`, `centreTime`) at `period` ms a label. */
  centreLabel = 0;
  centreTime = 0;
  period = usualPeriod;
  /** Sum of squared distances of the labels from their centre. */
  spread = 0;

  private slot(age: number): number {
    return (this.added - 1 - age) % capacity;
  }

  label(age: number): number {
    return this.labels[this.slot(age)] as number;
  }

  bearing(age: number): boolean {
    return this.bears[this.slot(age)] === 1;
  }

  /** How much later than the line the pulse came, in ms. */
  residual(age: number): number {
    const slot = this.slot(age);
    return (this.times[slot] as number) - this.timeOf(this.labels[slot] as number);
  }

  timeOf(label: number): number {
    return this.centreTime + (label - this.centreLabel) * this.period;
  }

  labelAt(time: number): number {
    return this.centreLabel + (time - this.centreTime) / this.period;
  }

  /** Variance of the line at a label, as a multiple of the variance of the jitter. */
  leverage(label: number): number {
    const weight = this.spread + this.priorWeight;
    const off = label - this.centreLabel;
    return (this.count > 0 ? 1 / this.count : 1) + (weight > 0 ? (off * off) / weight : 1);
  }

  /** Begins anew with nothing but a hint of the tempo; `weight` 0 takes it for a guess. */
  clear(period: number, weight: number): void {
    this.held = 0;
    this.prior(period, weight);
  }

  prior(period: number, weight: number): void {
    this.priorPeriod = clamp(period, leastPeriod, mostPeriod);
    this.priorWeight = Math.max(weight, 1e-3);
  }

  push(label: number, time: number, bearing: boolean): void {
    if (this.held === capacity) {
      this.bear(this.held - 1, false);
      this.held -= 1;
    }
    this.added += 1;
    this.held += 1;
    const slot = this.slot(0);
    this.labels[slot] = label;
    this.times[slot] = time;
    this.bears[slot] = 0;
    this.untilAnew -= 1;
    if (this.held === 1 || this.untilAnew <= 0) {
      this.bears[slot] = bearing ? 1 : 0;
      this.anew();
    } else {
      this.bear(0, bearing);
      this.fit();
    }
  }

  /** Lets a pulse bear on the line or not; `fit` must follow. */
  bear(age: number, bearing: boolean): void {
    const slot = this.slot(age);
    if ((this.bears[slot] === 1) === bearing) return;
    this.bears[slot] = bearing ? 1 : 0;
    const sign = bearing ? 1 : -1;
    const u = (this.labels[slot] as number) - this.refLabel;
    const y = (this.times[slot] as number) - this.refTime - u * this.refPeriod;
    this.count += sign;
    this.sumU += sign * u;
    this.sumUU += sign * u * u;
    this.sumY += sign * y;
    this.sumUY += sign * u * y;
  }

  /** Gives the newest `count` pulses other labels. */
  relabel(count: number, by: number): void {
    for (let age = 0; age < count; age += 1) this.labels[this.slot(age)] = this.label(age) + by;
    this.anew();
  }

  /** Forgets all but the newest `count` pulses. */
  keep(count: number): void {
    this.held = Math.min(this.held, count);
    this.anew();
  }

  /** Makes the sums anew about the newest pulse. */
  anew(): void {
    const slot = this.slot(0);
    this.untilAnew = capacity;
    this.refLabel = this.labels[slot] as number;
    this.refTime = this.times[slot] as number;
    this.refPeriod = this.count > 1 ? this.period : this.priorPeriod;
    this.count = this.sumU = this.sumUU = this.sumY = this.sumUY = 0;
    for (let age = this.held - 1; age >= 0; age -= 1) {
      if (!this.bearing(age)) continue;
      this.bears[this.slot(age)] = 0;
      this.bear(age, true);
    }
    this.fit();
  }

  fit(): void {
    const { count } = this;
    if (count === 0) return;
    const u = this.sumU / count;
    this.spread = Math.max(this.sumUU - this.sumU * u, 0);
    const together = this.sumUY - this.sumY * u + this.priorWeight * (this.priorPeriod - this.refPeriod);
    this.period = clamp(
      this.refPeriod + together / (this.spread + this.priorWeight),
      leastPeriod,
      mostPeriod,
    );
    this.centreLabel = this.refLabel + u;
    this.centreTime = this.refTime + u * this.refPeriod + this.sumY / count;
  }

  /** Mean square of the residuals of those that bear on the line. */
  meanSquare(): number {
    let sum = 0;
    for (let age = 0; age < this.held; age += 1) if (this.bearing(age)) sum += this.residual(age) ** 2;
    return sum / Math.max(this.count - 2, 1);
  }
}

/** Another reading of the newest pulses. */
interface Reading {
  gain: number;
  /** How many of the newest pulses it is about. */
  count: number;
  /** By how much their labels are wrong: they did slip; 0: it is the tempo that is another. */
  slip: number;
  period: number;
}

/**
 * Follows the MIDI clock of other gear. It is told what arrives and when (monotonic ms), and answers where the song
 * is. It owns no clock of its own and allocates nothing for a pulse.
 *
 * The estimate is a line of least squares through the latest pulses, up to 480 of them. A pulse far from it does not
 * bear on it until several agree on what happened: pulses lost or doubled (the count slips, the line stays) or a
 * change of tempo (the line begins anew where the tempo changed). As positions come from the line, it can wait for
 * that without any harm.
 */
export class ClockFollower {
  private readonly line = new PulseLine();
  private readonly slip: Reading = { gain: 0, count: 0, slip: 0, period: usualPeriod };
  private readonly bend: Reading = { gain: 0, count: 0, slip: 0, period: usualPeriod };
  private readonly late = new Float64Array(judged);
  private heard = false;
  /** Label and arrival of the newest pulse. */
  private label = -1;
  private time = 0;
  private variance = leastJitter * leastJitter;
  /** Whether the jitter is known, and pulses can be told from stray ones. */
  private settled = false;
  private total = 0;
  private runs = false;
  /** Started, but the pulse at which it begins to count has not come and its label is not known. */
  private armed = false;
  /** The label at position 0, while it runs. */
  private origin = 0;
  /** The position of the next pulse, in pulses, while it is stopped or armed. */
  private kept = 0;
  /** The label that follows the stop; beyond all labels once `kept` no longer comes from labels. */
  private stopLabel = Number.POSITIVE_INFINITY;

  /** Between a start (or continue) and a stop. */
  get running(): boolean {
    return this.runs;
  }

  /** The tempo of the clock, or null before a few pulses were heard. */
  get quartersPerMinute(): number | null {
    return this.total < tempoPulses ? null : 60_000 / (pulsesPerQuarter * this.line.period);
  }

  /** A pulse of the clock (F8) arrived. */
  pulse(time: number): void {
    if (!(Math.abs(time) <= largest)) return;
    const at = this.heard ? Math.max(time, this.time) : time;
    const gap = at - this.time;
    if (!this.heard) {
      this.line.clear(usualPeriod, 0);
    } else if (gap > this.lossAfter()) {
      const counts = this.runs && !this.armed;
      if (counts) this.label = Math.max(Math.round(this.line.labelAt(at)) - 1, this.label);
      if (!counts || gap > longGapMs) this.restart();
    }
    this.heard = true;
    this.time = at;
    this.label += 1;
    this.total += 1;
    if (this.armed) {
      this.origin = this.label - this.kept;
      this.armed = false;
    }
    this.take(at);
  }

  /** The song starts (FA): its position is 0 at the next pulse. */
  start(time: number): void {
    this.kept = 0;
    this.go(time);
  }

  /** The song goes on (FB): the next pulse is the one that would have come next when it stopped. */
  continueFrom(time: number): void {
    if (!this.runs) this.go(time);
  }

  /** The song stops (FC). Pulses that come now tell the tempo only. */
  stop(_time: number): void {
    if (!this.runs) return;
    if (!this.armed) {
      this.kept = Math.max(this.label + 1 - this.origin, 0);
      this.stopLabel = this.label + 1;
    }
    this.runs = false;
    this.armed = false;
  }

  /** The song is put to a place (F2), in units of six pulses. Heeded only while it is stopped, as MIDI 1.0 has it. */
  songPosition(units: number): void {
    if (this.runs || !(units >= 0 && units <= mostUnits)) return;
    this.kept = Math.floor(units) * pulsesPerUnit;
    this.stopLabel = Number.POSITIVE_INFINITY;
  }

  /**
   * Where the song is at a time (ms). While it is stopped, that is where it would go on. It may lie a little before
   * an answer given earlier, by as much as the estimate was corrected.
   */
  now(time: number): Followed {
    const at = Math.abs(time) <= largest ? time : this.time;
    const lost = !this.heard || at - this.time > this.lossAfter();
    const counts = this.runs && !this.armed;
    const sure = this.settled && this.line.count >= lockPulses;
    return {
      state: lost ? (counts ? 'riding' : 'waiting') : sure ? 'locked' : 'locking',
      tick: ticksPerPulse * (counts ? this.line.labelAt(at) - this.origin : this.kept),
      time: at,
      msPerTick: this.line.period / ticksPerPulse,
    };
  }

  /** Ms without a pulse after which the clock is lost. */
  private lossAfter(): number {
    return Math.max(lossPulses * this.line.period, lossMs);
  }

  private go(time: number): void {
    this.runs = true;
    this.stopLabel = Number.POSITIVE_INFINITY;
    // With the clock already running the next pulse is known before it comes; otherwise it must be awaited.
    this.armed = !this.heard || !(time - this.time <= this.lossAfter());
    if (!this.armed) this.origin = this.label + 1 - this.kept;
  }

  /** Begins the line anew, with the tempo as a hint. */
  private restart(): void {
    this.line.clear(this.line.period, this.weight(this.line.period));
    this.settled = false;
  }

  /** The weight of a tempo that is known from before. */
  private weight(period: number): number {
    return this.variance / (priorSpread * period) ** 2;
  }

  private take(time: number): void {
    const { line, label } = this;
    if (!this.settled) {
      line.push(label, time, true);
      if (line.count >= lockPulses) this.settle();
      return;
    }
    const off = time - line.timeOf(label);
    const share = (off * off) / (1 + line.leverage(label));
    const good = share <= gate * gate * this.variance;
    if (good) {
      const variance = this.variance + (share - this.variance) * jitterShare;
      this.variance = Math.max(variance, leastJitter * leastJitter);
    }
    line.push(label, time, good);
    this.slip.gain = 0;
    this.bend.gain = 0;
    this.judgeNewest();
    if (this.slip.gain < 10) this.judgeLine(label % 16 === 0 ? line.held : 64);
    const { slip, bend } = this;
    if (bend.gain >= proof && bend.gain >= slip.gain + RIVAL) this.accept(bend);
    else if (slip.gain >= SLIP && slip.gain >= bend.gain + RS) this.accept(slip);
  }

  /** Takes the jitter from the first beat, and leaves out what stands far off. */
  private settle(): void {
    const { line } = this;
    const far = 3 * Math.sqrt(Math.max(line.meanSquare(), leastJitter * leastJitter));
    for (let age = 0; age < line.held; age += 1) {
      if (Math.abs(line.residual(age)) > far) line.bear(age, false);
    }
    line.fit();
    this.variance = Math.max(line.meanSquare(), leastJitter * leastJitter);
    this.settled = true;
  }

  /**
   * Weighs readings of the newest pulses, those that do not bear on the line with them: their count slipped, or the
   * tempo changed just before them. Costs are squares that are cut off, so that a stall or a stray pulse proves nothing.
   */
  private judgeNewest(): void {
    const { line, late } = this;
    const most = Math.min(judged, line.held - 1);
    let all = 0;
    for (let age = 0; age < most; age += 1) {
      straightCosts[age] = this.cost(line.residual(age));
      all += straightCosts[age] as number;
    }
    if (all < proof) return;
    // The line as it was before these pulses could bend it.
    const wasBearing = bearingBefore;
    for (let age = 0; age < most; age += 1) {
      wasBearing[age] = line.bearing(age) ? 1 : 0;
      line.bear(age, false);
    }
    const before = line.count >= BEFORE;
    if (before) {
      line.fit();
      for (let age = 0; age < most; age += 1) late[age] = line.residual(age);
      this.weigh(most);
    }
    for (let age = 0; age < most; age += 1) line.bear(age, wasBearing[age] === 1);
    line.fit();
  }

  private cost(off: number): number {
    return Math.min((off * off) / this.variance, mostCost);
  }

  private weigh(most: number): void {
    const { line, late } = this;
    let straight = 0;
    let sum = 0;
    for (let count = 1; count <= most; count += 1) {
      straight += straightCosts[count - 1] as number;
      sum += late[count - 1] as number;
      if (count < leastJudged || straight < proof) continue;
      const mean = sum / count;
      const slip = Math.round(mean / line.period);
      const knee = line.label(count - 1) - 1;
      const centre = sumOf(count, (age) => line.label(age)) / count;
      let hingeTop = 0;
      let hingeUnder = 0;
      let freeTop = 0;
      let freeUnder = 0;
      for (let age = 0; age < count; age += 1) {
        const off = late[age] as number;
        const along = line.label(age) - knee;
        const about = line.label(age) - centre;
        hingeTop += along * off;
        hingeUnder += along * along;
        freeTop += about * off;
        freeUnder += about * about;
      }
      const hinge = hingeTop / hingeUnder;
      const free = freeTop / freeUnder;
      let slipCost = 0;
      let hingeCost = 0;
      let freeCost = 0;
      for (let age = 0; age < count; age += 1) {
        const off = late[age] as number;
        slipCost += this.cost(off - slip * line.period);
        hingeCost += this.cost(off - hinge * (line.label(age) - knee));
        freeCost += this.cost(off - mean - free * (line.label(age) - centre));
      }
      if (slip !== 0) this.propose(straight - slipCost, count, slip, line.period);
      if (this.plausible(line.period + hinge)) {
        this.propose(straight - hingeCost, count, 0, line.period + hinge);
      }
      if (count > leastJudged && this.plausible(line.period + free)) {
        this.propose(straight - freeCost - FREE, count, 0, line.period + free);
      }
    }
  }

  /** Whether a period is another tempo, and not the burst after a stall. */
  private plausible(period: number): boolean {
    return period >= this.line.period / 3 && period <= this.line.period * 3 && period >= 4;
  }

  /**
   * Looks whether the pulses that bear on the line bend or break anywhere among the newest `most`. The tests are exact
   * for a line laid through those pulses too: what the bend or break adds is what the line has not taken up of it.
   */
  private judgeLine(most: number): void {
    const { line } = this;
    if (line.count < 32) return;
    let count = 0;
    let sumV = 0;
    let sumVV = 0;
    let sumR = 0;
    let sumRV = 0;
    const end = Math.min(most, line.held - 1);
    for (let age = 0; age < end; age += 1) {
      if (line.bearing(age)) {
        const v = line.label(age) - line.centreLabel;
        const r = line.residual(age);
        count += 1;
        sumV += v;
        sumVV += v * v;
        sumR += r;
        sumRV += r * v;
      }
      if (count < JL || line.count - count < 16) continue;
      const knee = line.label(age + 1) - line.centreLabel;
      const hingeTop = sumRV - knee * sumR;
      const one = sumV - count * knee;
      const along = sumVV - knee * sumV;
      const hingeUnder = along - knee * one - (one * one) / line.count - (along * along) / line.spread;
      const hinge = hingeTop / hingeUnder;
      this.propose(
        ((hinge * hingeTop) / this.variance) * (count >= 24 ? BEND : 1),
        age + 1,
        0,
        line.period + hinge,
      );
    }
  }

  private propose(gain: number, count: number, slip: number, period: number): void {
    const reading = slip === 0 ? this.bend : this.slip;
    if (!(gain > reading.gain)) return;
    reading.gain = gain;
    reading.count = count;
    reading.slip = slip;
    reading.period = period;
  }

  private accept(reading: Reading): void {
    const { line } = this;
    const { count, slip, period } = reading;
    if (slip !== 0) {
      const first = line.label(count - 1);
      this.label += slip;
      if (this.runs && !this.armed && this.origin >= first) this.origin += slip;
      if (!this.runs && this.stopLabel > first && this.stopLabel !== Number.POSITIVE_INFINITY) {
        this.kept = Math.max(this.kept + slip, 0);
        this.stopLabel += slip;
      }
      line.relabel(count, slip);
    } else {
      line.keep(count);
      line.prior(period, this.weight(period));
      for (let age = 0; age < Math.min(count, judged); age += 1) line.bear(age, true);
      line.fit();
    }
    this.readmit(Math.min(count, judged));
  }

  /** Lets each of the newest pulses bear on the line or not, by where the line now runs. */
  private readmit(count: number): void {
    const { line } = this;
    const far = gate * Math.sqrt(this.variance);
    for (let age = 0; age < count; age += 1) line.bear(age, Math.abs(line.residual(age)) <= far * 1.2);
    line.fit();
  }
}

function sumOf(count: number, value: (age: number) => number): number {
  let sum = 0;
  for (let index = 0; index < count; index += 1) sum += value(index);
  return sum;
}
