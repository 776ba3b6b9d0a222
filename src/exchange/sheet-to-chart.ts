import { tempoLimits } from '../chart/change.js';
import {
  type Change,
  type Chart,
  countedQuarters,
  type FormWay,
  type Item,
  type Meter,
  type Place,
  quartersPerBeat,
  quarterTempo,
  type Section,
  type SectionLine,
  sameMeter,
  type Tempo,
  type WrittenCell,
} from '../chart/chart.js';
import { barLimit, mostWords } from '../chart/limits.js';
import { beatsOf } from '../chart/played-cells.js';
import { SectionNames } from '../chart/section-names.js';
import { partsOfBeat, sharesEvenly } from '../chart/shares.js';
import { partsPerQuarter } from '../chart/tune/tune.js';
import { unroll } from '../chart/unroll.js';
import { readWay } from '../chart/way-words.js';
import { chordName, toNumber } from '../theory/chord.js';
import { type Key, sameKey } from '../theory/key.js';
import { pitchClass } from '../theory/pitch.js';
import { meterSaidAnew, withWholeBeats } from './broken-beats.js';
import {
  type LeadSheet,
  meterQuarters,
  plainBar,
  type Remark,
  type SheetBar,
  type SheetChord,
  type SheetNote,
  slowingIn,
  stopWords,
} from './lead-sheet.js';
import { notesBetween } from './melody.js';
import { MelodyOfSections } from './melody-to-tune.js';
import { plainRepeats } from './nested-repeats.js';
import { withoutPickups } from './pickups.js';
import { withCounts } from './repeat-counts.js';
import { followedWays, withoutWays } from './sheet-ways.js';

/** The most chords a bar can have: more would not be played. */
const mostCells = 16;
/** Lengths that differ by less than this (quarters) are the same. */
const near = 1e-6;

/** The most times a repeat of a chart is played, and the last time that an ending can be for. */
const mostTimes = 100;
const lastEnding = 9;

/** The result of a lead sheet: the chart, and what was read differently from what is written. */
export interface FromSheet {
  readonly chart: Chart;
  readonly remarks: readonly Remark[];
}

