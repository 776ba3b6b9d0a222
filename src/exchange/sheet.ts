import {
  type BarSource,
  type Chart,
  type Item,
  meterText,
  type PlayedBar,
  placeName,
  type Section,
  type WrittenCell,
} from '../chart/chart.js';
import { keyAt } from '../chart/key-target.js';
import { chordLabel, markWords, numberLabel, timeMarksAt, wayMarks, withMarks } from '../chart/label.js';
import { samePart } from '../chart/part.js';
import { phraseWords } from '../chart/phrase-words.js';
import { playedDots } from '../chart/played-cells.js';
import { tuneTexts } from '../chart/tune/degrees-text.js';
import { tuneCuesByPlace, withoutTuneCues } from '../chart/tune/tune-cues.js';
import { chartInKey } from '../chart/tune/tune-in-key.js';
import { keysPlayed, unroll } from '../chart/unroll.js';
import { formEntryText } from '../chart/write.js';
import { courseNames, risesInPitch } from '../hand/course-names.js';
import { familyOf } from '../hand/family.js';
import type { Fingering } from '../hand/fingering.js';
import { hardness } from '../hand/hard-changes.js';
import type { Instrument } from '../hand/instrument.js';
import { type NeckSight, usualNeck } from '../hand/neck-sight.js';
import type { HandPlan, PlanOptions } from '../hand/plan.js';
import { prompt } from '../hand/prompt.js';
import { autoCapo, capoElsewhere } from '../theory/capo.js';
import { type Chord, toChord } from '../theory/chord.js';
import { fifthStringText } from '../theory/fifth-string.js';
import { type Key, keyName, transposeKey, withSigns } from '../theory/key.js';
import { type NumberChord, numberText } from '../theory/number.js';
import { noteName } from '../theory/pitch.js';
import { patternOf } from '../time/arrange.js';
import { type Pattern, strokesIn } from '../time/pattern.js';
import { needsWritingOut } from './chart-to-sheet.js';

/** A chord of a printed bar. */
export interface PrintedCell {
  readonly number: string;
  readonly chord: string;
  /** Beats it was given, where it was; a bar without is shared evenly. */
  readonly dots: number | null;
  /** Whether the hand is slow to come here. */
  readonly hard: boolean;
}

/** A bar on paper. */
export interface PrintedBar {
  readonly cells: readonly PrintedCell[];
  readonly over: readonly string[];
  readonly opens: boolean;
  /** How often a repeat that ends here is played; `null` where none does. */
  readonly closes: number | null;
  /** `1.`, `2. 3.`, `last time`: an ending begins. */
  readonly ending: string | null;
  readonly endsEnding: boolean;
  /** Words of the phrase that begins with it, a text for each line of them. */
  readonly words?: readonly string[];
  /** The tune in degrees, where it is printed. */
  readonly tune?: string;
}

/** A section on paper: rows of at most four bars. */
export interface PrintedSection {
  readonly name: string;
  readonly who: string | null;
  /** The section it is the same as, where it is one that is printed; its rows are then empty. */
  readonly same: string | null;
  readonly rows: readonly (readonly PrintedBar[])[];
}

/** A shape on paper: where it is first met. */
export interface PrintedShape {
  readonly number: string;
  readonly chord: string;
  readonly fingering: Fingering;
}

/** A change of the hand, in words. */
export interface PrintedChange {
  readonly from: string;
  readonly to: string;
  readonly says: string;
  readonly hard: boolean;
}

/** A song as it is printed, in a key. All texts are for people, with the musician's signs. */
export interface PrintedSheet {
  readonly title: string;
  readonly by: string | null;
  readonly key: string;
  readonly tempo: string;
  readonly meter: string;
  readonly form: string;
  readonly family: string | null;
  readonly capo: string;
  readonly pattern: string;
  readonly notes: string | null;
  readonly sections: readonly PrintedSection[];
  readonly shapes: readonly PrintedShape[];
  readonly changes: readonly PrintedChange[];
  readonly courses: readonly string[];
  /** Which course frets and fingers begin with: `bass side first`. */
  readonly firstCourse: string;
}

/** What a sheet is made from beside the chart. */
export interface SheetSource {
  readonly chart: Chart;
  readonly key: Key;
  readonly bpm: number;
  readonly instrument: Instrument;
  readonly plan: HandPlan;
  readonly options?: Partial<PlanOptions>;
  /** How the player sees the neck; looking down, right-handed, when absent. */
  readonly sight?: NeckSight;
  readonly patterns?: readonly Pattern[];
  /** Whether the tune is printed under the numbers, as degrees. */
  readonly tune?: boolean;
}

/** Bars of a row. */
const perRow = 4;

