import { slowingLimits } from './change.js';
import type { PlayedBar } from './chart.js';

/**
 * The share of the tempo that a beat has in a ritardando: beat `beat` of `beats`, counted from 0, on the way from one share
 * to another. It falls by the same amount from beat to beat, so that a player can foretell the next one from the last
 * two, and the last beat has all of it; the first is slower already, or nobody would hear where it begins.
 */
export function slowedShare(from: number, to: number, beat: number, beats: number): number {
  return from + ((to - from) * (beat + 1)) / beats;
}

/** The ritardando that bars of a pass stand in: begun at a bar, and applied to all of its bars once it is over. */
export class Slowing {
  private from = 0;
  private begins = 0;
  private to: number | null = null;

  /** From the next bar on the tempo falls. One within another goes on from where that one has led to by then. */
  begin(bars: PlayedBar[], percent: number): void {
    const reached = this.to !== null && bars.length > this.from ? this.to : this.begins;
    const within = this.to !== null;
    this.end(bars);
    this.from = bars.length;
    this.begins = within ? reached : 1;
    this.to = percent / 100;
  }

  /** In tempo again from the next bar on: the bars since the beginning are given their shares. */
  end(bars: PlayedBar[]): void {
    const { from, begins, to } = this;
    this.to = null;
    if (to === null || bars.length === from) return;
    const steps = bars.slice(from).map(beatSteps);
    const all = steps.flat().reduce((sum, one) => sum + one, 0);
    let beat = -1;
    steps.forEach((own, index) => {
      const slowing = own.map((one) => {
        beat += one;
        return slowedShare(begins, to, beat, all);
      });
      bars[from + index] = { ...(bars[from + index] as PlayedBar), slowing };
    });
  }
}

/** For each felt beat of a bar 1 where the tempo falls, 0 within a held chord: that counts as the beat on which it is struck. */
function beatSteps({ beats, cells }: PlayedBar): number[] {
  const held = cells.filter((cell) => cell.hold !== undefined);
  return Array.from({ length: Math.ceil(beats) }, (_, beat) =>
    beat > 0 && held.some(({ at, beats: length }) => beat > at + 1e-9 && beat < at + length - 1e-9) ? 0 : 1,
  );
}

/**
 * Where a ritardando begins with a bar: the percent of the tempo that it falls to, which stands in the last of its bars; `null`
 * where none begins.
 */
export function slowingFrom(bars: readonly PlayedBar[], index: number): number | null {
  const share = (at: number, beat: 0 | -1): number | undefined => bars[at]?.slowing?.at(beat);
  const goesOn = (at: number): boolean => {
    const [reached, next] = [share(at - 1, -1), share(at, 0)];
    return reached !== undefined && next !== undefined && next <= reached;
  };
  if (share(index, 0) === undefined || goesOn(index)) return null;
  let last = index;
  while (goesOn(last + 1)) last += 1;
  // A jump to the coda in the middle of a ritardando may leave the tempo slowed by less than can be written.
  return Math.min(slowingLimits.most, Math.round(100 * (share(last, -1) ?? 1)));
}
