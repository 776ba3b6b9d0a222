import {
  type Change,
  type Chart,
  type FormWay,
  type Item,
  type PlayedBar,
  quartersPerBeat,
  type Section,
  sameMeter,
  type WrittenCell,
} from '../chart/chart.js';
import { slowingMarks } from '../chart/label.js';
import { samePart } from '../chart/part.js';
import { phraseWords, versesAt } from '../chart/phrase-words.js';
import { beatsOf, playedCells } from '../chart/played-cells.js';
import { playedTune } from '../chart/tune/play-tune.js';
import { writtenCues } from '../chart/tune/tune-cues.js';
import { chartInKey } from '../chart/tune/tune-in-key.js';
import { unroll } from '../chart/unroll.js';
import { wayText } from '../chart/write.js';
import { writtenItems } from '../chart/written-lines.js';
import { type Key, keyName } from '../theory/key.js';
import { type LeadSheet, plainBar, type SheetBar, type SheetChord, slowingWords } from './lead-sheet.js';
import {
  melodyBySection,
  playedMelody,
  type SectionMelody,
  withPickupBar,
  withSectionMelody,
} from './tune-to-melody.js';
import { marksOf } from './way-signs.js';

/** A chart as a lead sheet in a key, and what a lead sheet cannot say about it. */
export interface ToSheet {
  readonly sheet: LeadSheet;
  readonly lost: readonly string[];
}

/**
 * A chart as it is written: each section once, with its repeats and endings, and the form by name. Where changes of key, meter
 * or tempo make it depend on the form what a section is, or the last pass has bars of its own, it is written out as it is played.
 */
export function sheetFromChart(chart: Chart, key: Key): ToSheet {
  const lost = lostIn(chart);
  const head = { title: chart.title, by: chart.by, key, meter: chart.meter, tempo: chart.tempo };
  const melody = chart.tune ? melodyBySection(chartInKey(chart, key)) : new Map<string, SectionMelody>();
  const writtenOut = (): ToSheet => {
    const { bars } = unroll(chart, { key, final: true });
    const played = withPlayedMelody(
      bars.map((_, index) => playedBar(bars, index, head)),
      chart,
      bars,
      key,
    );
    return {
      sheet: { ...head, bars: played, form: null },
      lost: [...lost, 'the form: the song is written out as it is played'],
    };
  };
  if (needsWritingOut(chart) || !isFollowed(chart) || !melody) return writtenOut();
  const word = chart.form.findIndex(({ way }) => way);
  const way = chart.form[word]?.way;
  const names = [...new Set(chart.form.flatMap((entry) => (entry.way ? [] : entry.section)))];
  const bars: SheetBar[] = [];
  for (const name of names) {
    const written = sectionBars(chart, name, key).map((bar) => usedMarks(bar, way));
    const [first] = written;
    if (way?.to === 'coda' && first && name === chart.form[word + 1]?.section)
      written[0] = { ...first, coda: true };
    const last = written.at(-1);
    if (way && last && name === chart.form[word - 1]?.section)
      written[written.length - 1] = { ...last, back: way };
    const own = melody.get(name);
    const isDerived = chart.sections.some((section) => section.name === name && section.derived);
    const sung = own && !isDerived ? withSectionMelody(written, own) : written;
    if (!sung) return writtenOut();
    bars.push(...sung);
  }
  const form = chart.form.flatMap((entry) =>
    Array.from({ length: entry.times }, () => (entry.way ? wayText(entry.way) : entry.section)),
  );
  return { sheet: { ...head, bars, form }, lost };
}

/** Bars of a pass with the tune as it is played. */
function withPlayedMelody(
  written: readonly SheetBar[],
  chart: Chart,
  bars: readonly PlayedBar[],
  key: Key,
): readonly SheetBar[] {
  if (!chart.tune) return written;
  const melody = playedMelody(playedTune(chartInKey(chart, key), bars, { home: key }), bars, key);
  const sung = written.map((bar, index): SheetBar => ({ ...bar, notes: melody.bars[index] ?? [] }));
  return withPickupBar(sung, melody.pickup, false);
}

/**
 * Whether a reader of the sheet finds the way of the form by its signs: one form word at most, and what comes after it
 * was not played before it, so that it has a place of its own.
 */
