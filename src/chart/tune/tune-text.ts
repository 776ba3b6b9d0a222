import { quoted } from '../../base/safe-text.js';
import type { Meter, Place } from '../chart.js';
import type { Faults } from '../fault.js';
import type { SourceLine } from '../read-section.js';
import { isCompound, unitParts, usualTime } from './note-lengths.js';
import { otherThanNotes } from './other-than-notes.js';
import { partsPerQuarter, type TuneRemark } from './tune.js';

/** A note as it is written: its place on the staff, the accidental that stands with it; `step` is `null` for a rest. */
export interface RawNote {
  /** Accidental, letter and octave marks. */
  readonly text: string;
  readonly step: number | null;
  readonly alter: number | null;
  readonly parts: number;
  readonly tie: boolean;
  readonly place: Place;
}

/** A bar of a tune as it is written, with what stands at its lines. `whole`: a rest as long as the bar. */
export interface RawBar {
  readonly place: Place;
  readonly notes: readonly RawNote[];
  readonly whole: boolean;
  /** `|:` and `[1` before it, `:|` after it, each where it stands. */
  readonly opens: Place | null;
  readonly ending: { readonly place: Place; readonly times: readonly number[]; readonly text: string } | null;
  readonly closes: Place | null;
}

/** A pattern that is looked for at one place of a line. */
const sticky = (pattern: string): RegExp => new RegExp(pattern, 'uy');
const patterns = {
  space: sticky('[\\s`]+'),
  remark: sticky('%(.*)'),
  ending: sticky('\\[\\s*([1-9][0-9,-]{0,20})'),
  line: sticky('(:*)(?:\\[\\||\\|+\\]?)(:*)(?:([1-9])(?:[,-][0-9]+){0,9})?|(::+)'),
  tuplet: sticky('\\(([2-9])(?::([0-9]{0,2}))?(?::([0-9]{0,2}))?'),
  note: sticky("(\\^{1,2}|_{1,2}|=)?([A-Ga-g])([,']*)"),
  rest: sticky('[zx]'),
  bars: sticky('[ZX]([0-9]{0,4})'),
  length: sticky('([0-9]*)(\\/*)([0-9]*)'),
  behind: sticky('(-?)[ \\t`]*(<{1,3}|>{1,3})?'),
} as const;

/** The most octaves that marks move a note: beyond, nothing is heard. */
const mostMarks = 4;
const alters: Readonly<Record<string, number>> = { '^': 1, '^^': 2, _: -1, __: -2, '=': 0 };
/** The most rests as long as a bar that one sign stands for. */
const mostRests = 2000;

/** Reads the lines of a tune into bars (ABC 2.1, section 4). Faults go to `faults`; what can be read is read all the same. */
export function rawBars(
  lines: readonly SourceLine[],
  meter: Meter,
  faults: Faults,
): { readonly bars: readonly RawBar[]; readonly remarks: readonly TuneRemark[] } {
  const reader = new TuneReader(meter, faults);
  for (const line of lines) reader.line(line);
  return { bars: reader.finish(), remarks: reader.remarks };
}

class TuneReader {
  private readonly bars: RawBar[] = [];
  readonly remarks: TuneRemark[] = [];
  private notes: RawNote[] = [];
  private opens: Place | null = null;
  private ending: RawBar['ending'] = null;
  private tuplet: { readonly p: number; readonly q: number; left: number; readonly place: Place } | null =
    null;
  /** What broken rhythm makes of the next note: a share, and where its sign stands. */
  private broken: { readonly upper: number; readonly lower: number; readonly place: Place } | null = null;
  private readonly unit: number;
  private text = '';
  private at = 0;
  private column = 1;
  private counted = 0;
  private source: SourceLine = { text: '', line: 1, column: 1 };

  constructor(
    private readonly meter: Meter,
    private readonly faults: Faults,
  ) {
    this.unit = unitParts(meter);
  }

