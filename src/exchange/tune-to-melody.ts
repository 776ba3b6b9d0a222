import { type Chart, type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import { beatsOf } from '../chart/played-cells.js';
import { barParts, type PlayedNote } from '../chart/tune/play-tune.js';
import { partsOf, partsPerQuarter, type SectionTune, type TuneNote } from '../chart/tune/tune.js';
import { type BarPlace, barPlaces } from '../chart/tune/tune-bars.js';
import { staffOf } from '../chart/tune/tune-pitch.js';
import type { Key } from '../theory/key.js';
import { plainBar, type SheetBar, type SheetNote } from './lead-sheet.js';
import { notesBetween, notesLasting } from './melody.js';

/** The tune of a section as a lead sheet has it: its notes bar by bar, and what it lacks at the end of bars for a pick-up. */
export interface SectionMelody {
  readonly bars: readonly (readonly SheetNote[])[];
  readonly lacks: readonly number[];
  readonly pickup: readonly SheetNote[];
  /** Whether the pick-up comes again with the repeat that the section begins with. */
  readonly inside: boolean;
}

/** A section with its tune and what is needed of its bars. */
interface Part {
  readonly tune: SectionTune | null;
  readonly places: readonly BarPlace[];
  readonly parts: readonly number[];
  readonly ahead: number;
  readonly inside: boolean;
}

/**
 * The melody of each section of a chart as it is written, in the chart's own key; `null` where a pick-up would have to stand in
 * front of a section at one time and not at another, so that only what is played can be written.
 */
export function melodyBySection(chart: Chart): ReadonlyMap<string, SectionMelody> | null {
  const parts = new Map(
    chart.sections.map((section) => [
      section.name,
      partOf(chart, barPlaces(section, chart.key, chart.meter), section.name),
    ]),
  );
  const hasPickup = [...parts.values()].some((part) => part?.ahead);
  if (hasPickup && (chart.form.some(({ way }) => way) || chart.sections.some(({ derived }) => derived)))
    return null;
  const behind = behindBars(chart, parts);
  if (!behind) return null;
  const found = new Map<string, SectionMelody>();
  for (const [name, part] of parts) {
    if (!part) return null;
    const lacks: number[] = [];
    const bars = part.parts.map((full, index) => {
      const follows = [...(behind.get(`${name}/${index}`) ?? [])];
      if (follows.length > 1) return null;
      const own = (part.tune?.bars[index]?.notes ?? []).map(onStaff(chart, part.places[index]));
      const missing = full - partsOf(part.tune?.bars[index]?.notes ?? []);
      const last = follows.length === 0 && own.length > 0 && part.places[index]?.leaves;
      const lack = follows[0] ?? (last ? missing : 0);
      lacks.push(lack);
      return notesLasting(own, full - lack);
    });
    if (bars.some((bar) => bar === null)) return null;
    const first = part.places[0];
    found.set(name, {
      bars: bars.map((bar) => bar ?? []),
      lacks,
      pickup: (part.tune?.pickup ?? []).map(onStaff(chart, first)),
      inside: part.inside,
    });
  }
  return found;
}

function onStaff(chart: Chart, place: BarPlace | undefined): (note: TuneNote) => SheetNote {
  return ({ pitch, parts, tie }) => ({
    staff: pitch && staffOf(pitch, place?.key ?? chart.key, chart.key),
    parts,
    tie,
  });
}

/** `null` where a repeat goes back to a pick-up from one bar and past it from another. */
function partOf(chart: Chart, places: readonly BarPlace[], name: string): Part | null {
  const tune = chart.tune?.find(({ section }) => section === name) ?? null;
  const fits = tune && tune.bars.length === places.length ? tune : null;
  const parts = places.map(({ bar, meter }) =>
    Math.round(beatsOf(bar, meter, chart.crooked) * quartersPerBeat(meter) * partsPerQuarter),
  );
  const ahead = partsOf(fits?.pickup ?? []);
  const back = backBars(places).map(
    (index) => partsOf(fits?.bars[index]?.notes ?? []) <= (parts[index] ?? 0) - ahead,
  );
  if (ahead > 0 && back.includes(true) && back.includes(false)) return null;
  return { tune: fits, places, parts, ahead, inside: back.includes(true) };
}

/** The bars from which one goes back to the beginning of a section that begins with a repeat. */
function backBars(places: readonly BarPlace[]): readonly number[] {
  if (!places[0]?.opens) return [];
  const next = places.findIndex(({ opens }, index) => index > 0 && opens);
  return places.flatMap(({ goesBack }, index) => (goesBack && (next < 0 || index < next) ? [index] : []));
}

/** For each bar the lengths of the pick-ups that can follow it, 0 for none; `null` where one gives way to notes of the bar. */
function behindBars(
  chart: Chart,
  parts: ReadonlyMap<string, Part | null>,
): ReadonlyMap<string, ReadonlySet<number>> | null {
  const behind = new Map<string, Set<number>>();
  const add = (name: string, index: number, ahead: number): void => {
    const found = behind.get(`${name}/${index}`) ?? new Set();
    behind.set(`${name}/${index}`, found.add(ahead));
  };
  for (const [name, part] of parts) {
    const back = backBars(part?.places ?? []);
    part?.places.forEach((place, index) => {
      if (place.goesBack) add(name, index, back.includes(index) && part.inside ? part.ahead : 0);
      else if (!place.leaves) add(name, index, 0);
    });
  }
  const played = chart.form.flatMap(({ section, times }) => Array.from({ length: times }, () => section));
  for (const [at, name] of played.entries()) {
    const before = played[at - 1];
    const part = parts.get(name);
    const last = before === undefined ? null : parts.get(before);
    if (before === undefined || !part || !last) continue;
    const end = last.places.length - 1;
    const notes = last.tune?.bars[end]?.notes ?? [];
    if (part.ahead > 0 && before === name && beginsBehind(notes, (last.parts[end] ?? 0) - part.ahead))
      return null;
    add(before, end, part.ahead);
  }
  return behind;
}

function beginsBehind(notes: readonly TuneNote[], from: number): boolean {
  let at = 0;
  for (const { pitch, parts } of notes) {
    if (pitch && at >= from) return true;
    at += parts;
  }
  return false;
}

/** Bars of a section with its melody, a pick-up before them as a bar of its own; `null` where a chord would be lost by it. */
export function withSectionMelody(
  bars: readonly SheetBar[],
  melody: SectionMelody,
): readonly SheetBar[] | null {
  if (bars.length !== melody.bars.length) return null;
  const written = bars.map((bar, index): SheetBar => {
    const length = bar.length - (melody.lacks[index] ?? 0) / partsPerQuarter;
    return { ...bar, length, notes: melody.bars[index] ?? [] };
  });
  if (written.some(({ length, chords }) => chords.some(({ at }) => at >= length && at > 0))) return null;
  return withPickupBar(written, melody.pickup, melody.inside);
}

/** Bars with a pick-up as a short bar before them, which begins their section, and their repeat where it is `inside`. */
export function withPickupBar(
  bars: readonly SheetBar[],
  pickup: readonly SheetNote[],
  inside: boolean,
): readonly SheetBar[] {
  const [first, ...more] = bars;
  if (!first || pickup.length === 0) return bars;
  const length = pickup.reduce((sum, { parts }) => sum + parts, 0) / partsPerQuarter;
  const ahead: SheetBar = {
    ...plainBar,
    length,
    notes: pickup,
    section: first.section,
    line: first.line,
    opens: inside && first.opens,
    meter: first.meter,
    key: first.key,
    tempo: first.tempo,
  };
  return [
    ahead,
    {
      ...first,
      section: null,
      line: false,
      opens: first.opens && !inside,
      meter: null,
      key: null,
      tempo: null,
    },
    ...more,
  ];
}

/** The melody of bars as they are played, each full; and the pick-up before the first. */
export function playedMelody(
  notes: readonly PlayedNote[],
  bars: readonly PlayedBar[],
  home: Key,
): { readonly bars: readonly (readonly SheetNote[])[]; readonly pickup: readonly SheetNote[] } {
  const byBar = new Map<number, PlayedNote[]>();
  const tiedTo = new Set<PlayedNote>();
  notes.forEach((note, index) => {
    byBar.set(note.bar, [...(byBar.get(note.bar) ?? []), note]);
    const before = notes[index - 1];
    if (note.tied && before) tiedTo.add(before);
  });
  const written = (own: readonly PlayedNote[], from: number): readonly SheetNote[] => {
    const found: SheetNote[] = [];
    let at = from;
    for (const note of own) {
      if (note.at > at) found.push({ staff: null, parts: note.at - at, tie: false });
      found.push({
        staff: note.note.pitch && staffOf(note.note.pitch, note.key, home),
        parts: note.parts,
        tie: tiedTo.has(note),
      });
      at = note.at + note.parts;
    }
    return found;
  };
  const first = byBar.get(-1) ?? [];
  const from = first[0]?.at ?? 0;
  const pickup = notesLasting(written(first, from), -from);
  return {
    bars: bars.map((bar, index) =>
      notesBetween(notesLasting(written(byBar.get(index) ?? [], 0), barParts(bar)), 0, barParts(bar)),
    ),
    pickup,
  };
}
