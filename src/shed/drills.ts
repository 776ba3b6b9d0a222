import type { Chart, Item, PlayedBar } from '../chart/chart.js';
import { numberLabel } from '../chart/label.js';
import { unroll } from '../chart/unroll.js';
import { changesOf } from '../hand/changes.js';
import { hardChanges } from '../hand/hard-changes.js';
import type { HandPlan } from '../hand/plan.js';
import { type Key, keyName, transposeKey } from '../theory/key.js';
import { type NumberChord, numberText } from '../theory/number.js';
import { pitchClass } from '../theory/pitch.js';
import { patternsIn } from '../time/pattern.js';
import { type Drill, type DrillKind, drillKinds, plainStart } from './drill.js';
import { barOf, changeTo, cue, inLines, madeChart, writtenBars } from './make-chart.js';
import { shuffled } from './seeded.js';

/** Bars on a line of a drill. */
const perLine = 4;

function drill(
  kind: DrillKind,
  base: Chart,
  title: string,
  chart: Chart,
  start: Partial<Drill['start']> = {},
): Drill {
  return { kind, title, says: drillKinds[kind], chart, start: { ...plainStart, ...start }, from: base.title };
}

/** Two chords of a chart in alternation, `bars` bars each, `times` times. */
export function pairDrill(base: Chart, from: NumberChord, to: NumberChord, bars = 1, times = 4): Drill {
  const one = Array.from({ length: bars }, () => barOf([{ chord: from, dots: null }]));
  const other = Array.from({ length: bars }, () => barOf([{ chord: to, dots: null }]));
  const items = Array.from({ length: times }, () => [...one, ...other]).flat();
  const name = `${numberLabel(from, false)} and ${numberLabel(to, false)}`;
  const title = `${name} of ${base.title}`;
  return drill(
    'pair',
    base,
    title,
    madeChart(base, title, [{ name: 'pair', lines: inLines(items, perLine) }], [{ section: 'pair' }]),
  );
}

/** The pairs of a plan between which the hand moves, easy ones first, each way counting once. */
export function pairsOf(plan: HandPlan): readonly (readonly [NumberChord, NumberChord])[] {
  const seen = new Set<string>();
  return [...hardChanges(plan)].reverse().flatMap(({ from, to }) => {
    const name = [numberText(from.number), numberText(to.number)].sort().join(' ');
    if (seen.has(name)) return [];
    seen.add(name);
    return [[from.number, to.number] as const];
  });
}

/** A round of all pairs of a chart, from easy to hard, each `times` times. */
export function pairsDrill(base: Chart, plan: HandPlan, times = 2): Drill | null {
  const pairs = pairsOf(plan);
  if (pairs.length === 0) return null;
  const sections = pairs.map(([from, to], index) => {
    const bars = [from, to].map((chord) => barOf([{ chord, dots: null }]));
    const items = Array.from({ length: times }, () => bars).flat();
    return { name: `pair ${index + 1}`, lines: inLines(items, perLine) };
  });
  const title = `pairs of ${base.title}`;
  return drill(
    'pairs',
    base,
    title,
    madeChart(
      base,
      title,
      sections,
      sections.map(({ name }) => ({ section: name })),
    ),
  );
}

/** Bars of a pass, `from` to `to` exclusive, again and again. */
export function phraseDrill(base: Chart, bars: readonly PlayedBar[], from: number, to: number): Drill {
  const phrase = bars.slice(from, to);
  const title = `bars ${from + 1} to ${to} of ${base.title}`;
  const chart = madeChart(
    base,
    title,
    [{ name: 'phrase', lines: inLines(writtenBars(phrase, base.key), perLine) }],
    [{ section: 'phrase', level: phrase[0]?.level ?? null }],
    {
      meter: phrase[0]?.meter ?? base.meter,
    },
  );
  return drill('phrase', base, title, chart);
}

/** Backwards chaining: the last two bars of a stretch, the last four, and so on until all of it stands, each `times` times. */
export function chainDrill(
  base: Chart,
  bars: readonly PlayedBar[],
  from: number,
  to: number,
  times = 2,
): Drill {
  const lengths: number[] = [];
  for (let length = 2; length < to - from; length += 2) lengths.push(length);
  lengths.push(to - from);
  const sections = lengths.map((length) => ({
    name: `last ${length}`,
    lines: inLines(writtenBars(bars.slice(to - length, to), base.key, base.meter), perLine),
  }));
  const title = `bars ${from + 1} to ${to} of ${base.title}, from the end`;
  return drill(
    'chain',
    base,
    title,
    madeChart(
      base,
      title,
      sections,
      sections.map(({ name }) => ({ section: name, times, level: bars[from]?.level ?? null })),
    ),
  );
}

