import type { Session } from '../../playback/session.js';
import { type EvenChops, FourChops } from '../four-chops.js';
import type { OnsetHeard, StrokeHeard } from '../stroke-heard.js';
import { chopCount } from './start-by-chops.js';

/** This long after the music has stopped nothing is a count: it may be the end of what was played, ms. */
const afterMusic = 1000;

/** Hears the chops that begin the music of a session, while none is played. Knows no clock and no process. */
export class ChopEar {
  private chops: FourChops | null = null;
  private plays = false;
  /** What is heard before this begins nothing, ms. */
  private from = Number.NEGATIVE_INFINITY;

  /** Time has gone on, or the session has changed. */
  look({ link, performance }: Session, at: number): void {
    const plays = link.state === 'running';
    if (this.plays && !plays) this.from = at + afterMusic;
    this.plays = plays;
    const count = chopCount(performance?.setup.chart ?? null);
    if (this.chops?.count !== count) this.chops = new FourChops(count);
    if (plays) this.chops.clear();
  }

  /** Something began to sound. */
  onset({ sample, ms, timbre }: OnsetHeard): EvenChops | null {
    if (this.plays || ms < this.from) return null;
    return this.chops?.attack({ sample, ms, timbre }) ?? null;
  }

  /** A stroke is known. */
  stroke({ sample, ringMs, stroke: kind, sure }: StrokeHeard): EvenChops | null {
    return this.plays ? null : (this.chops?.rang({ sample, ringMs, kind, sure }) ?? null);
  }
}
