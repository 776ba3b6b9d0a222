/** This many of the last strokes tell whether somebody else plays. */
const remembered = 16;
/** If at least `most` of these are unexpected, another player is there; with at most `fewest` nobody is: a fill or two. */
const most = 6;
const fewest = 2;

/** Notices when many strokes are heard that belong to nothing in the music. */
export class Company {
  private others: boolean[] = [];
  private on = false;

  /** Takes whether a stroke was one of the music's; returns what should be reported because of it. */
  take(isOwn: boolean): { readonly kind: 'company'; readonly on: boolean }[] {
    this.others = [...this.others, !isOwn].slice(-remembered);
    const count = this.others.filter((other) => other).length;
    const on = this.on ? count > fewest : count >= most;
    if (on === this.on) return [];
    this.on = on;
    return [{ kind: 'company', on }];
  }
}

/** Stretches that are kept: only the last ones can still be asked for. */
const mostRests = 8;

/** Remembers the times in which nobody knew what was being played. Times in ms. */
export class Rests {
  private rests: { readonly from: number; to: number | null }[] = [];

  /** Whether it is such a time now. */
  look(isRest: boolean, at: number): void {
    const open = this.rests.find(({ to }) => to === null);
    if (isRest && !open) this.rests = [...this.rests, { from: at, to: null }].slice(-mostRests);
    else if (!isRest && open) open.to = at;
  }

  has(at: number): boolean {
    return this.rests.some(({ from, to }) => at >= from && (to === null || at < to));
  }
}

/** Bars that are remembered. */
const mostBars = 8;

/** Counts bars in which something was to be played. */
export class PlayedBars {
  private bars: { readonly name: string; readonly at: number }[] = [];

  /** A stroke of it was due: pass, bar, and when, ms. */
  take({ pass, bar, at }: { readonly pass: number; readonly bar: number; readonly at: number }): void {
    const name = `${pass} ${bar}`;
    if (this.bars.at(-1)?.name !== name) this.bars = [...this.bars, { name, at }].slice(-mostBars);
  }

  /** How many bars have begun since then. */
  since(ms: number): number {
    return this.bars.filter(({ at }) => at >= ms).length;
  }
}
