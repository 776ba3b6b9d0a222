import type { Key } from '../../theory/key.js';
import type { EndingTimes, Item, Meter, Section } from '../chart.js';
import { keyAt } from '../key-target.js';
import { writtenLines } from '../written-lines.js';

/** A bar of a section as its tune meets it: what its notes are read in, and the signs of repeats at it. */
export interface BarPlace {
  /** The key that letters are read in: the chart's, and after a key that is named that one. */
  readonly key: Key;
  /** The section's own meter there, where it says one; else the chart's. */
  readonly meter: Meter;
  readonly bar: Extract<Item, { kind: 'bar' }>;
  readonly opens: boolean;
  readonly ending: EndingTimes | null;
  /** Whether a repeat ends after it, and whether one goes back from here to its beginning. */
  readonly closes: boolean;
  readonly goesBack: boolean;
  /** Whether the bar played next may be another than the one written next. */
  readonly leaves: boolean;
  /** The written line, and the bar's place in it, as `BarSource` has them. */
  readonly line: number;
  readonly index: number;
}

/** The bars of each section as they were last asked for: reading, checking and playing a tune each want them. */
const known = new WeakMap<Section, { home: Key; first: Meter; places: readonly BarPlace[] }>();

/** The written bars of a section, in order, in a song whose key and meter are these. */
export function barPlaces(section: Section, home: Key, first: Meter): readonly BarPlace[] {
  const last = known.get(section);
  if (last && last.home === home && last.first === first) return last.places;
  const places = placesOf(section, home, first);
  known.set(section, { home, first, places });
  return places;
}

function placesOf(section: Section, home: Key, first: Meter): readonly BarPlace[] {
  const places: { -readonly [Name in keyof BarPlace]: BarPlace[Name] }[] = [];
  let key = home;
  let meter = first;
  let opens = false;
  let ending: EndingTimes | null = null;
  const ends = new Set<BarPlace>();
  writtenLines(section).forEach((items, line) => {
    let index = -1;
    for (const item of items) {
      const last = places.at(-1);
      if (item.kind === 'change' && item.change.kind === 'key-to') key = keyAt(item.change.to, home);
      else if (item.kind === 'change' && item.change.kind === 'meter') meter = item.change.meter;
      else if (item.kind === 'repeat-open') opens = true;
      else if (item.kind === 'ending-open') ending = item.times;
      else if (item.kind === 'ending-close' && last) {
        last.leaves = true;
        ends.add(last);
      } else if (item.kind === 'repeat-close' && last) {
        last.closes = true;
        last.leaves = true;
      } else if (item.kind === 'bar') {
        index += 1;
        places.push({
          key,
          meter,
          bar: item,
          opens,
          ending,
          closes: false,
          goesBack: false,
          leaves: false,
          line,
          index,
        });
        opens = false;
        ending = null;
      }
    }
  });
  places.forEach((place, at) => {
    const next = places[at + 1];
    const more = next?.ending != null && next.ending !== 'last';
    if (next?.ending != null) place.leaves = true;
    place.goesBack = (ends.has(place) && more) || (place.closes && !endsLater(places, at));
  });
  const end = places.at(-1);
  if (end) end.leaves = true;
  return places;
}

/** Whether the bar ends a later ending of a repeat, after which the song goes on. */
function endsLater(places: readonly BarPlace[], at: number): boolean {
  for (let index = at; index >= 0; index -= 1) {
    const place = places[index];
    if (place?.ending != null && place.ending !== 'last') return !place.ending.includes(1);
    if (place?.opens || (index < at && place?.leaves)) return false;
  }
  return false;
}
