import { quoted } from '../base/safe-text.js';
import type { Key } from '../theory/key.js';
import { readsAsBars } from './bars-as-words.js';
import { looksLikeLetters, looksLikeNumber, type Notation, readCell } from './cell.js';
import { parseChange } from './change.js';
import type { EndingTimes, Item, Meter, Place, SectionLine, WayMark, WrittenCell } from './chart.js';
import { type Faults, mostTold } from './fault.js';
import { gluedBars } from './glued-bars.js';
import { mostWords } from './limits.js';
import { otherChange } from './other-changes.js';
import { otherCount } from './other-counts.js';
import { otherDots } from './other-dots.js';
import { otherWayAt } from './other-ways.js';
import { otherEnding, otherWriting } from './other-writings.js';
import { otherVerse, wordsOf } from './phrase-words.js';
import { beatsOf, playedCells } from './played-cells.js';
import { shareFault } from './share-fault.js';
import { addsUp, mostInBar } from './shares.js';
import { type Token, tokenize } from './tokens.js';
import { meantMark, wayMark } from './way-words.js';

/** One line of a section's text and where it starts in the file. */
export interface SourceLine extends Place {
  readonly text: string;
}

/** What a section's reader must know from the chart's head. */
export interface SectionContext {
  readonly key: Key;
  readonly meter: Meter;
  readonly crooked: boolean;
  /** Whether any section changes the meter, so that another than the head's can hold where this one begins. */
  readonly meterChanges?: boolean;
}

/** Reads the text of one section. Faults go to `faults`; what can be read is read all the same. */
export function readSection(
  source: readonly SourceLine[],
  context: SectionContext,
  faults: Faults,
): { lines: SectionLine[]; letters: boolean } {
  const lines = source.map((line) => {
    const words = wordsOf(line.text);
    return { line, words, tokens: words === null ? tokenize(line.text, line.line, line.column) : [] };
  });
  const letters = writtenInLetters(lines.map(({ tokens }) => tokens));
  const reader = new SectionReader(
    letters ? { kind: 'letters', key: context.key } : { kind: 'numbers' },
    context,
    faults,
  );
  const read = lines.map(({ line, words, tokens }) =>
    words === null ? reader.line(tokens) : reader.words(words, line),
  );
  reader.finish();
  return { lines: read, letters };
}

/** Reads bars that stand between pieces of other sections: tokens by line, the notation being known. */
export function readOwnBars(
  lines: readonly Token[][],
  letters: boolean,
  context: SectionContext,
  faults: Faults,
): Item[] {
  const notation: Notation = letters ? { kind: 'letters', key: context.key } : { kind: 'numbers' };
  const reader = new SectionReader(notation, context, faults);
  const items = lines.flatMap((tokens) => reader.line(tokens).items);
  reader.finish();
  return items;
}

/** Whether the first chord is a letter. */
export function writtenInLetters(lines: readonly Token[][]): boolean {
  for (const token of lines.flat()) {
    if (token.kind !== 'word') continue;
    if (looksLikeLetters(token.text)) return true;
    if (looksLikeNumber(token.text)) return false;
  }
  return false;
}

/** Reads line after line, remembering what a later line depends on: the bar before and the meter. */
class SectionReader {
  private previous: Extract<Item, { kind: 'bar' }> | null = null;
  private meter: Meter;
  /** Whether the meter was changed in this section. */
  private changesMeter = false;
  private repeat: Place | null = null;
  private inSlashes = false;
  /** Whether the tempo falls here, and a @rit that still waits for its bar. */
  private slows = false;
  private lastSlow: Place | null = null;
  /** A cue whose bar has not come yet. */
  private lastCue: { readonly text: string; readonly place: Place } | null = null;
  /** Words whose line of bars has not come yet. */
  private lastWords: { readonly text: string; readonly place: Place } | null = null;
  private ending: (Place & { readonly numbered: boolean }) | null = null;
  /** True after a :| and the endings that follow it, where one more ending may stand. */
  private afterRepeat = false;
  /** How many repeats were opened within another, which is reported once. */
  private nested = 0;
  /** A sign whose bar has not come yet. */
  private sign: Place | null = null;

  constructor(
    private notation: Notation,
    private readonly context: SectionContext,
    private readonly faults: Faults,
  ) {
    this.meter = context.meter;
  }

