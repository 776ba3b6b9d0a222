import { parentPort } from 'node:worker_threads';
import type { Chart } from '../chart/chart.js';
import { type ArrangeOptions, arrange } from '../time/arrange.js';

/** What the worker is asked. */
export interface ArrangeRequest {
  readonly id: number;
  readonly chart: Chart;
  readonly options: ArrangeOptions;
}

parentPort?.on('message', ({ id, chart, options }: ArrangeRequest) => {
  parentPort?.postMessage({ id, arrangement: arrange(chart, options) });
});
