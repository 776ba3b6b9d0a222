/** What can be said of the sound as a whole. */
export type Condition = 'good' | 'silent' | 'quiet' | 'clipping' | 'noisy';

/** How loud it is, in dB below full scale (0 is the loudest that can be; −120 stands for nothing at all). */
export interface Level {
  /** Highest sample of the last tenth of a second. */
  readonly peak: number;
  /** What sounds all the time: the quietest 50 ms of the last five seconds, their mean power. */
  readonly floor: number;
  readonly condition: Condition;
}

/** A level is told so often, seconds. */
const every = 0.1;
/** Pieces that the floor is the quietest of, seconds, and how far it looks back, in levels. */
const piece = 0.05;
const back = 50;
/** So many levels without any sound above that, dB, are silence: a muted or forbidden microphone delivers zeros. */
const silentLevels = 30;
const silence = -90;
/** So many samples in a row at the highest or lowest value, above that, are a wave that was cut off; louder than the second always is. */
const cutOff = 3;
const cutLevel = 0.9;
const fullScale = 0.9999;
/** Clipping is said when it came in so many of the levels looked back at. */
const mostClipped = 2;
/** A room is noisy above this, dB; or where strokes are so little above it, dB. */
const noisyFloor = -42;
const leastAbove = 14;
/** Strokes that stay below this, dB, are too quiet to be judged well. */
const quietPeak = -40;

/** Follows how loud sound is, piece by piece, and says what is wrong with it. Its memory is bounded. */
export class LevelMeter {
  private samples = 0;
  private peak = 0;
  private power = 0;
  private inPiece = 0;
  private run = 0;
  private before = 0;
  private clipped = false;
  /** Of each level looked back at: the quietest piece's power, the peak, whether it was cut off, whether a stroke was heard. */
  private readonly past: { quietest: number; peak: number; clipped: boolean; struck: boolean }[] = [];
  private quietest = Number.POSITIVE_INFINITY;
  private struck = false;
  private silentFor = 0;

  /** `rate`: samples a second. */
  constructor(private readonly rate: number) {}

  /** A stroke was heard just now: what is between strokes is told apart from what is quiet altogether. */
  stroke(): void {
    this.struck = true;
  }

  /** Takes the next samples, from −1 to 1, and answers the levels that are due: ten for each second. */
  push(samples: Float32Array): Level[] {
    const told: Level[] = [];
    for (const sample of samples) {
      this.take(sample);
      if (this.inPiece >= piece * this.rate) this.endPiece();
      if (this.samples >= every * this.rate) told.push(this.level());
    }
    return told;
  }

  private take(sample: number): void {
    const size = Math.abs(sample);
    if (size > this.peak) this.peak = size;
    this.power += sample * sample;
    this.inPiece += 1;
    this.samples += 1;
    this.run = sample === this.before && size > cutLevel ? this.run + 1 : 1;
    if (this.run >= cutOff || size > fullScale) this.clipped = true;
    this.before = sample;
  }

  private endPiece(): void {
    this.quietest = Math.min(this.quietest, this.power / this.inPiece);
    this.power = 0;
    this.inPiece = 0;
  }

  private level(): Level {
    const { quietest, peak, clipped, struck } = this;
    this.past.push({ quietest, peak, clipped, struck });
    if (this.past.length > back) this.past.shift();
    this.silentFor = decibels(peak * peak) <= silence ? this.silentFor + 1 : 0;
    this.samples = 0;
    this.peak = 0;
    this.clipped = false;
    this.struck = false;
    this.quietest = Number.POSITIVE_INFINITY;
    const floor = decibels(Math.min(...this.past.map((one) => one.quietest)));
    return { peak: decibels(peak * peak), floor, condition: this.condition(floor) };
  }

  private condition(floor: number): Condition {
    if (this.silentFor >= silentLevels) return 'silent';
    if (this.past.filter((one) => one.clipped).length >= mostClipped) return 'clipping';
    if (this.past.length < back / 2) return 'good';
    const struck = this.past.filter((one) => one.struck).map((one) => decibels(one.peak * one.peak));
    const loudest = Math.max(...struck);
    if (floor > noisyFloor || (struck.length > 2 && loudest - floor < leastAbove)) return 'noisy';
    return struck.length > 2 && loudest < quietPeak ? 'quiet' : 'good';
  }
}

function decibels(power: number): number {
  return Math.max(-120, 10 * Math.log10(power + 1e-15));
}
