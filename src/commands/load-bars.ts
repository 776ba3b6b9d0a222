import { barsChart } from '../chart/bars-chart.js';
import { parseMeter, parseTempo } from '../chart/change.js';
import type { Chart } from '../chart/chart.js';
import { readChart } from '../chart/read.js';
import type { Settings } from '../config/settings.js';
import { keyName } from '../theory/key.js';
import type { Message } from '../ui/state/messages.js';
import { exit, Stop, say } from './exit.js';
import { type ChartSource, count, faultText, loadChart } from './load.js';
import { keyFlag, type PlayFlags } from './play-options.js';
import { standStart } from './stand-start.js';

/** Bars on the command line, and what goes with them. */
export interface BarsFlags {
  readonly bars?: string;
  readonly meter?: string;
  readonly key?: string;
  /** A number; a share is one of the usual tempo, and is left to whoever plays. */
  readonly tempo?: string;
}

/** The key of bars without `--key`. */
const usualKey = 'A';

/** Whether the call gives bars. Refuses both bars and a file, neither, and `--meter` without bars. */
export function givesBars(file: string | undefined, { bars, meter }: BarsFlags, command: string): boolean {
  const how = `barkline ${command} FILE, or barkline ${command} --bars '1 1 4 1 / 1 5 1 1'`;
  if (bars === undefined && meter !== undefined)
    throw new Stop(exit.call, '--meter is for --bars; a chart has its own', how);
  if (bars !== undefined && file !== undefined)
    throw new Stop(exit.call, 'a file and --bars cannot both be used', how);
  if (bars === undefined && file === undefined)
    throw new Stop(exit.call, `${command} needs a file, or --bars`, how);
  return bars !== undefined;
}

/** The chart that `--bars` makes, with its text; its mistakes are reported on stderr with their places in what was typed. */
export function loadBars({ bars = '', meter, key = usualKey, tempo }: BarsFlags): ChartSource {
  if (bars.trim() === '')
    throw new Stop(exit.call, '--bars has no bars', "write numbers: --bars '1 1 4 1 / 1 5 1 1'");
  const counted = meter === undefined ? null : parseMeter(meter);
  if (counted && !counted.ok) throw new Stop(exit.call, `--meter ${counted.fault.message}`);
  const made = barsChart({
    bars,
    key: keyName(keyFlag(key)),
    ...(meter === undefined ? {} : { meter }),
    // Anything else is a share of the usual tempo, or told by whoever reads the flag.
    ...(tempo !== undefined && /^\d/.test(tempo) && parseTempo(tempo).ok ? { tempo } : {}),
  });
  const read = readChart(new TextEncoder().encode(made.text));
  if (read.ok) return { chart: read.value, source: made.text };
  const faults = read.faults.map((fault) => ({ ...fault, ...made.placeIn(fault) }));
  const untold = 'untold' in read ? read.untold : undefined;
  const lines = bars.split(/\r\n|\r|\n/);
  for (const fault of faults) say(...faultText({ file: '--bars', lines }, fault));
  throw new Stop(
    exit.input,
    `--bars has ${count(faults, untold)}`,
    'correct the mistakes above; barkline check --notation shows how bars are written',
  );
}

/** The chart of a file, or of bars on the command line. */
export function chartOrBars(file: string | undefined, flags: BarsFlags, command: string): Chart {
  return givesBars(file, flags, command) || file === undefined ? loadBars(flags).chart : loadChart(file);
}

/** The message that brings bars onto the stand, as a chart that is in no file. */
export function barsOpened({ chart, source }: ChartSource, flags: PlayFlags, settings: Settings): Message {
  return { kind: 'chart-opened', file: '', chart, start: standStart(chart, null, flags, settings), source };
}
