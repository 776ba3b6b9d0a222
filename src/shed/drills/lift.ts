import type { Chart, Item } from '../../chart/chart.js';
import { keyName } from '../../theory/key.js';
import type { NumberChord } from '../../theory/number.js';
import type { ClickKind } from '../../time/click-kinds.js';
import type { Drill } from '../drill.js';
import { barOf, changeTo, cue, inLines, madeChart } from '../make-chart.js';
import { chordOf } from './chords.js';
import { madeDrill, perLine } from './made.js';

/** One step of lift and land: which shapes a bar has, when they land, and at which tempos, in quarters a minute. */
interface Step {
  readonly name: string;
  readonly says: string;
  /** Degrees of each bar, again and again. */
  readonly bars: readonly (readonly (1 | 4)[])[];
  /** Where fingers lift between beats, the click says so. */
  readonly click: ClickKind;
  readonly tempos: readonly number[];
}

/*
 * Ours, from slow to what a hand that moves as one can just do: from a landing every four seconds to more than two a second.
 * With a change of shape a landing costs more, so the last step is slower than that of one shape.
 */
const slow = [60, 72, 84, 96] as const;
const quick = [50, 60, 70, 80] as const;

const steps: readonly Step[] = [
  { name: 'one shape', says: 'land 1, lift 3', bars: [[1]], click: 'every', tempos: slow },
  { name: 'each beat', says: 'land on beats', bars: [[1]], click: 'divided', tempos: slow },
  {
    name: 'each half beat',
    says: 'land on halves',
    bars: [[1]],
    click: 'divided',
    tempos: quick,
  },
  { name: 'two shapes', says: 'land 1, lift 3', bars: [[1], [4]], click: 'every', tempos: slow },
  {
    name: 'two beats a shape',
    says: 'land 1 and 3',
    bars: [[1, 4]],
    click: 'every',
    tempos: slow,
  },
  {
    name: 'a beat a shape',
    says: 'land on beats',
    bars: [[1, 4, 1, 4]],
    click: 'divided',
    tempos: quick,
  },
];

/** Bars at each tempo. */
const barsEach = 2;

/**
 * Lift and land, without picking: all fingers of a shape leave the strings together by a finger's width and land together,
 * quicker and quicker; then the same from one shape to another. Counted in 4/4, at tempos of its own, whatever the chart.
 */
export function liftDrill(base: Chart): Drill {
  const title = `lift and land in ${keyName(base.key)}`;
  const sections = steps.map((step) => ({ name: step.name, lines: inLines(barsOf(step, base), perLine) }));
  const chart = madeChart(
    base,
    title,
    sections,
    sections.map(({ name }) => ({ section: name, pattern: 'rest' })),
    {
      pattern: 'rest',
      meter: { beats: 4, unit: 4 },
      tempo: { bpm: slow[0], count: 'quarter' },
      // Half beats must be even here, however the chart swings.
      feel: { swing: 50 },
    },
  );
  const each = barsEach * slow.length;
  return madeDrill('lift', base, title, chart, {
    share: 1,
    ladder: false,
    voices: { bass: false, low: false, chop: false, lead: false },
    click: {
      kind: 'every',
      gaps: null,
      stages: steps.map(({ click }, index) => ({ from: index * each, kind: click, gaps: null })),
    },
  });
}

function barsOf({ says, bars, tempos }: Step, base: Chart): readonly Item[] {
  const chordsAt = (bar: number): readonly NumberChord[] =>
    (bars[bar % bars.length] ?? []).map((degree) => chordOf(base.key, degree));
  return tempos.flatMap((bpm, index) => [
    changeTo({ kind: 'tempo', bpm }),
    ...(index === 0 ? [cue(says)] : []),
    ...Array.from({ length: barsEach }, (_, bar) =>
      barOf(chordsAt(index * barsEach + bar).map((chord) => ({ chord, dots: null }))),
    ),
  ]);
}