function isFollowed({ form }: Chart): boolean {
  const word = form.findIndex(({ way }) => way);
  if (word < 0) return true;
  const before = new Set(form.slice(0, word).map(({ section }) => section));
  return form.slice(word + 1).every(({ way, section }) => !way && !before.has(section));
}

/** A bar with the marks that the form's word goes by. */
function usedMarks(bar: SheetBar, way: FormWay | undefined): SheetBar {
  if (!bar.marks) return bar;
  const { marks, ...rest } = bar;
  const used = way ? marks.filter((mark) => marksOf(way).includes(mark)) : [];
  return used.length > 0 ? { ...rest, marks: used } : rest;
}

/** Whether what a section is depends on where it stands, so that the pass is written out. */
export function needsWritingOut(chart: Chart): boolean {
  if (chart.form.some(({ key }) => key !== undefined)) return true;
  return chart.sections.some(
    (section) =>
      (!section.derived && piecesOf(section) === null) ||
      beginsWithWait(section) ||
      writtenItems(section).some(
        (item) =>
          (item.kind === 'change' && dependsOnForm(item.change)) ||
          (item.kind === 'ending-open' && item.times === 'last'),
      ),
  );
}

/** Whether a change goes on after its section. The feel is not written, and what is about a section's own time ends with it. */
function dependsOnForm({ kind }: Change): boolean {
  return kind === 'key' || kind === 'key-to' || kind === 'meter' || kind === 'tempo';
}

/** Whether the band stops before a section: the stop then belongs to the last bar of another section. */
function beginsWithWait({ lines }: Section): boolean {
  const items = lines.flatMap((line) => line.items);
  const first = items.findIndex(({ kind }) => kind === 'bar');
  return items
    .slice(0, Math.max(0, first))
    .some((item) => item.kind === 'change' && item.change.kind === 'wait');
}

function lostIn(chart: Chart): string[] {
  const cells = chart.sections.flatMap((section) =>
    writtenItems(section).flatMap((item) => (item.kind === 'bar' ? item.cells : [])),
  );
  const losses: readonly (readonly [boolean, string])[] = [
    [cells.some(({ early }) => early), 'chords that come early: they are written on their beat'],
    [cells.some(({ ending, hold }) => ending !== 'plain' && !hold), 'chords that ring, and stops'],
    [
      cells.some(({ hold }) => hold && hold.beats !== null),
      'how long a chord is held if nobody releases it: its fermata is kept',
    ],
    [chart.feel.swing !== 50, 'the feel'],
    [chart.form.some(({ who }) => who !== null), 'who leads'],
    [chart.form.some(({ level }) => level !== undefined), 'how loud a part is'],
    [chart.bass === 'walk' || chart.form.some(({ bass }) => bass === 'walk'), 'runs of the bass'],
    [chart.pickup > 0 && !chart.tune, 'the pick-up: it is played during the count-in'],
  ];
  return losses.flatMap(([is, what]) => (is ? [what] : []));
}

/** A section's bars as they are written; one that is made of others as it is played. */
function sectionBars(chart: Chart, name: string, key: Key): SheetBar[] {
  const section = chart.sections.find((one) => one.name === name);
  if (!section) return [];
  if (section.derived) {
    const { bars } = unroll(
      { ...chart, form: [{ section: name, times: 1, who: null, pattern: null, place: section.place }] },
      { key, allVerses: true },
    );
    const written = inPlaces(bars);
    const sheet = written.map((_, index) =>
      playedBar(written, index, { key, meter: chart.meter, tempo: chart.tempo }),
    );
    return [...withPlayedMelody(sheet, chart, bars, key)];
  }
  const bars = pieceBars(piecesOf(section) ?? [], chart, key);
  const [first] = bars;
  return first ? [{ ...first, section: name }, ...bars.slice(1)] : [];
}

/** Bars that are written out: a phrase that comes again is another phrase there, with the verses that it has at its place. */
function inPlaces(bars: readonly PlayedBar[]): readonly PlayedBar[] {
  const phrase = ({ source }: PlayedBar): string => `${source.section}/${source.line}`;
  const places = new Map<string, number>();
  for (const bar of bars) if (bar.words) places.set(phrase(bar), (places.get(phrase(bar)) ?? 0) + 1);
  const passed = new Map<string, number>();
  return bars.map((bar): PlayedBar => {
    const { words, ...rest } = bar;
    if (!words) return bar;
    const place = (passed.get(phrase(bar)) ?? 0) + 1;
    passed.set(phrase(bar), place);
    const own = versesAt(words, place, places.get(phrase(bar)) ?? 1);
    return own.length > 0 ? { ...rest, words: own } : rest;
  });
}

