/** How often to check whether the player answers, ms. */
export const lookMs = 1000;
/** After this many looks in a row without an answer it is given up; opening an output may take longer. */
const mostSilent = 7;
const mostSilentOpening = 20;

/**
 * Whether the player still answers. Looks are counted, not time: when looks themselves come late, because this process or the
 * whole machine was stopped, silence says nothing about the player.
 */
export class Answering {
  private silent = 0;
  private last: number | null = null;
  private slow = true;

  /** The player said something. */
  heard(): void {
    this.silent = 0;
  }

  /** The player was asked for something that may take long, or has just been started. */
  asked(): void {
    this.slow = true;
  }

  /** What took long is done. */
  done(): void {
    this.slow = false;
  }

  /** Looks, `now` in ms; returns whether to give up the player. */
  look(now: number): boolean {
    const late = this.last !== null && now - this.last > 2 * lookMs;
    this.last = now;
    this.silent = late ? 0 : this.silent + 1;
    return this.silent > (this.slow ? mostSilentOpening : mostSilent);
  }
}