/** A song as it is printed: bars as written, each shape once, each change in words, the right hand, and a line for a capo. */
export function printedSheet(source: SheetSource): PrintedSheet {
  const { chart, key, bpm, instrument, plan, options, sight = usualNeck, patterns = [] } = source;
  const slow = slowPairs(plan);
  const unit = { quarter: '♩', half: 'halves', dotted: '♩.' }[chart.tempo.count];
  const family = familyOf(key, instrument, options);
  return {
    title: chart.title,
    by: chart.by,
    key: withSigns(keyName(key)),
    tempo: `${Math.round(bpm)} ${unit}`,
    meter: meterText(chart.meter),
    form: chart.form.map((entry) => formEntryText(entry, key)).join(', '),
    family: family.name,
    capo: capoLine(key, otherKeys(chart, key)),
    pattern: patternLine(chart, patterns),
    notes: chart.notes,
    sections: sectionsOf(chart, key, slow, {
      texts: source.tune ? tuneTexts(chartInKey(chart, key)) : new Map(),
      cues: chart.cues ? tuneCuesByPlace(unroll(chart, { key, final: true }).bars) : new Map(),
    }),
    shapes: shapesOf(plan),
    changes: changesOf(plan, sight),
    courses: instrument.courses.map((course) => withSigns(noteName(course.open))),
    firstCourse: risesInPitch(instrument)
      ? 'bass side first'
      : `${withSigns(courseNames(instrument)[0] ?? '')} course first`,
  };
}

function capoLine(key: Key, others: readonly Key[]): string {
  const { fret, shapes, fifthString } = autoCapo(key);
  const where = fret === 0 ? 'no capo' : `capo ${fret}`;
  const head = `Guitar: ${where}, shapes of ${withSigns(keyName(shapes))}. Banjo: ${where}, ${withSigns(fifthStringText(fifthString))}.`;
  return [
    head,
    ...others.map((other) => `Key ${withSigns(keyName(other))}: ${withSigns(capoElsewhere(other, fret))}.`),
  ].join(' ');
}

/** The keys that a song goes to beside the one it is in. */
function otherKeys(chart: Chart, key: Key): readonly Key[] {
  return keysPlayed(unroll(chart, { key, final: true }).bars).filter(
    (other) => keyName(other) !== keyName(key),
  );
}

/** The right hand in a bar, stroke by stroke. */
function patternLine(chart: Chart, own: readonly Pattern[]): string {
  const pattern = patternOf({ ...chart, form: [] }, { entry: 0 }, { patterns: own });
  const counts = ['1', '2', '3', '4', '5', '6', '7', '8', '9'];
  const strokes = strokesIn(pattern, chart.meter).map(({ at, direction, courses, ending }) => {
    const beat = Math.floor(at + 1e-9);
    const between = at - beat > 1e-6 ? '+' : '';
    const what =
      ending === 'chop' ? 'chop' : courses === 'lowest' ? 'low' : ending === 'ring' ? 'ring' : 'choke';
    return `${counts[beat] ?? beat + 1}${between} ${what}${direction === 'up' ? ' up' : ''}`;
  });
  return `Right hand, ${pattern.name}: ${strokes.join(' · ') || 'rest'}`;
}

/** The changes among the slowest, by their numbers. */
function slowPairs(plan: HandPlan): ReadonlySet<string> {
  const marks = hardness(plan);
  const { changes } = plan;
  return new Set(
    changes.flatMap(({ number }, index) => {
      const before = changes[(index + changes.length - 1) % changes.length];
      return marks[index]?.marked && before ? [`${numberText(before.number)}>${numberText(number)}`] : [];
    }),
  );
}

function shapesOf({ changes }: HandPlan): readonly PrintedShape[] {
  const seen = new Set<string>();
  return changes.flatMap(({ number, chord, fingering }): PrintedShape[] => {
    if (!fingering) return [];
    const id = `${numberText(number)} ${fingering.frets.join()} ${fingering.fingers.join()}`;
    if (seen.has(id)) return [];
    seen.add(id);
    return [{ number: numberLabel(number, true), chord: chordLabel(chord, true), fingering }];
  });
}

function changesOf(plan: HandPlan, sight: NeckSight): readonly PrintedChange[] {
  const slow = slowPairs(plan);
  const seen = new Set<string>();
  const { changes } = plan;
  return changes.flatMap(({ number, motion, fingering }, index): PrintedChange[] => {
    const before = changes[(index + changes.length - 1) % changes.length];
    if (
      !motion ||
      !fingering ||
      !before?.fingering ||
      before.fingering.frets.join() === fingering.frets.join()
    )
      return [];
    const pair = `${numberText(before.number)}>${numberText(number)}`;
    const id = `${pair} ${before.fingering.frets.join()} ${fingering.frets.join()}`;
    if (seen.has(id)) return [];
    seen.add(id);
    return [
      {
        from: numberLabel(before.number, true),
        to: numberLabel(number, true),
        says: prompt(motion, sight).sentence,
        hard: slow.has(pair),
      },
    ];
  });
}

