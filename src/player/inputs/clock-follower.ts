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

/** The least jitter (standard deviation, ms) that is assumed: a clock made with a 1 ms timer has 0.29. */
const leastJitter = 0.3;

/** The most jitter (standard deviation, in pulses) with which one pulse can be told from the next. */
const mostJitter = 0.45;

/** So many pulses are kept at most before the jitter is known. */
const gathered = 48;

/** A pulse farther off than so many standard deviations does not bear on the line (uniform jitter reaches 1.73). */
const gate = 3.5;

/** The least share of a new pulse in the variance of the jitter; at first each has the same. */
const jitterShare = 1 / 256;

/** Standard deviation of a tempo known from before, as a share of it. */
const priorSpread = 0.05;

/** The newest pulses, among which slips of the count and sudden changes of tempo are looked for. */
const judged = 48;
const leastJudged = 4;
/** Up to here every number of newest pulses is tried, beyond it every fourth. */
const judgedEach = 16;
/** Pulses that must be left to lay the line from which the newest are judged. */
const leastBefore = 8;

/** What one pulse can cost at most, in variances: no single stray pulse may decide anything. */
const mostCost = 9;

/** By so much, in variances, another reading of the newest pulses must beat the line: 25 is five deviations. */
const proof = 25;
/** By so much it must if it is about a beat or more: then it is less often chance, and costs less if it is. */
const longProof = 17;
/** From such a gain on it is worth a closer look. */
const suspicion = 12;
/** By so much a change of tempo must be likelier than a slip, which leaves the line where it is and so can wait. */
const bendLead = 15;
/** By so much a slip must be likelier than a change of tempo, and it must be about so many pulses. */
const slipLead = 5;
const leastSlip = 6;
/** What the freest reading, a line of its own through the newest pulses, must make good for its freedom. */
const freedom = 25;

/** After a gap so many pulses are awaited to see where they fall, in their span right to so many periods. */
const joinPulses = 8;
const joinStray = 1.5;
/** After so many ms of them it is no burst of what was held up that has made them come too close. */
const joinMs = 1000;

/** A tempo can become so many times as fast or slow at once, and no clock sends pulses faster than so many ms. */
const mostChange = 3;
const burstPeriod = 4;

/** How far back bends are looked for at each pulse; at every sixteenth, all the way. */
const lookBack = 64;

/** Times and labels beyond this lose whole milliseconds. */
const largest = Number.MAX_SAFE_INTEGER;

const clamp = (value: number, least: number, most: number): number => Math.min(Math.max(value, least), most);