  line(tokens: readonly Token[]): SectionLine {
    const items: Item[] = [];
    let comment: string | null = null;
    for (let index = 0; index < tokens.length; index += 1) {
      const token = tokens[index] as Token;
      const count = items.at(-1)?.kind === 'repeat-close' ? otherCount(tokens, index) : null;
      if (count) {
        const place = { line: token.line, column: token.column };
        if (count.isBar) this.faults.warning(place, count.says);
        else {
          this.faults.error(place, count.says);
          index += count.tokens - 1;
          continue;
        }
      }
      if (token.kind === 'word' && /^#(?![1-7])/.test(token.text)) {
        this.faults.error(token, 'a comment among bars begins with “;”, not with “#”');
        break;
      }
      const way = otherWayAt(tokens, index);
      if (way) {
        this.faults.error(token, way.says);
        index += way.tokens - 1;
        continue;
      }
      if (token.kind === 'comment') comment = token.text;
      else if (token.kind === 'open') {
        const place = { line: token.line, column: token.column };
        const glued = gluedBars(tokens, index, this.notation);
        if (glued !== null) this.faults.error(place, glued);
        index = this.group(tokens, index, items);
      } else this.single(token, items);
    }
    return { items, comment };
  }

  /** A line of words, whose place is that of the line's first character. */
  words(text: string, line: SourceLine): SectionLine {
    const place = { line: line.line, column: line.column + line.text.indexOf('>') };
    if (text === '')
      this.faults.error(
        place,
        'there are no words after “>”; write the words of the next line of bars there, as in > the river ran high',
      );
    else if (text.length > mostWords)
      this.faults.error(
        place,
        `this line of words has ${text.length} characters, and at most ${mostWords} fit; continue on another line with >`,
      );
    else if (readsAsBars(text, this.context.key)) this.barsAsWords(text, line, place);
    else {
      const verse = otherVerse(text);
      if (verse !== null)
        this.faults.warning(place, `verses are numbered with a full stop and a space: ${quoted(verse)}`);
      this.lastWords = { text, place };
    }
    return { items: [], comment: null, words: text };
  }

  /** Words that read as bars: the `>` may have been meant for an early chord. */
  private barsAsWords(text: string, line: SourceLine, place: Place): void {
    const says =
      "these words look like bars; write an early chord with a tick, as in '4, and words after “>” and a space";
    if (/>\s/.test(line.text.slice(line.text.indexOf('>'), line.text.indexOf('>') + 2))) {
      this.faults.warning(place, says);
      this.lastWords = { text, place };
    } else this.faults.error(place, says);
  }

  private single(token: Token, items: Item[]): void {
    const place = { line: token.line, column: token.column };
    switch (token.kind) {
      case 'cue':
        this.lastCue = { text: token.text, place };
        items.push({ kind: 'cue', text: token.text, place });
        break;
      case 'unended-cue':
        this.faults.error(place, `the cue ${quoted(token.text)} is not closed; close it with a second "`);
        break;
      case 'close':
        this.faults.error(place, 'this “)” has no “(” before it; a shared bar is written (1 4)');
        break;
      case 'repeat-open':
        if (this.repeat) {
          this.nested += 1;
          this.faults.error(
            place,
            'this is a repeat inside a repeat; close the first with :| before it, or make the inner part a section and repeat it in the form (inner x2), or mark a bar with @sign and write “from sign” in the form',
          );
        }
        this.repeat = place;
        this.afterRepeat = false;
        items.push({ kind: 'repeat-open', place });
        break;
      case 'repeat-close':
        this.closeRepeat(place, items);
        break;
      case 'ending-open':
        this.openEnding(token.text, place, items);
        break;
      case 'ending-close':
        if (!this.ending)
          this.faults.error(place, 'this “]” has no “[” before it; an ending is written [1st … ]');
        this.ending = null;
        items.push({ kind: 'ending-close', place });
        break;
      default:
        this.word(token, place, items);
    }
  }

  private closeRepeat(place: Place, items: Item[]): void {
    if (!this.repeat && this.nested > 0) {
      this.nested -= 1;
      return;
    }
    if (!this.repeat) {
      this.faults.error(place, 'this :| has no |: before it; write |: where the repeat begins');
      return;
    }
    // A repeat sign within a numbered ending ends both; a final-pass passage goes on around its repeats.
    if (this.ending?.numbered) {
      items.push({ kind: 'ending-close', place });
      this.ending = null;
    }
    this.repeat = null;
    this.afterRepeat = true;
    items.push({ kind: 'repeat-close', times: null, place });
  }

