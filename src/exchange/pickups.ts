import { feltBeats, type Meter, quartersPerBeat } from '../chart/chart.js';
import { chordName } from '../theory/chord.js';
import { type LeadSheet, meterQuarters, type Remark, type SheetBar, type SheetChord } from './lead-sheet.js';

/** Lengths that differ by less than this (quarters) are the same. */
const near = 1e-6;

/**
 * A short bar at the beginning of a strain is a pick-up where other bars make it full: the last of the strain before, or those
 * that end its own. These become full bars, with its chord where it is played again, and the short bar is removed. The song's first bar needs
 * no such bar. A short bar that no other bar completes stays, and is reported.
 *
 * @returns the bars without pick-ups, and how many felt beats the song's own has
 */
export function withoutPickups(
  sheet: LeadSheet,
  remarks: Remark[],
): { bars: readonly SheetBar[]; pickup: number } {
  const meters = metersOf(sheet);
  const bars: (SheetBar | null)[] = [...sheet.bars];
  const starts = sheet.bars.flatMap((bar, index) => (begins(sheet.bars, bar, index) ? [index] : []));
  let pickup = 0;
  starts.forEach((from, place) => {
    const bar = sheet.bars[from] as SheetBar;
    const meter = meters[from] as Meter;
    const full = meterQuarters(meter);
    if (sheet.bars.length < 2 || bar.length > full - near || bar.closes !== null) return;
    const next = starts[place + 1] ?? bars.length;
    // A bar alone before a repeat's sign belongs to what is repeated.
    const end = next === from + 1 ? (starts[place + 2] ?? bars.length) : next;
    const ends = bar.length < near ? [] : range(from + 1, end).filter((at) => endsPass(sheet.bars, at, end));
    const whole = [...new Set([from - 1, ...endsBefore(sheet, bar), ...ends])].filter((at) => {
      const other = sheet.bars[at];
      const needed = meters[at];
      return (
        bars[at] && other && needed && Math.abs(other.length + bar.length - meterQuarters(needed)) < near
      );
    });
    const beats = bar.length / quartersPerBeat(meter);
    if (from > 0 && whole.length === 0 && bar.length > near) {
      remarks.push({
        place: bar.place,
        message: `a section begins with a bar of ${told(beats)} that no other bar completes: it stays a separate bar`,
      });
      return;
    }
    const kept = whole.map((at) => {
      const added = addedChords(bars[at] as SheetBar, sheet.bars[at] as SheetBar, bar, at < from);
      bars[at] = added.bar;
      return added.kept;
    });
    if (from === 0 && bar.length > near) pickup = pickupBeats(beats, bar, remarks);
    // Before the song there is no bar for it: there it is left out once.
    if (bar.chords.length > 0 && (from === 0 || !kept.includes(true) || kept.includes(false)))
      remarks.push({
        place: bar.place,
        message: 'the chord of a pick-up is left out: the pick-up is played in the bar before',
      });
    const behind = bars[from + 1];
    // A pick-up may have something of one before it.
    if (behind) bars[from + 1] = behindPickup(bars[from] as SheetBar, behind);
    bars[from] = null;
  });
  const left = bars.flatMap((bar) => bar ?? []);
  // Where nothing is left there was no pick-up.
  if (left.length === 0) return { bars: sheet.bars, pickup: 0 };
  return { bars: left, pickup: pickup < feltBeats(sheet.meter) ? pickup : 0 };
}

/** The last bars of the sections that the form plays before that which begins with a bar. */
function endsBefore({ form, bars }: LeadSheet, { section }: SheetBar): readonly number[] {
  if (!form || !section) return [];
  const before = new Set(form.filter((_, index) => form[index + 1] === section));
  let within: string | null = null;
  return bars.flatMap((bar, at) => {
    within = bar.section ?? within;
    const next = bars[at + 1];
    return within !== null && before.has(within) && (!next || next.section !== null) ? [at] : [];
  });
}

/** The meter that each bar stands in. */
function metersOf({ meter, bars }: LeadSheet): readonly Meter[] {
  let held = meter;
  return bars.map((bar) => {
    held = bar.meter ?? held;
    return held;
  });
}

/** Whether a strain begins: the song, a section, a repeat, what comes after one that is over. */
function begins(bars: readonly SheetBar[], bar: SheetBar, index: number): boolean {
  const before = bars[index - 1];
  const over = before !== undefined && (before.closes !== null || before.endsEnding) && !bar.ending;
  return index === 0 || bar.opens || bar.section !== null || over;
}

/** Whether one goes from this bar to the beginning of a strain. */
function endsPass(bars: readonly SheetBar[], at: number, end: number): boolean {
  const bar = bars[at] as SheetBar;
  return at === end - 1 || bar.closes !== null || bar.endsEnding || bars[at + 1]?.ending !== null;
}

/** A bar made full by a pick-up, with its chords where it is played after it. A bar has room for those of one. */
function addedChords(
  bar: SheetBar,
  written: SheetBar,
  short: SheetBar,
  before: boolean,
): { bar: SheetBar; kept: boolean | null } {
  const length = written.length + short.length;
  const chords = short.chords.map((chord) => ({ ...chord, at: chord.at + written.length }));
  const there = bar.chords.filter(({ at }) => at > written.length - near);
  if (chords.length === 0 || !(before || written.closes !== null))
    return { bar: { ...bar, length }, kept: null };
  if (there.length > 0) return { bar: { ...bar, length }, kept: names(there) === names(chords) };
  return { bar: { ...bar, length, chords: [...bar.chords, ...chords] }, kept: true };
}

function names(chords: readonly SheetChord[]): string {
  return chords.map(({ at, chord }) => `${at.toFixed(3)} ${chord ? chordName(chord) : ''}`).join();
}

function pickupBeats(beats: number, bar: SheetBar, remarks: Remark[]): number {
  const whole = Math.max(1, Math.round(beats));
  if (Math.abs(whole - beats) > 1e-4)
    remarks.push({ place: bar.place, message: `a pick-up of ${told(beats)} is written as ${whole}` });
  return whole;
}

function told(beats: number): string {
  const rounded = Math.round(beats * 100) / 100;
  return rounded === 1 ? '1 beat' : `${rounded} beats`;
}

function range(from: number, to: number): readonly number[] {
  return Array.from({ length: Math.max(0, to - from) }, (_, index) => from + index);
}

/** The bar after a pick-up, with what the pick-up said that belongs to it; what the bar says itself goes before that. */
function behindPickup(carried: SheetBar, bar: SheetBar): SheetBar {
  const words = [...(carried.words ?? []), ...(bar.words ?? [])];
  const pickup = [...(carried.pickupNotes ?? []), ...(carried.notes ?? [])];
  const marks = [...new Set([...(carried.marks ?? []), ...(bar.marks ?? [])])];
  return {
    // Of what only some bars have, such as where one goes back, either's stays.
    ...carried,
    ...bar,
    opens: carried.opens || bar.opens,
    section: bar.section ?? carried.section,
    line: carried.line || bar.line,
    meter: bar.meter ?? carried.meter,
    key: bar.key ?? carried.key,
    tempo: bar.tempo ?? carried.tempo,
    cues: [...carried.cues, ...bar.cues],
    ...(words.length > 0 ? { words } : {}),
    ...(marks.length > 0 ? { marks } : {}),
    ...(pickup.some(({ staff }) => staff !== null) ? { pickupNotes: pickup } : {}),
  };
}