/** Whether a time can be reckoned with. */
const sane = (time: number): boolean => Math.abs(time) <= largest;

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

  time(age: number): number {
    return this.times[this.slot(age)] as number;
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

  /** Adds a hint of the tempo, as heavy as pulses whose labels spread so far; `fit` must follow. */
  prior(period: number, weight: number): void {
    this.priorPeriod = clamp(period, leastPeriod, mostPeriod);
    this.priorWeight = Math.max(weight, 1e-3);
  }

  /** Adds a pulse, and lets the oldest go when there are too many. */
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

  /** Makes the sums anew about the newest pulse, and the line by them. */
  private anew(): void {
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

  /** Lays the line anew; where nothing bears on it, it stays. */
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

/** Another reading of the newest `count` pulses than that they lie about the line. */
interface Reading {
  /** By how much it is likelier, in variances; 0: there is none. */
  gain: number;
  count: number;
}

/** Pulses were lost or doubled just before them: their labels are wrong by so much. */
interface Slip extends Reading {
  by: number;
}

/** The tempo changed just before them: ms a pulse since then. */
interface Bend extends Reading {
  period: number;
}

/**
 * Follows the MIDI clock of other gear. It is told what arrives and when (monotonic ms), and answers where the song
 * is. It owns no clock of its own and allocates nothing for a pulse.
 *
 * The estimate is a line of least squares through the latest pulses, up to 480 of them. A pulse far from it does not
 * bear on it until several agree on what happened: pulses were lost or doubled (the count slips, the line stays) or
 * the tempo changed (the line begins anew where it did). As positions come from the line, it can wait for that.
 */
export class ClockFollower {
  private readonly line = new PulseLine();
  private readonly slip: Slip = { gain: 0, count: 0, by: 0 };
  private readonly bend: Bend = { gain: 0, count: 0, period: usualPeriod };
  // Of the newest pulses, the newest first: ms after the line that is laid without them, what they cost by the line
  // as it is, and whether they bear on it.
  private readonly late = new Float64Array(judged);
  private readonly costs = new Float64Array(judged);
  private readonly bore = new Uint8Array(judged);

  private heard = 0;
  /** Label and arrival of the newest pulse. */
  private label = -1;
  private time = 0;
  /** The jitter, in ms squared, and from how many pulses it is known. */
  private variance = leastJitter * leastJitter;
  private known = 0;
  /** Whether the jitter is known, so that stray pulses can be told. */
  private settled = false;
  /** Pulses since a gap that have not found their place yet; 0: there was none. */
  private joining = 0;

  private runs = false;
  /** Started, but the pulse from which it counts has not come, and its label is not known. */
  private armed = false;
  /** The label at position 0, while it runs, and the label from which it was counted on. */
  private origin = 0;
  private firstLabel = 0;
  /** The position of the next pulse, in pulses, while it is stopped or armed. */
  private kept = 0;
  /** The label that follows the stop, as long as `kept` comes from labels. */
  private stopLabel = Number.POSITIVE_INFINITY;

  /** Between a start (or continue) and a stop. */
  get running(): boolean {
    return this.runs;
  }

  /** The tempo of the clock, or null before a few pulses were heard. */
  get quartersPerMinute(): number | null {
    return this.heard < tempoPulses ? null : 60_000 / (pulsesPerQuarter * this.line.period);
  }

  /** A pulse of the clock (F8) arrived. */
  pulse(time: number): void {
    if (!sane(time)) return;
    const at = this.heard > 0 ? Math.max(time, this.time) : time;
    if (this.heard === 0) this.line.clear(usualPeriod, 0);
    else if (this.lost(at)) this.resume(at);
    this.heard += 1;
    this.time = at;
    this.label += 1;
    if (this.armed) {
      this.armed = false;
      this.countFrom(this.label);
    }
    if (!this.settled) this.gather();
    else if (this.joining > 0) this.join();
    else this.follow();
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

  /** The song stops (FC). Pulses that come from now on tell the tempo only. */
  stop(time: number): void {
    if (!this.runs) return;
    if (!this.armed) {
      // A clock that was lost has gone on meanwhile.
      const last =
        sane(time) && this.lost(time)
          ? Math.max(Math.floor(this.line.labelAt(time)), this.label)
          : this.label;
      this.kept = Math.max(last + 1 - this.origin, 0);
      this.stopLabel = last + 1;
    }
    this.runs = false;
    this.armed = false;
  }

  /** The song is put to a place (F2), in units of six pulses. Heeded only while it is stopped. */
  songPosition(units: number): void {
    if (this.runs || !(units >= 0 && units <= mostUnits)) return;
    this.kept = Math.floor(units) * pulsesPerUnit;
    this.stopLabel = Number.POSITIVE_INFINITY;
  }

  /**
   * Where the song is at a time (ms). Just before its first pulse that is a little below 0; while it is stopped, it is
   * where it would go on. It may lie before an answer given earlier, by as much as the estimate was corrected.
   */
  now(time: number): Followed {
    const at = sane(time) ? time : this.time;
    const counts = this.runs && !this.armed;
    return {
      state: this.state(at, counts),
      tick: ticksPerPulse * (counts ? this.line.labelAt(at) - this.origin : this.kept),
      time: at,
      msPerTick: this.line.period / ticksPerPulse,
    };
  }

  private state(at: number, counts: boolean): FollowState {
    if (this.lost(at)) return counts ? 'riding' : 'waiting';
    return this.settled && this.joining === 0 && this.line.count >= lockPulses ? 'locked' : 'locking';
  }

  /** Whether there is no clock, or no pulse came for too long. */
  private lost(time: number): boolean {
    const limit = Math.max(lossPulses * this.line.period, lossMs);
    return this.heard === 0 || time - this.time > limit;
  }

  private go(time: number): void {
    this.runs = true;
    this.stopLabel = Number.POSITIVE_INFINITY;
    // While the clock comes, the next pulse is known before it is there; otherwise it must be awaited.
    this.armed = !sane(time) || this.lost(time);
    if (!this.armed) this.countFrom(this.label + 1);
  }

  private countFrom(label: number): void {
    this.firstLabel = label;
    this.origin = label - this.kept;
  }

  /** The clock comes again after a gap: the position was counted on, to the nearest pulse. */
  private resume(at: number): void {
    const { line } = this;
    if (this.runs && !this.armed) {
      this.label = Math.max(Math.round(line.labelAt(at)) - 1, this.label);
      if (this.settled) {
        this.joining = 1;
        return;
      }
    }
    line.clear(line.period, this.settled ? this.weight(line.period) : 0);
    this.settled = false;
    this.joining = 0;
    this.stopLabel = Number.POSITIVE_INFINITY;
  }

  /** The weight of a tempo that is known from before. */
  private weight(period: number): number {
    return Math.min(this.variance / period ** 2, mostJitter ** 2) / priorSpread ** 2;
  }

  /**
   * Takes a pulse as long as the jitter is not known: as it comes. What looks like jitter of half a pulse is something
   * else (pulses were lost, or the tempo was still changing): it is left to pass.
   */
  private gather(): void {
    const { line } = this;
    line.push(this.label, this.time, true);
    if (line.count < lockPulses) return;
    const far = 3 * Math.sqrt(Math.max(line.meanSquare(), leastJitter * leastJitter));
    for (let age = 0; age < line.held; age += 1) {
      if (Math.abs(line.residual(age)) > far) line.bear(age, false);
    }
    line.fit();
    const variance = line.meanSquare();
    if (variance <= (mostJitter * line.period) ** 2) {
      this.variance = Math.max(variance, leastJitter * leastJitter);
      this.known = line.count;
      this.settled = true;
      return;
    }
    this.gatherAnew(gathered);
  }

  /**
   * Takes a pulse after a gap. Only when several came evenly (a stall ends in a burst) is it clear which they are; one
   * alone may be nearer to another's place than to its own.
   */
  private join(): void {
    const { line } = this;
    line.push(this.label, this.time, false);
    const came = Math.min(this.joining, line.held);
    this.joining += 1;
    if (came < joinPulses) return;
    const stray = (line.time(0) - line.time(joinPulses - 1)) / line.period - (joinPulses - 1);
    if (Math.abs(stray) > joinStray) {
      // Slower, or faster for long: the tempo is another since the gap. The count goes on from where the first fell.
      if (stray < 0 && line.time(0) - line.time(came - 1) < joinMs) return;
      this.joining = 0;
      this.gatherAnew(joinPulses);
      return;
    }
    this.joining = 0;
    let sum = 0;
    for (let age = 0; age < joinPulses; age += 1) sum += line.residual(age);
    const by = Math.round(sum / joinPulses / line.period);
    if (by !== 0) this.relabel(came, by);
    this.readmit(Math.min(came, judged));
  }

  /** Takes a pulse of a clock that is known: it bears on the line if it is near. Looks whether all is as it was. */
  private follow(): void {
    const { line, label, slip, bend } = this;
    const off = this.time - line.timeOf(label);
    const square = (off * off) / (1 + line.leverage(label));
    const good = square <= gate * gate * this.variance;
    if (good) {
      const variance = this.variance + (square - this.variance) * Math.max(jitterShare, 1 / this.known);
      this.variance = clamp(variance, leastJitter * leastJitter, (mostJitter * line.period) ** 2);
      this.known += 1;
    }
    line.push(label, this.time, good);

    slip.gain = 0;
    bend.gain = 0;
    this.judgeLine(label % judgedEach === 0 ? line.held : lookBack);
    this.judgeNewest();
    const enough = bend.count >= lockPulses ? longProof : proof;
    if (bend.gain >= enough && bend.gain >= slip.gain + bendLead) {
      this.acceptBend();
    } else if (slip.gain >= proof && slip.count >= leastSlip && slip.gain >= bend.gain + slipLead) {
      this.acceptSlip();
    } else if (label % judgedEach === 0) {
      this.giveUpIfLost();
    }
  }

  /**
   * Looks whether the pulses that bear on the line bend anywhere among the newest `most`. The test is exact for a line
   * laid through all of them: it weighs what the line has not taken up of the bend.
   */
  private judgeLine(most: number): void {
    const { line, variance } = this;
    let count = 0;
    let sumV = 0;
    let sumVV = 0;
    let sumR = 0;
    let sumRV = 0;
    const end = Math.min(most, line.held - 1);
    for (let age = 0; age < end; age += 1) {
      const v = line.label(age) - line.centreLabel;
      if (line.bearing(age)) {
        const r = line.residual(age);
        count += 1;
        sumV += v;
        sumVV += v * v;
        sumR += r;
        sumRV += r * v;
      }
      if (count < lockPulses / 2) continue;
      if (line.count - count < judgedEach) return;
      // The bend: nothing up to the knee, from there on in proportion to the distance.
      const knee = v - 1;
      const top = sumRV - knee * sumR;
      const ones = sumV - count * knee;
      const along = sumVV - knee * sumV;
      const under = along - knee * ones - (ones * ones) / line.count - (along * along) / line.spread;
      const change = top / under;
      this.proposeBend((change * top) / variance, age + 1, line.period + change);
    }
  }

  /**
   * Weighs readings of the newest pulses, those that do not bear on the line with them. Costs are squares that are cut
   * off, so that a stall or a stray pulse proves nothing.
   */
  private judgeNewest(): void {
    const { line, costs, bore } = this;
    const most = Math.min(judged, line.held - 1);
    let newest = 0;
    for (let age = 0; age < most; age += 1) {
      const cost = this.cost(line.residual(age));
      costs[age] = cost;
      if (age < judgedEach) newest += cost;
    }
    // Mostly there is nothing the matter: those cost what jitter does.
    if (newest < proof && this.bend.gain < suspicion) return;
    for (let age = 0; age < most; age += 1) bore[age] = line.bearing(age) ? 1 : 0;
    let current = 0;
    for (let count = 1; count <= most; count += 1) {
      current += costs[count - 1] as number;
      // The line as it was before these pulses could bend it.
      line.bear(count - 1, false);
      if (line.count < leastBefore) break;
      if (count >= leastJudged && (count <= judgedEach || count % 4 === 0)) {
        line.fit();
        this.weigh(count, current);
      }
    }
    for (let age = 0; age < most; age += 1) line.bear(age, bore[age] === 1);
    line.fit();
  }

  private cost(off: number): number {
    return Math.min((off * off) / this.variance, mostCost);
  }

  /** Weighs readings of the newest `count` pulses. The line is laid without them; with them they cost `current`. */
  private weigh(count: number, current: number): void {
    const { line, late } = this;
    const { period } = line;
    const middle = (line.label(0) + line.label(count - 1)) / 2;
    // The line without them is itself uncertain: a shift of them all weighs the less for it.
    const sureness = 1 / (1 + count * line.leverage(middle));
    let before = 0;
    let sumOff = 0;
    let sumLabel = 0;
    for (let age = 0; age < count; age += 1) {
      const off = line.residual(age);
      late[age] = off;
      before += this.cost(off);
      sumOff += off;
      sumLabel += line.label(age) - middle;
    }
    if (current < suspicion && before * sureness < suspicion) return;

    const mean = sumOff / count;
    const by = Math.round(mean / period);
    const knee = line.label(count - 1) - 1;
    const centre = middle + sumLabel / count;
    let bentTop = 0;
    let bentUnder = 0;
    let freeTop = 0;
    let freeUnder = 0;
    for (let age = 0; age < count; age += 1) {
      const off = late[age] as number;
      const along = line.label(age) - knee;
      const about = line.label(age) - centre;
      bentTop += along * off;
      bentUnder += along * along;
      freeTop += about * off;
      freeUnder += about * about;
    }
    const bent = bentTop / bentUnder;
    const free = freeTop / freeUnder;
    let slipCost = 0;
    let bentCost = 0;
    let freeCost = freedom;
    for (let age = 0; age < count; age += 1) {
      const off = late[age] as number;
      slipCost += this.cost(off - by * period);
      bentCost += this.cost(off - bent * (line.label(age) - knee));
      freeCost += this.cost(off - mean - free * (line.label(age) - centre));
    }
    const slipGain = Math.max(current - slipCost, (before - slipCost) * sureness);
    if (by !== 0 && slipGain > this.slip.gain) {
      this.slip.gain = slipGain;
      this.slip.count = count;
      this.slip.by = by;
    }
    this.proposeBend(Math.max(current - bentCost, (before - bentCost) * sureness), count, period + bent);
    this.proposeBend(Math.max(current - freeCost, (before - freeCost) * sureness), count, period + free);
  }

  private proposeBend(gain: number, count: number, period: number): void {
    const { bend, line } = this;
    // Anything else is the burst after a stall, or the stall.
    const tempo = period >= line.period / mostChange && period <= line.period * mostChange;
    if (!tempo || period < burstPeriod || !(gain > bend.gain)) return;
    bend.gain = gain;
    bend.count = count;
    bend.period = period;
  }

  private acceptSlip(): void {
    const { line } = this;
    const { count, by } = this.slip;
    for (let age = 0; age < count; age += 1) line.bear(age, false);
    this.relabel(count, by);
    this.readmit(count);
  }

  private acceptBend(): void {
    const { line } = this;
    const { count, period } = this.bend;
    line.keep(count);
    line.prior(period, this.weight(period));
    const newest = Math.min(count, judged);
    for (let age = 0; age < newest; age += 1) line.bear(age, true);
    line.fit();
    this.readmit(newest);
  }

  /** Gives other labels to the newest pulses, and to all that was reckoned from theirs. */
  private relabel(count: number, by: number): void {
    const first = this.line.label(count - 1);
    this.line.relabel(count, by);
    this.label += by;
    if (this.runs) {
      // Pulses that went wrong before the song was started or continued do not concern its position.
      if (!this.armed && this.firstLabel >= first) {
        this.firstLabel += by;
        this.origin += by;
      }
    } else if (this.stopLabel > first && this.stopLabel < Number.POSITIVE_INFINITY) {
      this.kept = Math.max(this.kept + by, 0);
      this.stopLabel += by;
    }
  }

  /** Lets each of the newest pulses bear on the line or not, by how near to it they came. */
  private readmit(count: number): void {
    const { line, bore } = this;
    const far = gate * Math.sqrt(this.variance);
    let near = 0;
    for (let age = 0; age < count; age += 1) {
      const label = line.label(age);
      const close = Math.abs(line.residual(age)) <= far * Math.sqrt(1 + line.leverage(label));
      bore[age] = close ? 1 : 0;
      if (close) near += 1;
    }
    // A line that most of them are far from is no measure for them, if there is nothing else it is laid through.
    const alone = line.held === count && 2 * near < count;
    for (let age = 0; age < count; age += 1) line.bear(age, alone || bore[age] === 1);
    line.fit();
  }

  /** Begins anew with the newest pulses if nothing explains why most of them are far from the line. */
  private giveUpIfLost(): void {
    const { line } = this;
    const newest = Math.min(judged, line.held);
    let near = 0;
    for (let age = 0; age < newest; age += 1) if (line.bearing(age)) near += 1;
    if (4 * near >= newest) return;
    this.gatherAnew(lockPulses);
  }

  /** Begins anew with the newest pulses, as if nothing was known. */
  private gatherAnew(count: number): void {
    const { line } = this;
    line.prior(line.period, 0);
    line.keep(count);
    for (let age = 0; age < line.held; age += 1) line.bear(age, true);
    line.fit();
    this.settled = false;
  }
}