  line(source: SourceLine): void {
    this.source = source;
    this.text = source.text;
    this.at = 0;
    this.counted = 0;
    this.column = source.column;
    while (this.at < this.text.length) {
      if (this.take('space')) continue;
      const remark = this.take('remark');
      if (!remark) this.token(this.place());
      // After notes it belongs to their bar, though that goes on in the next line.
      else
        this.remarks.push({
          bar: this.bars.length - (this.notes.length > 0 ? 0 : 1),
          text: (remark[1] ?? '').trim(),
        });
    }
  }

  finish(): readonly RawBar[] {
    this.endBar(null);
    if (this.opens) this.faults.error(this.opens, 'no bar follows this |: in the tune');
    if (this.ending) this.faults.error(this.ending.place, 'no bar follows this ending in the tune');
    return this.bars;
  }

  private token(place: Place): void {
    const ending = this.take('ending');
    if (ending) {
      this.opensEnding(ending[1] ?? '', ending[0], place);
      return;
    }
    const line = this.take('line');
    if (line) {
      const [all, before = '', after = '', first, only] = line;
      this.endBar(before !== '' || only !== undefined ? place : null);
      if (after !== '' || only !== undefined) this.opens = place;
      if (first !== undefined) this.opensEnding(all.slice(all.indexOf(first)), all, place);
      return;
    }
    const tuplet = this.take('tuplet');
    if (tuplet) this.opensTuplet(tuplet, place);
    else {
      const note = this.take('note');
      const bars = note ? null : this.take('bars');
      if (note) this.note(note, place);
      else if (bars) this.rests(Number(bars[1] || 1), place);
      else if (this.take('rest')) this.timed(null, null, 'z', place);
      else {
        const other = otherThanNotes(this.text.slice(this.at, this.at + 600), this.meter);
        this.at += other.length;
        this.faults.error(place, other.says);
        // A length, a tie or a dot after it belongs to what was meant as a note, and is no fault of its own.
        this.take('length');
        this.take('behind');
      }
    }
  }

  private note([all, sign, letter = 'C', marks = '']: RegExpExecArray, place: Place): void {
    const moved = [...marks].reduce((sum, mark) => sum + (mark === "'" ? 1 : -1), 0);
    if (Math.abs(moved) > mostMarks) {
      this.faults.error(place, `${quoted(all)} is outside the range of MIDI notes; remove octave marks`);
    }
    const octave = (letter === letter.toUpperCase() ? 4 : 5) + moved;
    const step = 7 * octave + 'CDEFGAB'.indexOf(letter.toUpperCase());
    this.timed(Math.max(0, Math.min(69, step)), sign === undefined ? null : (alters[sign] ?? 0), all, place);
  }

  /** A note or rest with its length, and the tuplet and broken rhythm it stands in. */
  private timed(step: number | null, alter: number | null, text: string, place: Place): void {
    const length = this.length(place);
    let upper = this.unit * length.upper * (this.broken?.upper ?? 1);
    let lower = length.lower * (this.broken?.lower ?? 1);
    this.broken = null;
    if (this.tuplet) {
      upper *= this.tuplet.q;
      lower *= this.tuplet.p;
      this.tuplet.left -= 1;
      if (this.tuplet.left === 0) this.tuplet = null;
    }
    const [, tie = '', signs] = this.take('behind') ?? [];
    if (signs) {
      const short = 2 ** signs.length;
      const long = { upper: 2 * short - 1, lower: short };
      const [own, next] =
        signs[0] === '>' ? [long, { upper: 1, lower: short }] : [{ upper: 1, lower: short }, long];
      upper *= own.upper;
      lower *= own.lower;
      this.broken = { ...next, place };
    }
    const parts = upper / lower;
    if (!Number.isInteger(parts))
      this.faults.error(
        place,
        'this note’s length cannot be counted exactly; lengths are halves, thirds, fifths, sevenths or ninths of longer ones',
      );
    if (tie !== '' && step === null) this.faults.error(place, 'a rest cannot be tied; leave out the -');
    this.notes.push({
      text,
      step,
      alter,
      parts: Math.max(1, Math.round(parts)),
      tie: tie !== '' && step !== null,
      place,
    });
  }

