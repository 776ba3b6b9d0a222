import type { Chart, PlayedBar } from '../chart/chart.js';
import type { Fault } from '../chart/fault.js';
import { chordName } from '../theory/chord.js';
import { candidatesFor } from './candidates.js';
import type { Instrument } from './instrument.js';
import { usualPlan } from './plan.js';

/** A warning for each chord of a pass that no closed shape is known for, at the bar where it first comes. */
export function shapelessChords(chart: Chart, bars: readonly PlayedBar[], instrument: Instrument): Fault[] {
  const seen = new Set<string>();
  const faults: Fault[] = [];
  for (const bar of bars) {
    for (const { chord } of bar.cells) {
      if (!chord) continue;
      const name = chordName({ ...chord, bass: null });
      if (seen.has(name)) continue;
      seen.add(name);
      if (candidatesFor(chord, instrument, usualPlan).some((one) => !one.onlyOffered && !one.reduced))
        continue;
      const written = chart.sections[bar.source.section]?.lines[bar.source.line]?.items.filter(
        (item) => item.kind === 'bar',
      );
      const place = written?.[bar.source.bar]?.place ?? { line: 1, column: 1 };
      faults.push({
        ...place,
        severity: 'warning',
        message: `no closed shape is known for ${name} on the ${instrument.name}`,
      });
    }
  }
  return faults;
}
