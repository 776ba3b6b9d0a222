import type { ScoreBar } from '../time/score.js';
import { millisecondsPerTick } from '../time/units.js';

/**
 * Ms from the start of a pass at each of its ticks, by the tempos of its bars, played at a share of them. Before the first bar and
 * after the last, time goes on as in them.
 */
export function passTime(bars: readonly ScoreBar[], share: number): (tick: number) => number {
  const starts: number[] = [];
  let time = 0;
  for (const { length, tempo } of bars) {
    starts.push(time);
    time += length * millisecondsPerTick(tempo * share);
  }
  return (tick) => {
    let index = 0;
    let end = bars.length;
    // The last bar that begins at the tick or before it.
    while (end - index > 1) {
      const middle = (index + end) >> 1;
      if ((bars[middle] as ScoreBar).start <= tick) index = middle;
      else end = middle;
    }
    const bar = bars[index];
    return bar ? (starts[index] as number) + (tick - bar.start) * millisecondsPerTick(bar.tempo * share) : 0;
  };
}