/** A chart made from a lead sheet that has bars. Bars without a chord go on with the one before; chords off the beat are put onto one, and that is reported. */
export function chartFromSheet(sheet: LeadSheet): FromSheet {
  const remarks: Remark[] = [];
  const within = withinLimits(shortBars(sheet, remarks), remarks);
  const { bars: full, pickup } = withoutPickups({ ...sheet, bars: within }, remarks);
  const all = plainRepeats(withCounts(full, remarks), sheet.form !== null, remarks);
  const { bars: signed, unplayed } = followedWays(all, remarks);
  const bars = withWholeBeats(closedEndings(closedRepeats(signed, remarks)), sheet.meter);
  const saysMeter = meterSaidAnew(bars);
  const ways: { after: string; way: FormWay }[] = [];
  const silent = new Set<string>();
  const melody = new MelodyOfSections(sheet.key, bars);
  const sections: { name: string; items: Item[][]; words: Map<Item[], readonly string[]> }[] = [];
  /** What each section is called in the sheet, by the name it has in the chart. */
  const calledBy = new Map<string, string>();
  const names = new SectionNames();
  let key = sheet.key;
  let meter = sheet.meter;
  let sounding: WrittenCell['chord'] = null;
  let bpm = sheet.tempo.bpm;
  const crooked = isCrooked(bars, sheet.meter);
  let open = false;
  let repeats = false;
  const changesKey = bars.some((bar) => bar.key !== null && !sameKey(bar.key, sheet.key));
  // Where parts follow each other by a form or a way, each says what it is in; and a key is named, as where bars come again: half
  // steps would add up.
  const jumps = sheet.form !== null || bars.some(({ back }) => back !== undefined);
  const anew = changesKey && jumps;
  const meterAnew = jumps && bars.some((bar) => bar.meter !== null && !sameMeter(bar.meter, sheet.meter));
  let beforeEndings: Key | null = null;
  const named = anew || bars.some(({ closes }) => closes !== null);
  for (const [at, bar] of bars.entries()) {
    if (bar.section !== null || sections.length === 0) {
      const name = names.next(bar.section ?? '');
      if (!calledBy.has(bar.section ?? '')) calledBy.set(bar.section ?? '', name);
      sections.push({ name, items: [[]], words: new Map() });
      if (unplayed.has(at)) silent.add(name);
    }
    const section = sections.at(-1) as (typeof sections)[number];
    // Words stand above a line of their own, even where that lies within an ending.
    const words = (bar.words ?? []).map(wordsText).filter((text) => text !== '');
    const breaks = (bar.line && !open) || words.length > 0;
    if (breaks && (section.items.at(-1)?.length ?? 0) > 0) section.items.push([]);
    const items = section.items.at(-1) as Item[];
    if (words.length > 0) section.words.set(items, words);
    const { place } = bar;
    if (bar.opens) {
      items.push({ kind: 'repeat-open', place });
      repeats = true;
    }
    if (bar.ending) {
      items.push({ kind: 'ending-open', times: [...bar.ending], place });
      open = true;
    }
    // A section says its meter again where that is not the chart's: it is read by itself.
    const begins = section.items.length === 1 && items.every(({ kind }) => kind !== 'bar');
    const changes = bar.meter !== null && !sameMeter(bar.meter, meter);
    meter = bar.meter ?? meter;
    if (changes || saysMeter.has(bar) || (begins && (meterAnew || !sameMeter(meter, sheet.meter)))) {
      items.push({ kind: 'change', change: { kind: 'meter', meter }, place });
    }
    // The same key by its other name is no change.
    const toKey = bar.key && !sameKey(bar.key, key) ? bar.key : null;
    // The bars before a repeat's endings are in one key; each ending says its own.
    if (bar.opens || bar.section !== null) beforeEndings = null;
    const laterEnding = bar.ending !== null && beforeEndings !== null && !sameKey(key, beforeEndings);
    if (bar.ending) beforeEndings ??= key;
    const saysKey = (begins && anew) || (bar.opens && changesKey && changesWithin(bars, at)) || laterEnding;
    if (toKey || saysKey) {
      const change = keyChange(toKey ?? key, key, sheet.key, named || saysKey);
      items.push({ kind: 'change', change, place });
      key = toKey ?? key;
    }
    // A chart counts all its tempos as its head does.
    const tempo = bar.tempo && countedAs(bar.tempo, sheet.tempo.count);
    if (tempo !== null && tempo !== bpm) {
      bpm = tempo;
      items.push({ kind: 'change', change: { kind: 'tempo', bpm }, place });
    }
    const cells = cellsOf(bar, { meter, crooked }, key, sounding, remarks);
    for (const text of [...bar.cues, ...cells.cues]) {
      const percent = slowingIn(text);
      if (percent !== null) items.push({ kind: 'change', change: { kind: 'slow', percent }, place });
      else if (text !== stopWords) items.push({ kind: 'cue', text: cueText(text), place });
    }
    if (bar.marks?.includes('sign')) items.push({ kind: 'way-mark', mark: 'sign', place });
    items.push({
      kind: 'bar',
      cells: cells.cells,
      grouped: cells.cells.length > 1 || cells.cells.some(({ dots }) => dots !== null),
      same: false,
      place,
    });
    melody.add(
      section.name,
      at,
      key,
      beatsOf({ cells: cells.cells }, meter, crooked) * quartersPerBeat(meter),
    );
    if (bar.stops || bar.cues.includes(stopWords))
      items.push({ kind: 'change', change: { kind: 'wait', beats: null }, place });
    for (const mark of bar.marks ?? []) if (mark !== 'sign') items.push({ kind: 'way-mark', mark, place });
    if (bar.back) ways.push({ after: section.name, way: bar.back });
    sounding = cells.cells.at(-1)?.chord ?? null;
    if (bar.endsEnding) {
      items.push({ kind: 'ending-close', place });
      open = false;
    }
    // In a chart a repeat ends once, before the endings that follow it.
    if (bar.closes !== null && repeats) {
      items.push({ kind: 'repeat-close', times: bar.closes === 2 ? null : bar.closes, place });
      repeats = false;
    }
  }
  const chart: Chart = {
    title: clean(sheet.title) || 'untitled',
    by: sheet.by === null ? null : clean(sheet.by),
    notes: null,
    key: sheet.key,
    tempo: sheet.tempo,
    meter: sheet.meter,
    feel: { swing: 50 },
    pattern: null,
    pickup,
    instrument: null,
    midi: null,
    crooked,
    singers: [],
    range: null,
    sections: sections.map(
      ({ name, items, words }): Section => ({
        name,
        place: nowhere,
        lines: items
          .filter((line) => line.length > 0)
          .flatMap((line): SectionLine[] => [
            ...(words.get(line) ?? []).map((text) => ({ items: [], comment: null, words: text })),
            { items: line, comment: null },
          ]),
        derived: null,
        letters: false,
      }),
    ),
    form: withWays(
      formOf(
        sheet,
        sections.filter(({ name }) => !silent.has(name)),
        calledBy,
        remarks,
      ),
      ways,
    ).map((entry) => ({ times: 1, who: null, pattern: null, place: nowhere, ...entry })),
    remarks: {},
    formWritten: true,
    ...melody.tune(remarks),
  };
  const fault = ways.length > 0 ? unroll(chart).fault : null;
  if (fault) {
    const plain = chartFromSheet({
      ...sheet,
      bars: sheet.bars.map(withoutWays),
      form: sheet.form?.filter((name) => !readWay(name)) ?? null,
    });
    const message = `the jumps (sign, top, coda) cannot be followed and are left out: ${fault.message}`;
    return { ...plain, remarks: [...plain.remarks, { place: nowhere, message }] };
  }
  const repeated = sheet.form !== null || sheet.bars.some(({ opens, closes }) => opens || closes !== null);
  if (!repeated || !unroll(chart).fault) return { chart, remarks };
  const once = sheet.bars.map(
    (bar): SheetBar => ({ ...bar, opens: false, closes: null, ending: null, endsEnding: false }),
  );
  const plain = chartFromSheet({ ...sheet, bars: once, form: null });
  const message = `as written it would play more than ${barLimit} bars: repeats and form are left out`;
  return { ...plain, remarks: [...plain.remarks, { place: nowhere, message }] };
}

