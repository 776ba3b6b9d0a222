import type { Chart } from '../chart/chart.js';
import type { Key } from '../theory/key.js';
import { chartOfText } from './chart-of-text.js';
import type { Drill } from './drill.js';
import type { PathSong } from './path-songs.js';
import type { PathStep } from './path-step.js';
import { unseenChart } from './unseen.js';

/** How a text names a chart's lines: title, key and tempo go before what a step or song has. */
function chartText(title: string, key: string, bpm: number, lines: string): string {
  return `title: ${title}\nkey: ${key}\ntempo: ${bpm}\n${lines}\n`;
}

/** A step's chart in a key, at a tempo. `seed` decides which unseen song it is. */
export function stepChart(step: PathStep, key: Key, bpm: number, seed: number): Chart {
  const text =
    step.chart === null
      ? unseenChart({ seed, key, level: 'easy', bpm })
      : // YAML would read a title with a colon as something else.
        chartText(`"${step.title}"`, 'G', bpm, step.chart);
  const chart = chartOfText(text);
  if (!chart) throw new RangeError(`the chart of ${step.id} does not read`);
  return { ...chart, key, crooked: true };
}

/** A step as it counts: its chart on a tempo ladder. `share`: where the ladder starts. */
export function stepDrill(step: PathStep, chart: Chart, share: number): Drill {
  return {
    kind: step.kind,
    title: chart.title,
    says: step.says,
    chart,
    start: {
      share,
      ladder: true,
      exact: true,
      ...(step.numbersOnly ? { numbersOnly: true } : {}),
      ...(step.late === undefined ? {} : { late: step.late }),
    },
    from: chart.title,
    step: step.id,
  };
}

/** The chart of a song of the path. */
export function songChart(song: PathSong, key: Key, bpm: number): Chart {
  const chart = chartOfText(chartText(song.title, 'G', bpm, song.chart));
  if (!chart) throw new RangeError(`the chart of ${song.id} does not read`);
  return { ...chart, key };
}