/** The whole pass as one section under its own names, for drills that change only how it is played. */
function wholePass(base: Chart, title: string, pattern: string): Chart {
  const bars = unroll(base).bars;
  const starts: { name: string; from: number }[] = [];
  bars.forEach((bar, index) => {
    const before = bars[index - 1];
    if (!before || before.entry !== bar.entry || before.round !== bar.round)
      starts.push({ name: bar.section, from: index });
  });
  const sections = starts.map(({ from }, index) => ({
    name: `part ${index + 1}`,
    lines: inLines(
      writtenBars(bars.slice(from, starts[index + 1]?.from ?? bars.length), base.key, base.meter),
      perLine,
    ),
  }));
  return madeChart(
    base,
    title,
    sections,
    sections.map(({ name }, index) => ({
      section: name,
      pattern,
      level: bars[starts[index]?.from ?? 0]?.level ?? null,
    })),
    { pattern },
  );
}

/** A single ringing stroke for each chord and silence until the next. */
export function ringDrill(base: Chart): Drill {
  const title = `${base.title}, one stroke a chord`;
  return drill('ring', base, title, wholePass(base, title, 'ring'), {
    voices: { bass: false, low: true, chop: true },
  });
}

/** The order of the chords, a bar each; every bar waits until the player goes on. */
export function orderDrill(base: Chart): Drill {
  const changes = changesOf(unroll(base).bars);
  const items = changes.map(({ number }) => barOf([{ chord: number, dots: null }]));
  const title = `the order of ${base.title}`;
  return drill(
    'order',
    base,
    title,
    madeChart(base, title, [{ name: 'order', lines: inLines(items, perLine) }], [{ section: 'order' }]),
    {
      waits: true,
      ladder: false,
      // Whoever goes on without the pedal must not be told wrong chords.
      voices: { bass: false, low: false, chop: false },
    },
  );
}

/** The fretting hand alone, a bar a chord, to a click that quickens. */
export function fretDrill(base: Chart): Drill {
  const changes = changesOf(unroll(base).bars);
  const items = changes.flatMap(({ number }, index): Item[] => [
    ...(index === 0 ? [cue('press on 1, release on 3')] : []),
    barOf([{ chord: number, dots: null }]),
  ]);
  const title = `${base.title}, fretting hand alone`;
  const chart = madeChart(
    base,
    title,
    [{ name: 'shapes', lines: inLines(items, perLine) }],
    [{ section: 'shapes', pattern: 'rest' }],
    { pattern: 'rest' },
  );
  return drill('fret', base, title, chart, {
    share: 0.5,
    ladder: false,
    voices: { bass: false, low: false, chop: false },
    ramp: { to: 1.1, bars: Math.max(32, changes.length * 3) },
  });
}

/** The keys that a progression goes through. */
export type KeyOrder = 'fourths' | 'halfsteps' | 'shuffled' | 'singers';

/** Keys in an order, the chart's own first where the order has a beginning. */
export function keysInOrder(
  base: Pick<Chart, 'key' | 'singers'>,
  order: KeyOrder,
  random: () => number,
): readonly Key[] {
  if (order === 'singers') return uniqueKeys([base.key, ...base.singers.map(({ key }) => key)]);
  if (order === 'shuffled') return shuffled(twelve(base.key, 1), random);
  return twelve(base.key, order === 'fourths' ? 5 : 1);
}

function twelve(key: Key, step: number): Key[] {
  return Array.from({ length: 12 }, (_, index) => transposeKey(key, index * step));
}

function uniqueKeys(keys: readonly Key[]): Key[] {
  return keys.filter((key, index) => keys.findIndex((one) => keyName(one) === keyName(key)) === index);
}

/** The same bars through keys, once in each. */
export function keysDrill(
  base: Chart,
  order: KeyOrder,
  random: () => number,
  numbersOnly = false,
): Drill | null {
  const keys = keysInOrder(base, order, random);
  if (keys.length < 2) return null;
  const pass = unroll(base).bars;
  // A written section once is enough: the whole form twelve times would last half an hour.
  const bars = pass.filter(({ entry, round }) => entry === pass[firstLong(pass)]?.entry && round === 0);
  const first = keys[0] as Key;
  let before = first;
  const sections = keys.map((key) => {
    const halfSteps = nearestWay(pitchClass(key.tonic) - pitchClass(before.tonic));
    before = key;
    const change = halfSteps === 0 ? [] : [changeTo({ kind: 'key', halfSteps })];
    return {
      name: sectionName(key),
      lines: inLines([...change, ...writtenBars(bars, base.key, base.meter)], perLine),
    };
  });
  const title = `${base.title} through ${keys.length} keys`;
  const chart = madeChart(
    base,
    title,
    sections,
    sections.map(({ name }) => ({ section: name })),
    { key: first },
  );
  return drill(order, base, title, chart, { numbersOnly, ladder: false });
}