/** Whether any bar is shorter or longer than its meter. Dots of such a chart count felt beats and never parts of them. */
function isCrooked(bars: readonly SheetBar[], first: Meter): boolean {
  let meter = first;
  return bars.some((bar) => {
    meter = bar.meter ?? meter;
    return Math.abs(bar.length - meterQuarters(meter)) > near;
  });
}

const nowhere: Place = { line: 1, column: 1 };

/** A tempo in the beats that another one counts, whole, within what a chart can have. */
function countedAs(tempo: Tempo, count: Tempo['count']): number {
  const counted = countedQuarters[count];
  return Math.max(tempoLimits.least, Math.min(tempoLimits.most, Math.round(quarterTempo(tempo) / counted)));
}

function formOf(
  sheet: LeadSheet,
  sections: readonly { name: string }[],
  calledBy: ReadonlyMap<string, string>,
  remarks: Remark[],
): readonly string[] {
  const names = sections.map(({ name }) => name);
  if (!sheet.form) return names;
  // A form word is put where the sheet has its sign.
  const wanted = sheet.form.filter((called) => calledBy.has(called) || !readWay(called));
  const known = wanted.flatMap((called) => calledBy.get(called) ?? []);
  if (known.length < wanted.length)
    remarks.push({ place: nowhere, message: 'the form names parts that do not exist; they are left out' });
  return known.length > 0 ? known : names;
}

/** The entries of a form, with each form word after the last time of the section in which one goes back. */
function withWays(
  names: readonly string[],
  ways: readonly { readonly after: string; readonly way: FormWay }[],
): readonly { readonly section: string; readonly way?: FormWay }[] {
  const behind = new Map<number, FormWay>();
  for (const { after, way } of ways) behind.set(names.lastIndexOf(after), way);
  return names.flatMap((section, index) => {
    const way = behind.get(index);
    return way ? [{ section }, { section: '', way }] : [{ section }];
  });
}