function sectionsOf(
  chart: Chart,
  key: Key,
  slow: ReadonlySet<string>,
  tune: TuneTexts,
): readonly PrintedSection[] {
  // As it is played each bar has its own cues.
  if (needsWritingOut(chart)) return playedSections(chart, key, slow, { ...tune, cues: new Map() });
  const shown = [...new Set(chart.form.flatMap(({ section, way }) => (way ? [] : section)))];
  return shown.flatMap((name): PrintedSection[] => {
    const section = chart.sections.find((one) => one.name === name);
    if (!section) return [];
    const leaders = [...new Set(chart.form.filter((entry) => entry.section === name).map(({ who }) => who))];
    const [who = null] = leaders.length === 1 ? leaders : [];
    const [piece, ...more] = section.derived ?? [];
    if (piece?.take.kind === 'all' && more.length === 0 && shown.includes(piece.of))
      return [{ name, who, same: piece.of, rows: [] }];
    const place = { line: 1, column: 1 };
    const rows = section.derived
      ? inRows(
          unroll(
            {
              ...withoutTuneCues(chart),
              form: [{ section: name, times: 1, who: null, pattern: null, place }],
            },
            { key, allVerses: true },
          ).bars.map((bar, index, bars) => tuned(playedBar(bars, index, slow), bar.source, tune)),
        )
      : writtenRows(section, chart.sections.indexOf(section), key, slow, tune);
    return [{ name, who, same: null, rows }];
  });
}

/** The tune of written bars by their place, empty where it is not printed, and the cues that it gives them. */
interface TuneTexts {
  readonly texts: ReadonlyMap<string, string>;
  readonly cues: ReadonlyMap<string, string>;
}

/** A bar with its tune, where that is printed. */
function tuned(bar: PrintedBar, source: BarSource, tune: TuneTexts): PrintedBar {
  const place = placeName(source);
  const text = tune.texts.get(place);
  const cue = tune.cues.get(place);
  return {
    ...bar,
    ...(text === undefined ? {} : { tune: text }),
    ...(cue === undefined ? {} : { over: [...bar.over, cue] }),
  };
}

/** A section's lines, each with the words above it. */
function writtenRows(
  section: Section,
  number: number,
  key: Key,
  slow: ReadonlySet<string>,
  tune: TuneTexts,
): PrintedSection['rows'] {
  const above = phraseWords(section);
  return writtenBars(section, key, slow).flatMap((row, line) => {
    const [first, ...more] = row.map((bar, index) => tuned(bar, { section: number, line, bar: index }, tune));
    const words = above.get(line);
    return first ? inRows([words ? { ...first, words } : first, ...more]) : [];
  });
}

/** Where a section is not always the same, the pass is printed as it is played. */
function playedSections(
  chart: Chart,
  key: Key,
  slow: ReadonlySet<string>,
  tune: TuneTexts,
): readonly PrintedSection[] {
  const { bars } = unroll(chart, { key, final: true });
  const head = { key, meter: chart.meter, tempo: chart.tempo };
  const sections: { name: string; who: string | null; bars: PrintedBar[] }[] = [];
  bars.forEach((bar, index) => {
    const before = bars[index - 1];
    if (!before || !samePart(before, bar)) sections.push({ name: bar.section, who: bar.who, bars: [] });
    sections.at(-1)?.bars.push(tuned(playedBar(bars, index, slow, head), bar.source, tune));
  });
  return sections.map(({ name, who, bars: own }) => ({ name, who, same: null, rows: inRows(own) }));
}

function inRows(bars: readonly PrintedBar[]): readonly (readonly PrintedBar[])[] {
  const rows: PrintedBar[][] = [];
  for (let from = 0; from < bars.length; from += perRow) rows.push(bars.slice(from, from + perRow));
  return rows;
}

const noBar: PrintedBar = {
  cells: [],
  over: [],
  opens: false,
  closes: null,
  ending: null,
  endsEnding: false,
};

