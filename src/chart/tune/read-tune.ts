import { didYouMean } from '../../base/nearest.js';
import { fewNames, quoted, safeText } from '../../base/safe-text.js';
import type { Chart, Place, Section } from '../chart.js';
import type { Faults } from '../fault.js';
import type { Entry, Value } from '../yaml-source.js';
import type { SectionTune } from './tune.js';
import { type BarPlace, barPlaces } from './tune-bars.js';
import { readPitches } from './tune-notes.js';
import { type RawBar, rawBars } from './tune-text.js';

/** The tune of a section as it was read, with where each of its bars stands. */
export interface ReadTune {
  readonly tune: SectionTune;
  readonly place: Place;
  readonly pickup: Place | null;
  readonly bars: readonly Place[];
}

/** What of a chart its tune is read in. */
type Head = Pick<Chart, 'key' | 'meter'>;

/** Reads the block `tune:`, an entry a section. Faults go to `faults`. */
export function readTune(
  value: Value | null,
  head: Head,
  sections: readonly Section[],
  faults: Faults,
): readonly ReadTune[] {
  if (!value) return [];
  if (value.kind !== 'map' || value.entries.length === 0) {
    faults.error(
      value.place,
      'a tune has an entry for each section; write “tune:”, below it a section’s name, “  V: |”, and below that its notes, indented',
    );
    return [];
  }
  const known = new Map(sections.map((section) => [section.name, section]));
  return value.entries.flatMap((entry) => {
    const section = known.get(entry.name);
    if (section) return readEntry(entry, section, head, faults);
    const names = [...known.keys()];
    faults.error(
      entry.place,
      `there is no section ${quoted(entry.name)}${didYouMean(entry.name, names)}; a tune has an entry for each of ${fewNames(names)}`,
    );
    return [];
  });
}

function readEntry({ name, place, value }: Entry, section: Section, head: Head, faults: Faults): ReadTune[] {
  if (value.kind !== 'text' || value.folded) {
    faults.error(
      value.place,
      value.kind === 'text'
        ? `the lines of the tune of ${quoted(name)} would be joined into one; write “${safeText(name)}: |” and the notes below it, indented`
        : `the tune of ${quoted(name)} has no notes; write “${safeText(name)}: |” and the notes below it, indented`,
    );
    return [];
  }
  const places = barPlaces(section, head.key, head.meter);
  const before = faults.count;
  const { bars: raw, remarks } = rawBars(value.lines, head.meter, faults);
  if (places.length === 0) {
    // A section whose bars cannot be read is told by itself.
    if (section.derived)
      faults.error(
        place,
        `section ${quoted(name)} has no bars of its own: what it takes from other sections keeps their tune; leave this entry out`,
      );
    return [];
  }
  const ahead = raw.length - places.length;
  if (ahead !== 0 && ahead !== 1) {
    if (faults.count === before)
      faults.error(countPlace(raw, places, place), countFault(raw.length, places.length, name));
    return [];
  }
  const [pickup, bars] = ahead === 1 ? [raw[0] ?? null, raw.slice(1)] : [null, raw];
  for (const [index, bar] of bars.entries())
    checkSigns(bar, places[index] as BarPlace, index === 0 ? pickup : null, faults);
  if (pickup?.closes)
    faults.error(pickup.closes, 'a repeat sign cannot follow a pick-up; write | after the pick-up');
  if (pickup?.ending)
    faults.error(pickup.ending.place, 'an ending cannot begin with a pick-up; leave it out');
  const notes = readPitches(pickup, bars, places, head.key, faults);
  const told = remarks.map(({ bar, text }) => ({ bar: Math.max(-1, bar - ahead), text }));
  return [
    {
      tune: { section: name, ...notes, remarks: told },
      place,
      pickup: pickup?.place ?? null,
      bars: bars.map((bar) => bar.place),
    },
  ];
}

/** Where a wrong number of bars is reported: at the first bar that is too many, or at the last there is. */
function countPlace(raw: readonly RawBar[], places: readonly BarPlace[], place: Place): Place {
  return (raw[places.length + 1] ?? raw.at(-1))?.place ?? place;
}

function countFault(found: number, wanted: number, name: string): string {
  const bars = (count: number): string => `${count} ${count === 1 ? 'bar' : 'bars'}`;
  if (found === 0)
    return `the tune of ${quoted(name)} has no notes; the section has ${bars(wanted)}, and a bar of silence is Z`;
  return `the tune of ${quoted(name)} has ${bars(found)}, and the section ${bars(wanted)}; write one bar here for each bar written in the section, including endings; a pick-up may come before them`;
}

/** Repeats and endings are the section's: what the tune has of them must be there too. */
function checkSigns(bar: RawBar, place: BarPlace, pickup: RawBar | null, faults: Faults): void {
  const opens = bar.opens ?? pickup?.opens;
  if (opens && !place.opens)
    faults.error(
      opens,
      'no repeat begins at this bar of the section, and the tune has the same repeats; write |',
    );
  if (bar.closes && !place.goesBack && !place.closes)
    faults.error(
      bar.closes,
      'no repeat ends at this bar of the section, and the tune has the same repeats; write |',
    );
  if (!bar.ending) return;
  const { times } = bar.ending;
  const same =
    place.ending !== null &&
    place.ending !== 'last' &&
    times.length === place.ending.length &&
    place.ending.every((time) => times.includes(time));
  if (!same)
    faults.error(
      bar.ending.place,
      `${quoted(bar.ending.text)}: the section has no such ending at this bar, and the tune has the same endings; write |`,
    );
}