  private length(place: Place): { upper: number; lower: number } {
    const [, upper = '', slashes = '', lower = ''] = this.take('length') ?? [];
    const over = upper === '' ? 1 : Number(upper);
    const under = slashes === '' ? 1 : lower === '' ? 2 ** slashes.length : Number(lower);
    const isOne = lower === '' || slashes.length === 1;
    if (isOne && over > 0 && under > 0 && under <= partsPerQuarter && over / under <= 999)
      return { upper: over, lower: under };
    this.faults.error(
      place,
      `${quoted(`${upper}${slashes}${lower}`.slice(0, 20))} is not a length; write 2, 3/2, / or /4 after the note, up to 999 times the unit`,
    );
    return { upper: 1, lower: 1 };
  }

  private opensTuplet([all, count, time, notes]: RegExpExecArray, place: Place): void {
    if (this.tuplet) this.faults.error(place, 'this is a tuplet inside a tuplet; finish the first one');
    const p = Number(count);
    const q = time ? Number(time) : usualTime(p, isCompound(this.meter));
    const left = notes ? Number(notes) : p;
    if (q >= 1 && left >= 1) this.tuplet = { p, q, left, place };
    else
      this.faults.error(
        place,
        `${quoted(all)} is not a tuplet; write (3 for three in the time of two, or (p:q:r`,
      );
  }

  private opensEnding(numbers: string, text: string, place: Place): void {
    if (this.notes.length > 0) this.endBar(null);
    const times = numbers.split(',').flatMap((part) => {
      const [from = 0, to = from] = part.split('-').map(Number);
      return Array.from({ length: Math.max(0, Math.min(9, to - from + 1)) }, (_, index) => from + index);
    });
    this.ending = { place, times, text };
  }

  private rests(count: number, place: Place): void {
    if (this.notes.length > 0) {
      this.faults.error(
        place,
        'Z is a rest for a whole bar, but this bar has other notes; write z for a shorter rest',
      );
      return;
    }
    if (count < 1 || count > mostRests)
      this.faults.error(place, `this is a rest of ${count} bars; Z can stand for 1 to ${mostRests}`);
    for (let bar = 0; bar < Math.min(Math.max(1, count), mostRests); bar += 1) {
      if (bar > 0) this.endBar(null);
      this.push(place, true, null);
    }
    this.rested = true;
  }

  /** Whether the bar that is open is a rest that is already among the bars. */
  private rested = false;

  private endBar(closes: Place | null): void {
    if (this.tuplet)
      this.faults.error(
        this.tuplet.place,
        `this tuplet needs ${this.tuplet.left} more ${this.tuplet.left === 1 ? 'note' : 'notes'} before its bar ends`,
      );
    this.tuplet = null;
    if (this.broken) this.faults.error(this.broken.place, 'no note follows this broken rhythm in its bar');
    this.broken = null;
    const [first] = this.notes;
    if (first) {
      if (this.rested) this.faults.error(first.place, 'a bar line is missing between Z and this note');
      this.push(first.place, false, closes);
    } else if (closes) {
      const last = this.bars.at(-1);
      if (last) this.bars[this.bars.length - 1] = { ...last, closes };
      else this.faults.error(closes, 'no bar comes before this :| in the tune');
    }
    this.rested = false;
  }

  private push(place: Place, whole: boolean, closes: Place | null): void {
    const { notes, opens, ending } = this;
    this.bars.push({ place, notes, whole, opens, ending, closes });
    this.notes = [];
    this.opens = null;
    this.ending = null;
  }

  private take(name: keyof typeof patterns): RegExpExecArray | null {
    const pattern = patterns[name];
    pattern.lastIndex = this.at;
    const match = pattern.exec(this.text);
    if (!match || match[0] === '') return null;
    this.at += match[0].length;
    return match;
  }

  /** Columns count characters; only what is new since the last token is looked at. */
  private place(): Place {
    for (; this.counted < this.at; this.counted += 1) {
      const code = this.text.charCodeAt(this.counted);
      if (code < 0xdc00 || code > 0xdfff) this.column += 1;
    }
    return { line: this.source.line, column: this.column };
  }
}