/** The bars of a section, line by line. A mark on a line of its own belongs to the next bar, or to the one before, all the same. */
function writtenBars(
  { lines }: Section,
  home: Key,
  slow: ReadonlySet<string>,
): readonly (readonly PrintedBar[])[] {
  const rows: PrintedBar[][] = [];
  let key = home;
  let ahead: Partial<PrintedBar> = {};
  let last: NumberChord | null = null;
  const amend = (changes: (bar: PrintedBar) => Partial<PrintedBar>): void => {
    const row = rows.findLast((one) => one.length > 0);
    const bar = row?.pop();
    if (row && bar) row.push({ ...bar, ...changes(bar) });
  };
  const sayAhead = (text: string): void => {
    ahead = { ...ahead, over: [...(ahead.over ?? []), text] };
  };
  const sayBehind = (text: string): void => amend(({ over }) => ({ over: [...over, text] }));
  for (const { items } of lines) {
    const row: PrintedBar[] = [];
    rows.push(row);
    for (const item of items) {
      switch (item.kind) {
        case 'bar':
          row.push({
            ...noBar,
            ...ahead,
            cells: item.cells.map((cell) => {
              const hard = isSlow(slow, last, cell.chord);
              last = cell.chord ?? last;
              return printedCell(cell, cell.chord && toChord(cell.chord, key), hard);
            }),
          });
          ahead = {};
          break;
        case 'repeat-open':
          ahead = { ...ahead, opens: true };
          break;
        case 'repeat-close':
          amend(() => ({ closes: item.times ?? 2 }));
          break;
        case 'ending-open':
          ahead = {
            ...ahead,
            ending: item.times === 'last' ? 'last time' : item.times.map((time) => `${time}.`).join(' '),
          };
          break;
        case 'ending-close':
          amend(() => ({ endsEnding: true }));
          break;
        case 'way-mark':
          if (item.mark === 'sign') sayAhead(markWords.sign);
          else sayBehind(markWords[item.mark]);
          break;
        case 'cue':
          sayAhead(item.text);
          break;
        case 'change':
          if (item.change.kind === 'key') key = transposeKey(key, item.change.halfSteps);
          else if (item.change.kind === 'key-to') key = keyAt(item.change.to, home);
          if (item.change.kind === 'wait') sayBehind(changeText(item.change, key));
          else sayAhead(changeText(item.change, key));
      }
    }
  }
  return rows;
}

function changeText(change: Extract<Item, { kind: 'change' }>['change'], key: Key): string {
  switch (change.kind) {
    case 'meter':
      return meterText(change.meter);
    case 'key':
    case 'key-to':
      return `key ${withSigns(keyName(key))}`;
    case 'tempo':
      return `tempo ${change.bpm}`;
    case 'swing':
      return `swing ${change.swing}`;
    case 'slow':
      return `rit. to ${change.percent}%`;
    case 'wait':
      return 'then stop';
  }
}

/** A bar as it is played, with what has changed against the one before, or against the head where it is the first. */
function playedBar(
  bars: readonly PlayedBar[],
  index: number,
  slow: ReadonlySet<string>,
  head: Pick<PlayedBar, 'key' | 'meter' | 'tempo'> | null = null,
): PrintedBar {
  const bar = bars[index] as PlayedBar;
  const before = bars[index - 1];
  const held = before ?? head;
  const dots = playedDots(bar);
  let last = before?.cells.at(-1)?.number ?? null;
  return {
    ...noBar,
    over: [
      ...wayMarks(bar),
      ...(held && meterText(held.meter) !== meterText(bar.meter) ? [meterText(bar.meter)] : []),
      ...(held && keyName(held.key) !== keyName(bar.key) ? [`key ${withSigns(keyName(bar.key))}`] : []),
      ...(held && held.tempo.bpm !== bar.tempo.bpm ? [`tempo ${bar.tempo.bpm}`] : []),
      ...bar.cues,
      ...timeMarksAt(bars, index),
    ],
    ...(bar.words ? { words: bar.words } : {}),
    cells: bar.cells.map((cell, index) => {
      const hard = isSlow(slow, last, cell.number);
      last = cell.number ?? last;
      return printedCell(
        {
          chord: cell.number,
          dots: dots?.[index] ?? null,
          early: cell.early,
          ending: cell.ending,
          ...(cell.hold === undefined ? {} : { hold: { beats: cell.hold } }),
        },
        cell.chord,
        hard,
      );
    }),
  };
}

function isSlow(slow: ReadonlySet<string>, from: NumberChord | null, to: NumberChord | null): boolean {
  return from !== null && to !== null && slow.has(`${numberText(from)}>${numberText(to)}`);
}

function printedCell(cell: WrittenCell, chord: Chord | null, hard: boolean): PrintedCell {
  return {
    number: withMarks(cell.chord ? numberLabel(cell.chord, true) : 'N.C.', cell),
    chord: chord ? chordLabel(chord, true) : '',
    dots: cell.dots,
    hard,
  };
}