/** The first bar of the first part that is longer than a kick-off. */
function firstLong(bars: readonly PlayedBar[]): number {
  const count = (entry: number): number =>
    bars.filter((bar) => bar.entry === entry && bar.round === 0).length;
  const found = bars.findIndex((bar) => count(bar.entry) >= 8);
  return Math.max(0, found);
}

/** −6 … 6 half steps: the short way. */
function nearestWay(halfSteps: number): number {
  const up = ((halfSteps % 12) + 12) % 12;
  return up > 6 ? up - 12 : up;
}

/** `B flat`: a section's name has no signs. */
function sectionName(key: Key): string {
  const sign = { b: ' flat', '#': ' sharp' }[key.tonic.slice(1)] ?? '';
  return `${key.tonic[0]}${sign}${key.mode === 'minor' ? ' minor' : ''}`;
}

/** The picking hand alone on damped strings: one pattern after the other, switched every `bars` bars. */
export function dampedDrill(base: Chart, bars = 4): Drill {
  const home: NumberChord = {
    degree: 1,
    alter: 0,
    quality: base.key.mode === 'minor' ? 'minor' : 'major',
    bass: null,
  };
  const fits = patternsIn(base.meter);
  const items = Array.from({ length: bars }, (_, index): Item[] => [
    ...(index === 0 ? [cue('strings damped')] : []),
    barOf([{ chord: home, dots: null }]),
  ]).flat();
  const sections = fits.map(({ name }) => ({
    name: name.replace(/[^a-z]+/g, ' '),
    lines: inLines(items, perLine),
  }));
  const title = `${base.title}, picking hand alone`;
  const chart = madeChart(
    base,
    title,
    sections,
    fits.map(({ name }, index) => ({ section: sections[index]?.name ?? name, pattern: name })),
  );
  return drill('damped', base, title, chart, {
    voices: { bass: false, low: true, chop: true },
    ladder: true,
  });
}

/** The chart itself, with bars that click and bars that do not. */
export function gapsDrill(base: Chart, heard = 2, silent = 2): Drill {
  const title = `${base.title}, click now and then`;
  return drill(
    'gaps',
    base,
    title,
    { ...base, title },
    {
      click: { kind: 'every', gaps: { heard, silent } },
      voices: { bass: false },
      share: 0.9,
    },
  );
}

/** The bars of the section under a bar, half open: what a phrase is when nothing else is said. */
export function phraseAt(bars: readonly PlayedBar[], bar: number): readonly [from: number, to: number] {
  const { source, entry, round } = bars[bar] ?? {};
  const same = (index: number): boolean => {
    const one = bars[index];
    return (
      one !== undefined &&
      one.entry === entry &&
      one.round === round &&
      one.source.line === source?.line &&
      one.source.section === source?.section
    );
  };
  let from = bar;
  let to = bar + 1;
  while (same(from - 1) && (bars[from - 1]?.source.bar ?? 0) < (bars[from]?.source.bar ?? 0)) from -= 1;
  while (same(to) && (bars[to]?.source.bar ?? 0) > (bars[to - 1]?.source.bar ?? 0)) to += 1;
  return [from, to];
}

/** Pairs that are listed beside the hardest. */
const mostPairs = 12;

/** Every drill that can be made from a chart; phrase and chain of the phrase under a bar. */
export function drillsFor(base: Chart, plan: HandPlan, bar: number, random: () => number): readonly Drill[] {
  const { bars } = unroll(base);
  const [from, to] = phraseAt(bars, Math.min(bar, bars.length - 1));
  const hardest = pairsOf(plan).at(-1);
  const found: (Drill | null)[] = [
    hardest ? pairDrill(base, hardest[0], hardest[1]) : null,
    pairsDrill(base, plan),
    phraseDrill(base, bars, from, to),
    chainDrill(base, bars, from, to),
    ringDrill(base),
    orderDrill(base),
    fretDrill(base),
    keysDrill(base, 'fourths', random),
    keysDrill(base, 'halfsteps', random),
    keysDrill(base, 'shuffled', random, true),
    keysDrill(base, 'singers', random),
    dampedDrill(base),
    gapsDrill(base),
    // Any two chords that follow each other, the hard ones first; the hardest of all stands at the top.
    ...pairsOf(plan)
      .slice(0, -1)
      .reverse()
      .slice(0, mostPairs)
      .map(([one, other]) => pairDrill(base, one, other)),
  ];
  return found.filter((one) => one !== null);
}