/** A written thing and whether a line begins with it. */
interface Written {
  readonly item: Item;
  readonly line: boolean;
  /** The words of the phrase, with its first bar. */
  readonly words?: readonly string[];
}

/** What a section is made of: bars in a row, or a repeat with its endings, each for the times it is played. */
type Piece =
  | { readonly kind: 'plain'; readonly items: readonly Written[] }
  | {
      readonly kind: 'repeat';
      readonly body: readonly Written[];
      readonly times: number;
      readonly endings: readonly { readonly times: readonly number[]; readonly items: readonly Written[] }[];
    };

/** The pieces of a written section; `null` where its repeats are of a kind that no lead sheet has. */
function piecesOf(section: Section): readonly Piece[] | null {
  const above = phraseWords(section);
  const flat = section.lines.flatMap(({ items }, line) => {
    const first = items.find(({ kind }) => kind === 'bar');
    const words = above.get(line);
    return items.map(
      (item, index): Written => ({
        item,
        line: index === 0,
        ...(words && item === first ? { words } : {}),
      }),
    );
  });
  const pieces: Piece[] = [];
  let plain: Written[] = [];
  for (let at = 0; at < flat.length; ) {
    const { item } = flat[at] as Written;
    if (item.kind !== 'repeat-open') {
      if (item.kind !== 'ending-open' && item.kind !== 'ending-close') plain.push(flat[at] as Written);
      at += 1;
      continue;
    }
    pieces.push({ kind: 'plain', items: plain });
    plain = [];
    const read = repeatAt(flat, at + 1, (flat[at] as Written).line);
    if (!read) return null;
    pieces.push(read.piece);
    at = read.next;
  }
  return [...pieces, { kind: 'plain', items: plain }];
}

function repeatAt(
  flat: readonly Written[],
  from: number,
  line: boolean,
): { piece: Piece; next: number } | null {
  const body: Written[] = [];
  const endings: { numbers: readonly number[]; items: Written[] }[] = [];
  const endOf = (open: number): number => {
    let end = open + 1;
    while (end < flat.length && flat[end]?.item.kind !== 'ending-close') end += 1;
    return end < flat.length ? end : -1;
  };
  let close: number | null | undefined;
  let at = from;
  for (; at < flat.length; at += 1) {
    const { item } = flat[at] as Written;
    if (item.kind === 'repeat-close') {
      if (close !== undefined) break;
      close = item.times;
    } else if (item.kind === 'ending-open' && item.times !== 'last') {
      const end = endOf(at);
      if (end < 0) return null;
      endings.push({ numbers: item.times, items: flat.slice(at + 1, end) });
      at = end;
    } else if (close !== undefined) break;
    else if (endings.length > 0) return null;
    else body.push(flat[at] as Written);
  }
  if (close === undefined) return null;
  const numbers = endings.flatMap((ending) => ending.numbers);
  const times = close ?? numbers.reduce((most, number) => Math.max(most, number), 2);
  const sorted = [...numbers].sort((one, other) => one - other);
  const played = Array.from(
    { length: times },
    (_, index) => sorted.filter((one) => one <= index + 1).at(-1) ?? 0,
  );
  if (endings.length > 0 && played.includes(0)) return null;
  const shared = endings.map((ending) => ({
    items: ending.items,
    times: played.flatMap((number, index) => (ending.numbers.includes(number) ? [index + 1] : [])),
  }));
  // Endings in another order, or one that is never played, have no place in a lead sheet.
  const inOrder = shared.flatMap((ending) => ending.times).every((time, index) => time === index + 1);
  if (!inOrder || shared.some((ending) => ending.times.length === 0)) return null;
  const first = body[0];
  const begun = first && line ? [{ ...first, line: true }, ...body.slice(1)] : body;
  return { piece: { kind: 'repeat', body: begun, times, endings: shared }, next: at };
}

