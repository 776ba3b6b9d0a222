import { existsSync } from 'node:fs';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { type Instrument, mandolin } from '../hand/instrument.js';
import { findInstrument, noInstrument } from '../hand/read-instrument.js';
import { exit, Stop } from './exit.js';
import { loadGood } from './load.js';

/** Reads `--instrument`: a built-in one by name, or a file of the user's own. */
export function instrumentFlag(wanted: string | undefined): Instrument {
  if (wanted === undefined) return mandolin;
  const known = findInstrument(wanted);
  if (known) return known;
  if (!existsSync(wanted)) throw new Stop(exit.call, `--instrument ${noInstrument(wanted)}`);
  const content = loadGood(wanted);
  if (content.kind === 'instrument') return content.instrument;
  throw new Stop(
    exit.call,
    `${safeText(wanted)} is a ${content.kind}, not an instrument`,
    'an instrument has “courses: G3 D4 A4 E5”',
  );
}

/** The instrument that the chart's head names, when it is a built-in one; else the mandolin. */
export function instrumentOf(chart: Chart): Instrument {
  return (chart.instrument === null ? null : findInstrument(chart.instrument)) ?? mandolin;
}
