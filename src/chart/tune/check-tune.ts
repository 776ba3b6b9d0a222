import { quoted } from '../../base/safe-text.js';
import {
  type Chart,
  type Meter,
  meterText,
  type Place,
  type PlayedBar,
  placeName,
  quartersPerBeat,
} from '../chart.js';
import type { Faults } from '../fault.js';
import { beatsOf } from '../played-cells.js';
import { rangeText } from '../write.js';
import { unitName, unitParts } from './note-lengths.js';
import type { ReadTune } from './read-tune.js';
import { partsOf, partsPerQuarter, type TuneNote } from './tune.js';
import { type BarPlace, barPlaces } from './tune-bars.js';
import { contradicts, rangeOfTune } from './tune-range.js';

/** What is reported with places of the file: the tune as it was read, and where the range stands. */
export interface TuneInFile {
  readonly tune: readonly ReadTune[];
  readonly range: Place | null;
}

/** How long a bar of a section is when the form reaches this bar, in parts of a quarter, and in which meter. */
interface Played {
  readonly parts: number;
  readonly meter: Meter;
}

/**
 * Checks that each bar of a tune is as long as its section's bar where the form comes to it. A bar before a pick-up may be
 * shorter by the pick-up.
 *
 * @param bars a pass of the form in which every bar is played that any pass has
 */
export function checkTune(
  chart: Chart,
  { tune: tunes, range }: TuneInFile,
  bars: readonly PlayedBar[],
  faults: Faults,
): void {
  if (tunes.length === 0) return;
  const played = new Map<string, Played[]>();
  for (const { source, beats, meter } of bars) {
    const name = placeName(source);
    const parts = Math.round(beats * quartersPerBeat(meter) * partsPerQuarter);
    const found = played.get(name);
    if (!found) played.set(name, [{ parts, meter }]);
    else if (!found.some((one) => one.parts === parts)) found.push({ parts, meter });
  }
  checkRange(chart, range, bars, faults);
  const pickups = new Set(tunes.map(({ tune }) => partsOf(tune.pickup)).filter((parts) => parts > 0));
  for (const read of tunes) {
    const index = chart.sections.findIndex(({ name }) => name === read.tune.section);
    const section = chart.sections[index];
    if (!section) continue;
    const places = barPlaces(section, chart.key, chart.meter);
    places.forEach((place, at) => {
      const notes = read.tune.bars[at]?.notes ?? [];
      const where = read.bars[at] ?? read.place;
      const lengths = played.get(placeName({ section: index, line: place.line, bar: place.index })) ?? [
        writtenLength(chart, place),
      ];
      for (const one of lengths) {
        const missing = one.parts - partsOf(notes);
        if (notes.length === 0 || missing === 0 || (place.leaves && pickups.has(missing))) continue;
        faults.error(where, () => lengthFault(chart, notes, one, at, read));
        break;
      }
    });
    const first = places[0];
    const ahead = partsOf(read.tune.pickup);
    const full = first
      ? (played.get(placeName({ section: index, line: first.line, bar: first.index }))?.[0] ??
        writtenLength(chart, first))
      : null;
    if (read.pickup && full && ahead >= full.parts)
      faults.error(
        read.pickup,
        `the tune of ${quoted(read.tune.section)} has one bar more than the section, and its first bar is too long for a pick-up; a pick-up is shorter than a bar`,
      );
    if (read.pickup && read.tune.pickup.every(({ pitch }) => pitch === null))
      faults.error(read.pickup, 'this pick-up is a rest; leave it out');
  }
}

/** A written range should be that of the tune; if it is different it holds all the same, with a warning. */
function checkRange(chart: Chart, place: Place | null, bars: readonly PlayedBar[], faults: Faults): void {
  const sung = rangeOfTune(chart, bars);
  if (!chart.range || !place || !sung || !contradicts(chart.range, sung)) return;
  const { low, high } = sung;
  faults.warning(
    place,
    `the tune goes from ${rangeText(low)} to ${rangeText(high)}, but this range is different; leave it out, or write “${rangeText(low)} to ${rangeText(high)}”`,
  );
}

/** The length of a bar that no pass reaches, in the meter of its section. */
function writtenLength(chart: Chart, { bar, meter }: BarPlace): Played {
  return {
    parts: Math.round(beatsOf(bar, meter, chart.crooked) * quartersPerBeat(meter) * partsPerQuarter),
    meter,
  };
}

function lengthFault(
  chart: Chart,
  notes: readonly TuneNote[],
  { parts, meter }: Played,
  at: number,
  { tune }: ReadTune,
): string {
  const unit = unitParts(chart.meter);
  const name = unitName(chart.meter);
  const count = (value: number): string => {
    const units = Math.round((value / unit) * 1000) / 1000;
    return `${units} ${units === 1 ? name : `${name}s`}`;
  };
  const found = partsOf(notes);
  const missing = parts - found;
  const change =
    missing > 0
      ? `${count(missing)} ${missing === unit ? 'is' : 'are'} missing`
      : `${count(-missing)} too many`;
  const pickup =
    missing > 0 && at === 0
      ? '; write a pick-up before it, with a bar line after the pick-up'
      : missing > 0 && at === tune.bars.length - 1
        ? '; the last bar may be shorter by the length of the pick-up'
        : '';
  return `bar ${at + 1} of the tune of ${quoted(tune.section)} has ${count(found)}, but the section’s bar, in ${meterText(meter)}, has ${count(parts)}: ${change}${pickup}`;
}