function pieceBars(pieces: readonly Piece[], head: BarHead, key: Key): SheetBar[] {
  const bars: SheetBar[] = [];
  let before: readonly WrittenCell[] = [];
  // What comes before a repeat belongs to its first bar.
  let waits: Partial<SheetBar> = {};
  const amend = (changes: Partial<SheetBar>): void => {
    const last = bars.at(-1);
    if (last) bars[bars.length - 1] = { ...last, ...changes };
  };
  const add = (items: readonly Written[], first: Partial<SheetBar>): void => {
    let ahead: Partial<SheetBar> = { ...waits, ...first };
    waits = {};
    for (const { item, line, words } of items) {
      if (line) ahead = { ...ahead, line: true };
      if (item.kind === 'way-mark') {
        if (item.mark === 'sign') ahead = { ...ahead, marks: ['sign'] };
        else amend({ marks: [...(bars.at(-1)?.marks ?? []), item.mark] });
      }
      if (item.kind === 'cue') ahead = { ...ahead, cues: [...(ahead.cues ?? []), item.text] };
      if (item.kind === 'change' && item.change.kind === 'slow')
        ahead = { ...ahead, cues: [...(ahead.cues ?? []), slowingWords(item.change.percent)] };
      if (item.kind === 'change' && item.change.kind === 'wait') amend({ stops: true });
      if (item.kind !== 'bar') continue;
      const cells = item.same ? before : item.cells;
      before = cells;
      bars.push({
        ...plainBar,
        ...ahead,
        ...writtenBar(cells, head, key),
        place: item.place,
        ...(words ? { words } : {}),
      });
      ahead = {};
    }
    const { marks, cues } = ahead;
    waits = { ...(marks ? { marks } : {}), ...(cues ? { cues } : {}) };
  };
  for (const piece of pieces) {
    if (piece.kind === 'plain') {
      add(piece.items, {});
      continue;
    }
    const count = bars.length;
    add(piece.body, { opens: true });
    const opened = bars.length > count;
    if (piece.endings.length === 0) amend({ closes: piece.times });
    piece.endings.forEach(({ times, items }, index) => {
      add(items, { ending: times, ...(index === 0 && !opened ? { opens: true } : {}) });
      const isLast = index === piece.endings.length - 1;
      amend({ endsEnding: true, ...(isLast && times.length === 1 ? {} : { closes: 2 }) });
    });
  }
  return bars;
}

/** The part of a chart's head that decides how long the chords of a bar are. */
type BarHead = Pick<Chart, 'meter' | 'crooked'>;

/** A written bar's length and chords. */
function writtenBar(
  cells: readonly WrittenCell[],
  { meter, crooked }: BarHead,
  key: Key,
): Pick<SheetBar, 'length' | 'chords' | 'holds'> {
  const perBeat = quartersPerBeat(meter);
  const beats = beatsOf({ cells }, meter, crooked);
  const chords = playedCells({ cells }, beats, key).map(
    ({ at, chord }): SheetChord => ({ at: at * perBeat, chord, text: null, place: plainBar.place }),
  );
  const holds = chords.flatMap((chord, index) => (cells[index]?.hold ? [chord.at] : []));
  return { length: beats * perBeat, chords, ...(holds.length > 0 ? { holds } : {}) };
}

/** A played bar, with what has changed since the one before. */
function playedBar(
  bars: readonly PlayedBar[],
  index: number,
  head: Pick<LeadSheet, 'key' | 'meter' | 'tempo'>,
): SheetBar {
  const bar = bars[index] as PlayedBar;
  const before = bars[index - 1];
  const perBeat = quartersPerBeat(bar.meter);
  const last = before ?? head;
  const begins = !before || !samePart(before, bar);
  const held = bar.cells.filter(({ hold }) => hold !== undefined);
  return {
    ...plainBar,
    length: bar.beats * perBeat,
    chords: bar.cells.map((cell) => ({
      at: cell.at * perBeat,
      chord: cell.chord,
      text: null,
      place: plainBar.place,
    })),
    meter: sameMeter(last.meter, bar.meter) ? null : bar.meter,
    key: keyName(last.key) === keyName(bar.key) ? null : bar.key,
    tempo: last.tempo.bpm === bar.tempo.bpm ? null : bar.tempo,
    section: begins ? bar.section : null,
    line: begins || before.source.line !== bar.source.line,
    cues: [...slowingMarks(bars, index), ...writtenCues(bar)],
    ...(held.length > 0 ? { holds: held.map(({ at }) => at * perBeat) } : {}),
    ...(bar.wait === undefined ? {} : { stops: true }),
    ...(bar.words ? { words: bar.words } : {}),
  };
}