/** Removes repeats that never end and endings outside a repeat: a chart would play them differently from what is written. */
function closedRepeats(bars: readonly SheetBar[], remarks: Remark[]): readonly SheetBar[] {
  let inRepeat = false;
  let closed = false;
  let inEnding = false;
  const closes = closesAhead(bars);
  return bars.map((bar, index) => {
    let written = bar;
    const wasInEnding = inEnding;
    if (bar.ending !== null) inEnding = true;
    if (bar.endsEnding) inEnding = false;
    if (bar.opens) {
      inRepeat = bar.closes !== null || closes[index + 1] === true;
      closed = false;
      if (!inRepeat) {
        const isClosed = bars.slice(index + 1).find(({ opens, closes: one }) => opens || one !== null);
        const message =
          isClosed && !isClosed.opens
            ? 'a repeat that ends in another section is left out'
            : 'a repeat without an end is left out';
        remarks.push({ place: bar.place, message });
        written = { ...written, opens: false };
      }
    } else if (bar.section !== null || (closed && bar.ending === null && !wasInEnding)) inRepeat = false;
    if (!inRepeat) written = { ...written, ending: null, endsEnding: false, closes: null };
    if (bar.closes !== null) closed = true;
    return written;
  });
}

/** For each bar whether a repeat closes in it or after it before another opens or a section begins. */
function closesAhead(bars: readonly SheetBar[]): readonly boolean[] {
  const ahead: boolean[] = [];
  for (let index = bars.length - 1; index >= 0; index -= 1) {
    const { opens, section, closes } = bars[index] as SheetBar;
    ahead[index] = !opens && section === null && (closes !== null || ahead[index + 1] === true);
  }
  return ahead;
}

/** What a chart has no sign for: repeats that are played more often, and endings for later times, than it can say. */
function withinLimits(bars: readonly SheetBar[], remarks: Remark[]): readonly SheetBar[] {
  return bars.map((bar) => {
    let { closes, ending } = bar;
    if (closes !== null && closes > mostTimes) {
      closes = mostTimes;
      remarks.push({
        place: bar.place,
        message: `a repeat that is played ${bar.closes} times is written with ${mostTimes}`,
      });
    }
    if (ending?.length === 0) ending = null;
    if (ending?.some((time) => time > lastEnding)) {
      const left = ending.filter((time) => time <= lastEnding);
      ending = left.length > 0 ? left : null;
      remarks.push({
        place: bar.place,
        message: `an ending with a number above ${lastEnding} ${ending ? 'is written without that number' : 'is written as plain bars'}`,
      });
    }
    return { ...bar, closes, ending };
  });
}

/** Every ending that begins ends, with the bar before the next one or the section's last; one that did not begin does not end. */
function closedEndings(bars: readonly SheetBar[]): readonly SheetBar[] {
  const all = [...bars];
  let open = false;
  const close = (index: number): void => {
    const bar = all[index];
    if (open && bar) all[index] = { ...bar, endsEnding: true };
    open = false;
  };
  bars.forEach((bar, index) => {
    if (bar.ending || bar.section !== null || bar.opens) close(index - 1);
    if (bar.ending) open = true;
    if (bar.endsEnding && !open) all[index] = { ...bar, endsEnding: false };
    if (bar.endsEnding) open = false;
  });
  close(all.length - 1);
  return all;
}

