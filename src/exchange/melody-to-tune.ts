import type { Chart, Place } from '../chart/chart.js';
import { partsPerQuarter, type SectionTune, type TuneNote } from '../chart/tune/tune.js';
import { degreeOf } from '../chart/tune/tune-pitch.js';
import type { Key } from '../theory/key.js';
import type { Remark, SheetBar, SheetNote } from './lead-sheet.js';
import { notesLasting, notesParts } from './melody.js';

/** A bar of the tune that is being made. */
interface MadeBar {
  readonly place: Place;
  readonly notes: readonly TuneNote[];
  /** How long the chart's bar is, in parts of a quarter. */
  readonly parts: number;
  /** Whether what is played next may be the beginning of a strain. */
  readonly leaves: boolean;
}

/** Makes the tune of a chart of a sheet's melody, bar by bar, as its sections are made. */
export class MelodyOfSections {
  private readonly sections = new Map<string, { pickup: readonly TuneNote[]; bars: MadeBar[] }>();
  private readonly bars: readonly SheetBar[];
  private readonly has: boolean;

  /** @param home the song's key */
  constructor(
    private readonly home: Key,
    bars: readonly SheetBar[],
  ) {
    this.bars = withTrueTies(withinPickups(bars));
    this.has = bars.some(({ notes }) => notes !== undefined);
  }

  /** Adds a bar of the sheet to a section, in a key; `quarters` is how long the chart's bar is. */
  add(section: string, at: number, key: Key, quarters: number): void {
    if (!this.has) return;
    const bar = this.bars[at];
    if (!bar) return;
    const found = this.sections.get(section) ?? {
      pickup: this.degrees(bar.pickupNotes ?? [], key),
      bars: [],
    };
    this.sections.set(section, found);
    const next = this.bars[at + 1];
    found.bars.push({
      place: bar.place,
      notes: this.degrees(bar.notes ?? [], key),
      parts: Math.round(quarters * partsPerQuarter),
      leaves: leaves(bar, next),
    });
  }

  /** The tune, where any section has notes; what had to be made longer or shorter is reported. */
  tune(remarks: Remark[]): Pick<Chart, 'tune'> {
    for (const found of this.sections.values()) {
      const [first] = found.bars;
      if (!first || found.pickup.length === 0 || sum(found.pickup) < first.parts) continue;
      remarks.push({
        place: first.place,
        message: 'a pick-up as long as the first bar is left out',
      });
      found.pickup = [];
    }
    const pickups = new Set([...this.sections.values()].map(({ pickup }) => sum(pickup)));
    const tunes = [...this.sections].flatMap(([section, { pickup, bars }]): SectionTune[] => {
      const made = bars.map(({ place, notes, parts, leaves }) => {
        const missing = parts - sum(notes);
        if (missing === 0 || notes.length === 0) return { notes: silent(notes) ? [] : notes };
        if (missing > 0 && leaves && pickups.has(missing)) return { notes };
        if (missing < 0)
          remarks.push({ place, message: 'notes beyond the end of their bar of the chart are left out' });
        const fitted = silent(notes) ? [] : fittedNotes(notes, parts);
        return { notes: fitted };
      });
      const sounds = pickup.length > 0 || made.some(({ notes }) => notes.length > 0);
      return sounds ? [{ section, pickup, bars: made, remarks: [] }] : [];
    });
    return tunes.length > 0 ? { tune: tunes } : {};
  }

  private degrees(notes: readonly SheetNote[], key: Key): readonly TuneNote[] {
    return notes.map(({ staff, parts, tie }) => ({
      pitch: staff && degreeOf(staff, key, this.home),
      parts,
      tie: staff !== null && tie,
    }));
  }
}

/** Whether what is played after a bar may be another than the one written next. */
function leaves(bar: SheetBar, next: SheetBar | undefined): boolean {
  return !next || next.section !== null || next.ending !== null || bar.closes !== null || bar.endsEnding;
}

/** Ties to a different note are slurs, and are removed. */
function withTrueTies(bars: readonly SheetBar[]): readonly SheetBar[] {
  const same = (one: SheetNote, other: SheetNote | undefined): boolean =>
    one.staff !== null && one.staff.step === other?.staff?.step && one.staff.alter === other.staff.alter;
  const cleaned = (
    notes: readonly SheetNote[],
    behind: SheetNote | undefined,
    free: boolean,
  ): readonly SheetNote[] =>
    notes.map((note, index) => {
      const isLast = index === notes.length - 1;
      const holds = (isLast && free) || same(note, isLast ? behind : notes[index + 1]);
      return note.tie && !holds ? { ...note, tie: false } : note;
    });
  return bars.map((bar, at): SheetBar => {
    const next = bars[at + 1];
    const { notes, pickupNotes } = bar;
    return {
      ...bar,
      ...(notes ? { notes: cleaned(notes, next?.notes?.[0], leaves(bar, next)) } : {}),
      ...(pickupNotes ? { pickupNotes: cleaned(pickupNotes, notes?.[0], false) } : {}),
    };
  });
}

function sum(notes: readonly TuneNote[]): number {
  return notes.reduce((all, { parts }) => all + parts, 0);
}

function silent(notes: readonly TuneNote[]): boolean {
  return notes.every(({ pitch }) => pitch === null);
}

/** Notes as long as a bar: with a rest after them, or without what is too much. */
function fittedNotes(notes: readonly TuneNote[], parts: number): readonly TuneNote[] {
  const fitted: TuneNote[] = [];
  let left = parts;
  for (const note of notes) {
    if (left <= 0) break;
    fitted.push(note.parts <= left ? note : { ...note, parts: left, tie: false });
    left -= Math.min(left, note.parts);
  }
  return left > 0 ? [...fitted, { pitch: null, parts: left, tie: false }] : fitted;
}

/**
 * A pick-up of a strain within a section, which a chart has no place for, is written out at the end of the bars that lead to it:
 * the one before, and those that go back to its strain's beginning.
 */
function withinPickups(bars: readonly SheetBar[]): readonly SheetBar[] {
  const all = [...bars];
  const append = (at: number, pickup: readonly SheetNote[], full: number): void => {
    const bar = all[at];
    if (!bar?.notes || notesParts(bar.notes) + notesParts(pickup) > full) return;
    const before = notesLasting(bar.notes, full - notesParts(pickup));
    all[at] = { ...bar, notes: [...before, ...pickup] };
  };
  bars.forEach((bar, at) => {
    const pickup = bar.pickupNotes;
    if (!pickup || bar.section !== null || at === 0) return;
    const ends = bar.opens ? endsOf(bars, at) : [];
    for (const end of [at - 1, ...ends])
      append(end, pickup, Math.round((bars[end]?.length ?? 0) * partsPerQuarter));
    const { pickupNotes: _, ...rest } = all[at] as SheetBar;
    all[at] = rest;
  });
  return all;
}

/** The bars from which one goes back to a repeat's beginning. */
function endsOf(bars: readonly SheetBar[], from: number): readonly number[] {
  for (let at = from; at < bars.length; at += 1) {
    const bar = bars[at] as SheetBar;
    if (at > from && bar.opens) return [];
    if (bar.closes !== null) return [at];
  }
  return [];
}