  private openEnding(text: string, place: Place, items: Item[]): void {
    if (this.ending) this.faults.error(place, 'this is an ending inside an ending; close the first with ]');
    // A ritardando in one ending does not go on in another.
    this.slows = false;
    const times = endingTimes(text);
    this.ending = { ...place, numbered: times !== 'last' };
    if (times === null) {
      const meant = otherEnding(text);
      this.faults.error(
        place,
        `${quoted(`[${text}`)} is not an ending; write ${meant === null ? '[1st … ], [2nd … ] or [last … ]' : `“[${meant} … ]”`}`,
      );
    } else if (times !== 'last' && !this.repeat && !this.afterRepeat) {
      this.faults.error(place, 'an ending belongs in a repeat: |: … [1st … ] [2nd … ] :|');
    }
    items.push({ kind: 'ending-open', times: times ?? [1], place });
  }

  private word(token: Token, place: Place, items: Item[]): void {
    const { text } = token;
    const tellsSlash = this.inSlashes;
    this.inSlashes = /^\/+$/.test(text);
    // Of slashes in a row, each for a beat, the first is reported.
    if (this.inSlashes && tellsSlash) return;
    if (text === '=') this.same(place, items);
    else if (text.startsWith('@')) this.change(text.slice(1), place, items);
    else if (/^x\d+$/.test(text)) this.times(Number(text.slice(1)), place, items);
    else if (/^(?:\d+[x×]|[X×]\d+)$/.test(text))
      this.faults.error(
        place,
        `${quoted(text)} says how often to repeat; write it directly after :|, as in |: 1 4 5 1 :| x${Number(/\d+/.exec(text)?.[0])}`,
      );
    else if (/^\|+$/.test(text))
      this.faults.error(
        place,
        'no line is needed between bars; a space is enough, and a repeat is written |: 1 4 :|',
      );
    else {
      const cell = this.cell(token);
      if (!cell) return;
      if (cell.dots !== null) {
        this.faults.error(
          place,
          `${quoted(text)}: dots divide a bar among its chords; put the chords in brackets, as in (1... 5.)${/^[1-9]\.$/.test(text) ? `; an ending is written “[${otherEnding(text)} … ]”` : ''}`,
        );
        return;
      }
      this.bar({ kind: 'bar', cells: [cell], grouped: false, same: false, place }, items);
    }
  }

  private same(place: Place, items: Item[]): void {
    if (!this.previous) {
      this.faults.error(place, '“=” repeats the bar before it, but there is none');
      return;
    }
    this.bar({ ...this.previous, same: true, place }, items);
  }

  private mark(mark: WayMark, place: Place, items: Item[]): void {
    if (mark === 'sign') this.sign = place;
    else if (!this.previous)
      this.faults.error(place, `@${mark} goes after a bar, but there is no bar before it in its section`);
    items.push({ kind: 'way-mark', mark, place });
  }

  private change(text: string, place: Place, items: Item[]): void {
    const mark = wayMark(text);
    if (mark) {
      this.mark(mark, place, items);
      return;
    }
    const change = parseChange(text, this.context.key);
    if (!change.ok) {
      const meant = otherChange(text) ?? meantMark(text);
      this.faults.error(
        { ...place, column: place.column + characters(text, change.fault.at) },
        meant ?? change.fault.message,
      );
      return;
    }
    if (change.value.kind === 'meter') {
      this.meter = change.value.meter;
      this.changesMeter = true;
    }
    // Letters say what sounds: after a key that is named they are read against it.
    if (change.value.kind === 'key-to' && this.notation.kind === 'letters')
      this.notation = { kind: 'letters', key: change.value.to.key };
    if (change.value.kind === 'slow') {
      if (this.slows)
        this.faults.warning(
          place,
          'this is a second @rit in this section: it starts from the tempo that the first one reached; a single one slows steadily over all of its bars',
        );
      this.slows = true;
      this.lastSlow = place;
    }
    items.push({ kind: 'change', change: change.value, place });
  }

  private times(times: number, place: Place, items: Item[]): void {
    const last = items.at(-1);
    if (last?.kind !== 'repeat-close') {
      this.faults.error(
        place,
        `“x${times}” says how often to repeat; write it directly after :|, as in |: 1 4 5 1 :| x${Math.max(2, Math.min(100, times))}`,
      );
    } else if (times < 2 || times > 100) {
      this.faults.error(place, `“x${times}”: a repeat is played 2 to 100 times`);
    } else {
      items[items.length - 1] = { ...last, times };
    }
  }

  /** Reads `( … )`; answers the index of its last token. */
  private group(tokens: readonly Token[], open: number, items: Item[]): number {
    const first = tokens[open] as Token;
    const place = { line: first.line, column: first.column };
    const cells: WrittenCell[] = [];
    let clean = true;
    let index = open + 1;
    for (; index < tokens.length; index += 1) {
      const token = tokens[index] as Token;
      if (token.kind === 'close' || token.kind === 'comment') break;
      if (token.kind !== 'word' || token.text === '=' || token.text.startsWith('@')) {
        this.faults.error(token, `${quoted(token.text)} cannot be inside a bar; only chords can`);
        clean = false;
        continue;
      }
      const cell = this.cell(token);
      if (cell) cells.push(cell);
      else clean = false;
    }
    if (tokens[index]?.kind !== 'close') {
      this.faults.error(place, 'this “(” is not closed; write a shared bar on one line, (1 4)');
      return index - 1;
    }
    if (cells.length === 0 && clean)
      this.faults.error(place, 'an empty bar; a bar without a chord is written nc');
    else if (clean && this.wellShared(cells, place)) {
      this.bar({ kind: 'bar', cells, grouped: true, same: false, place }, items);
    }
    return index;
  }

  private wellShared(cells: readonly WrittenCell[], place: Place): boolean {
    const dotted = cells.filter((cell) => cell.dots !== null).length;
    if (dotted > 0 && dotted < cells.length) {
      this.faults.error(
        place,
        'some chords of this bar have dots and some do not; give dots to all of them or to none',
      );
      return false;
    }
    const { crooked, meterChanges = false } = this.context;
    // In which meter a bar is played is known where none changes, and after a change; elsewhere the form decides it.
    const known = !meterChanges || this.changesMeter || dotted > 0;
    const few = dotted > 0 || cells.length <= mostInBar;
    if (few && (!known || addsUp(cells, this.meter, crooked))) return true;
    const letters = this.notation.kind === 'letters' ? this.notation.key : null;
    this.faults.error(place, shareFault(cells, this.meter, crooked, letters));
    return false;
  }

  private cell(token: Token): WrittenCell | null {
    // A bar that cannot be read is reported by itself; its cue is not at fault.
    this.lastCue = null;
    this.lastWords = null;
    const cell = readCell(token.text, this.notation);
    if (cell.ok) return cell.value;
    // Only the first faults of a file are reported, so what is meant by the others need not be worked out.
    const other =
      this.faults.count < 10 * mostTold
        ? (otherDots(token.text, this.notation) ?? otherWriting(token.text, this.notation))
        : null;
    this.faults.error(
      { line: token.line, column: token.column + (other ? 0 : characters(token.text, cell.fault.at)) },
      other?.says ?? cell.fault.message,
    );
    return null;
  }

  private bar(bar: Extract<Item, { kind: 'bar' }>, items: Item[]): void {
    this.previous = bar;
    this.lastCue = null;
    this.lastWords = null;
    this.sign = null;
    this.lastSlow = null;
    if (bar.cells.some(({ hold }) => hold)) this.heldLongEnough(bar);
    if (!this.ending) this.afterRepeat = false;
    items.push(bar);
  }

  private heldLongEnough({ cells, place }: Extract<Item, { kind: 'bar' }>): void {
    const { meter } = this;
    const played = playedCells({ cells }, beatsOf({ cells }, meter, this.context.crooked), this.context.key);
    for (const [index, { hold }] of cells.entries()) {
      const written = played[index]?.beats ?? 0;
      if (hold && hold.beats !== null && hold.beats < written)
        this.faults.warning(
          place,
          `a chord of ${Number(written.toFixed(2))} beats is held for only ${hold.beats}; its written length is played: “_” counts all of its beats`,
        );
    }
  }

  /** At the section's end, reports what was opened and never closed. */
  finish(): void {
    if (this.lastCue)
      this.faults.warning(
        this.lastCue.place,
        `no bar follows the cue ${quoted(this.lastCue.text)} in its section, so the cue is not shown`,
      );
    if (this.lastWords) {
      const { place, text } = this.lastWords;
      const none = `no line of bars follows the words ${quoted(text)} in their section`;
      if (this.previous) this.faults.warning(place, `${none}, so they are not shown`);
      else this.faults.error(place, `${none}; write the bars below the words`);
    }
    if (this.sign)
      this.faults.error(this.sign, '@sign goes before a bar, but no bar follows it in its section');
    if (this.lastSlow)
      this.faults.warning(
        this.lastSlow,
        'no bar follows this @rit in its section, so nothing slows down; write it before the bars that slow down',
      );
    if (this.repeat) this.faults.error(this.repeat, 'this |: is never closed; write :| at its end');
    if (this.ending) this.faults.error(this.ending, 'this ending is never closed; write ] at its end');
  }
}

/** How many characters the first `length` of a text's UTF-16 units are: columns count characters. */
function characters(text: string, length: number): number {
  return [...text.slice(0, length)].length;
}

function endingTimes(text: string): EndingTimes | null {
  if (text === 'last') return 'last';
  const times = text.split(',').map((one) => /^([1-9])(?:st|nd|rd|th)$/.exec(one)?.[1]);
  return times.every((time) => time !== undefined) ? times.map(Number) : null;
}
