import { NoiseShare } from './noise-share.js';

/** The condition of the sound: good to judge, nothing at all, too loud for the microphone, or too much noise in the room. */
export type Condition = 'fine' | 'silent' | 'clipping' | 'noisy';

/** Levels are in dB below full scale, as root mean squares; a level is −120 at least. */
export interface Hearing {
  readonly condition: Condition;
  /** Of the last tenth of a second: for a meter. */
  readonly level: number;
  /** The greatest sample of the last three seconds. */
  readonly peak: number;
  /** The quietest tenth of the last three seconds: the noise of the room, or strings that ring on. */
  readonly floor: number;
}

/** Each level covers this long, seconds, and this many are remembered: three seconds. */
const part = 0.1;
const remembered = 30;
/** Sound that never comes above this is none: a microphone that is muted or not there passes on zeros, a bad one a little hiss, dB. */
const silence = -70;
/** A sample at full scale is no less than this: 16-bit converters stop one step short of it. */
const fullScale = 0.9995;
/** This many in a row make a clipped top; one alone may be a peak that just fits. */
const inRow = 3;
/** This many clipped tops within what is remembered are a microphone set too loud. */
const clippedTops = 3;
/** Noise this near to the loudest tenth of a second leaves too little of the strokes, dB: the detector's own figures end at 10 dB. */
const leastRoom = 10;
/** A room is called noisy only when its noise is louder than this, dB. */
const quietRoom = -55;
/** The fewest parts of which a floor is said. */
const fewest = 10;

/** A tenth of a second: its power, and at most this much of it is noise. */
interface Part {
  readonly power: number;
  readonly noise: number;
  readonly peak: number;
  readonly tops: number;
}

/** Watches the level of what is heard. Feed it each piece of sound; its memory is a few seconds of levels. */
export class ConditionMeter {
  private readonly parts: Part[] = [];
  private readonly size: number;
  private readonly samples: Float32Array;
  private readonly share: NoiseShare;
  private sum = 0;
  private count = 0;
  private peak = 0;
  private row = 0;
  private tops = 0;

  /** `rate`: samples a second. */
  constructor(rate: number) {
    this.size = Math.max(1, Math.round(part * rate));
    this.samples = new Float32Array(this.size);
    this.share = new NoiseShare(this.size);
  }

  /** Takes the next samples and answers how it is now. */
  push(samples: Float32Array): Hearing {
    for (const sample of samples) {
      const size = Math.abs(sample);
      this.sum += sample * sample;
      this.peak = Math.max(this.peak, size);
      this.row = size >= fullScale ? this.row + 1 : 0;
      if (this.row === inRow) this.tops += 1;
      this.samples[this.count] = sample;
      this.count += 1;
      if (this.count === this.size) this.close();
    }
    return this.hearing();
  }

  private close(): void {
    const power = this.sum / this.size;
    this.parts.push({ power, noise: power, peak: this.peak, tops: this.tops });
    if (this.parts.length > remembered) this.parts.shift();
    // Strings that ring leave no quiet either; this slower check is made only when it matters.
    if (this.isNoisy())
      this.parts.push({ ...(this.parts.pop() as Part), noise: power * this.share.of(this.samples) });
    [this.sum, this.count, this.peak, this.tops] = [0, 0, 0, 0];
  }

  private hearing(): Hearing {
    const powers = this.parts.map(({ power }) => power);
    const level = decibels(powers.at(-1) ?? 0);
    const peak = 2 * decibels(Math.max(0, ...this.parts.map((one) => one.peak)));
    const floor = decibels(powers.length === 0 ? 0 : Math.min(...powers));
    return { condition: this.condition(), level, peak: Math.max(-120, peak), floor };
  }

  private condition(): Condition {
    const tops = this.parts.reduce((sum, one) => sum + one.tops, 0);
    if (tops >= clippedTops) return 'clipping';
    if (this.parts.length < fewest) return 'fine';
    if (this.loudest() < silence) return 'silent';
    return this.isNoisy() ? 'noisy' : 'fine';
  }

  private isNoisy(): boolean {
    const noise = decibels(Math.min(...this.parts.map((one) => one.noise)));
    return noise > quietRoom && this.loudest() - noise < leastRoom;
  }

  private loudest(): number {
    return decibels(Math.max(0, ...this.parts.map(({ power }) => power)));
  }
}

function decibels(power: number): number {
  return Math.max(-120, 10 * Math.log10(power + 1e-30));
}