/** A cue may have no straight quotation mark in it, and no line's end. */
function cueText(text: string): string {
  return shortened(oneLine(text).replace(/"/g, '”'), 500);
}

/** Words of a phrase have all but a line's end; a chart's line of them is no longer than this. */
function wordsText(text: string): string {
  return shortened(oneLine(text), mostWords);
}

/** A text with an ellipsis for what it has beyond this many characters. */
function shortened(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most - 1).trimEnd()}…`;
}

/** Text on one line, without what controls a terminal. */
function oneLine(text: string): string {
  return text
    .replace(/\s+/g, ' ')
    .replace(/[\p{Cc}\p{Cf}\p{Co}\p{Cs}]/gu, '')
    .trim();
}

function clean(text: string): string {
  return oneLine(text).slice(0, 200);
}

/** A change of key in half steps, and by its name where the mode changes too or bars before it may be in another key next time. */
function keyChange(to: Key, from: Key, home: Key, named: boolean): Change {
  if (named || to.mode !== from.mode) return { kind: 'key-to', to: { key: to, home } };
  const up = (pitchClass(to.tonic) - pitchClass(from.tonic) + 12) % 12;
  return { kind: 'key', halfSteps: up > 6 ? up - 12 : up };
}

/** Whether the key changes within a repeat that opens at a bar, so that the bars before it are in another one next time. */
function changesWithin(bars: readonly SheetBar[], open: number): boolean {
  for (let at = open; at < bars.length; at += 1) {
    const bar = bars[at] as SheetBar;
    if (at > open && (bar.opens || bar.section !== null)) return false;
    if (at > open && bar.key !== null) return true;
    if (bar.closes !== null && !bars[at + 1]?.ending) return false;
  }
  return false;
}

/** The most beats that a bar of a chart can have. */
const mostBeats = 32;
/** The most bars that are made by cutting longer ones. */
const mostCut = 2000;

/** Bars that are longer than any of a chart can be, where a source has hardly a bar line, are cut into bars of their meter. */
function shortBars(sheet: LeadSheet, remarks: Remark[]): readonly SheetBar[] {
  let meter = sheet.meter;
  let cut = 0;
  return sheet.bars.flatMap((bar): readonly SheetBar[] => {
    meter = bar.meter ?? meter;
    const full = meterQuarters(meter);
    if (bar.length <= mostBeats * quartersPerBeat(meter)) return [bar];
    const wanted = Math.ceil(bar.length / full - near);
    const count = Math.min(wanted, mostCut - cut);
    cut += count;
    if (count < wanted)
      remarks.push({ place: bar.place, message: 'the rest of a very long bar is left out' });
    if (count > 0)
      remarks.push({ place: bar.place, message: `a bar as long as ${count} is written as ${count} bars` });
    const within = byPiece(bar.chords, full);
    return Array.from({ length: count }, (_, index): SheetBar => {
      const from = index * full;
      const last = index === count - 1;
      return {
        ...(index === 0 ? withoutWays(bar) : { ...plainBar, place: bar.place }),
        length: last ? Math.min(full, bar.length - from) : full,
        chords: (within.get(index) ?? []).map((chord) => ({ ...chord, at: Math.max(0, chord.at - from) })),
        closes: last ? bar.closes : null,
        endsEnding: last && bar.endsEnding,
        ...signsOfPiece(bar, index === 0, last),
        ...(bar.notes ? { notes: notesOfPiece(bar.notes, from, full) } : {}),
      };
    });
  });
}

/** The notes of a long bar that a piece of it has, quarters from the bar's start. */
function notesOfPiece(notes: readonly SheetNote[], from: number, length: number): readonly SheetNote[] {
  return notesBetween(
    notes,
    Math.round(from * partsPerQuarter),
    Math.round((from + length) * partsPerQuarter),
  );
}

/** The signs of a long bar that a piece of it has: those in front go to the first, the others to the last. */
function signsOfPiece(
  { marks = [], coda, back }: SheetBar,
  first: boolean,
  last: boolean,
): Partial<SheetBar> {
  const own = marks.filter((mark) => (mark === 'sign' ? first : last));
  return {
    ...(own.length > 0 ? { marks: own } : {}),
    ...(coda && first ? { coda } : {}),
    ...(back && last ? { back } : {}),
  };
}

/** The chords of a bar by the piece of such a length that they stand in. */
function byPiece(chords: readonly SheetChord[], length: number): ReadonlyMap<number, readonly SheetChord[]> {
  const pieces = new Map<number, SheetChord[]>();
  for (const chord of chords) {
    const piece = Math.floor((chord.at + near) / length);
    const found = pieces.get(piece);
    if (found) found.push(chord);
    else pieces.set(piece, [chord]);
  }
  return pieces;
}

/** The cells of a bar: chords by number, each for the beats until the next. */
function cellsOf(
  bar: SheetBar,
  { meter, crooked }: Pick<Chart, 'meter' | 'crooked'>,
  key: Key,
  sounding: WrittenCell['chord'],
  remarks: Remark[],
): { cells: readonly WrittenCell[]; cues: readonly string[] } {
  const cues = bar.chords.flatMap(({ text }) => text ?? []);
  const perBeat = quartersPerBeat(meter);
  const beats = bar.length / perBeat;
  const parts = crooked ? 1 : partsOfBeat(meter);
  const isFull = Math.abs(bar.length - meterQuarters(meter)) < near;
  const keepsEven = (count: number): boolean => count <= mostCells && (!isFull || sharesEvenly(count, meter));
  const placed = placedChords(bar, { beats, perBeat, parts, keepsEven }, remarks);
  const first: { at: number; chord: WrittenCell['chord'] } = { at: 0, chord: sounding };
  const all = [
    ...(placed[0]?.at === 0 ? [] : [first]),
    ...placed.map(({ at, chord }) => ({ at, chord: chord && toNumber(chord, key) })),
  ];
  const lengths = all.map(({ at }, index) => (all[index + 1]?.at ?? beats) - at);
  const isEven =
    isFull &&
    sharesEvenly(lengths.length, meter) &&
    lengths.every((length) => Math.abs(length - (lengths[0] ?? 0)) < 1e-4);
  const each = lengths.every((length) => Math.abs(length - Math.round(length)) < 1e-4) ? 1 : parts;
  const dots = lengths.map((length) => Math.max(1, Math.round(length * each)));
  const written = dots.reduce((sum, one) => sum + one, 0) / each;
  if (!isEven && Math.abs(written - beats) > 1e-4)
    remarks.push({
      place: bar.place,
      message: `a bar of ${Math.round(beats * 100) / 100} beats is written with ${written}`,
    });
  const held = all.map(({ at }, index) =>
    (bar.holds ?? []).some(
      (quarters) => quarters / perBeat > at - near && quarters / perBeat < at + (lengths[index] ?? 0) - near,
    ),
  );
  if (all.some(({ chord }, index) => held[index] && chord === null))
    remarks.push({ place: bar.place, message: 'a fermata without a chord is left out' });
  return {
    cues,
    cells: all.map(({ chord }, index) => ({
      chord,
      dots: isEven ? null : (dots[index] as number),
      early: false,
      ...(held[index] && chord ? { ending: 'ring', hold: { beats: null } } : { ending: 'plain' }),
    })),
  };
}

/** Where the chords of a bar can stand: its felt beats, the quarters of each, and in how many parts dots divide one. */
interface BarPlaces {
  readonly beats: number;
  readonly perBeat: number;
  readonly parts: 1 | 2 | 3;
  /** Whether this many chords that share the bar evenly can be left where they are. */
  readonly keepsEven: (count: number) => boolean;
}

/** Chords on beats or the parts of them that dots count (felt beats from the bar's start), or where an even share leaves them. */
function placedChords(
  bar: SheetBar,
  { beats, perBeat, parts, keepsEven }: BarPlaces,
  remarks: Remark[],
): readonly { at: number; chord: SheetChord['chord'] }[] {
  const all = bar.chords.map(({ at, chord, place }) => ({ at: at / perBeat, chord, place }));
  const written = all.filter(({ at }) => at < beats - 1e-4);
  for (const { place } of all.slice(written.length))
    remarks.push({ place, message: 'a chord after the last note of its bar is left out' });
  const count = written.length;
  const isEven = written.every(({ at }, index) => Math.abs(at - (index * beats) / count) < 1e-4);
  if (isEven && keepsEven(count))
    return written.map(({ chord }, index) => ({ at: (index * beats) / count, chord }));
  const found = new Map<number, { chord: SheetChord['chord']; moved: boolean }>();
  for (const { at, chord, place } of written) {
    const part = Math.floor(at * parts + near);
    const name = `${['beat', 'quarter', 'eighth'][parts - 1]} ${part + 1}`;
    const moved = Math.abs(at * parts - part) > 1e-4;
    const there = found.get(part / parts);
    if (there) {
      // One that stands there goes before one that would be moved there.
      const stays = moved && !there.moved;
      const [kept, left] = stays ? [there.chord, chord] : [chord, there.chord];
      remarks.push({
        place,
        message: `two chords on ${name}: ${called(kept)} is kept and ${called(left)} is left out`,
      });
      if (stays) continue;
    }
    if (moved)
      remarks.push({
        place,
        message: `a chord ${parts === 1 ? 'off the beat' : 'between the beats'} is moved to ${name} of its bar`,
      });
    found.set(part / parts, { chord, moved });
  }
  return [...found].map(([at, { chord }]) => ({ at, chord })).sort((one, other) => one.at - other.at);
}

function called(chord: SheetChord['chord']): string {
  return chord ? chordName(chord) : 'N.C.';
}
