import { type Chart, feltBeats, type Item, quartersPerBeat } from '../../chart/chart.js';
import { numberLabel } from '../../chart/label.js';
import { unroll } from '../../chart/unroll.js';
import { changesOf } from '../../hand/changes.js';
import type { Instrument } from '../../hand/instrument.js';
import { type PlanOptions, planHand } from '../../hand/plan.js';
import { keyName } from '../../theory/key.js';
import type { NumberChord } from '../../theory/number.js';
import type { Drill } from '../drill.js';
import { barOf, cue, inLines, madeChart } from '../make-chart.js';
import { chordOf } from './chords.js';
import { madeDrill, perLine } from './made.js';

/** Whose hand it is, and on what: as a plan is made with. */
export interface DrillHand {
  readonly instrument: Instrument;
  readonly plan: Partial<PlanOptions>;
}

/** One way between two chords, and how long the hand takes for it, ms. */
export interface Way {
  readonly from: NumberChord;
  readonly to: NumberChord;
  readonly ms: number;
}

/** A round in which every way between three chords comes once, the way back to its beginning included. */
const round = [1, 4, 1, 5, 4, 5] as const;

/** The six ways between 1, 4 and 5 of a chart's key, those first that take the hand the least time. */
export function waysOf(base: Chart, { instrument, plan }: DrillHand): readonly Way[] {
  const items = round.map((degree) => barOf([{ chord: chordOf(base.key, degree), dots: null }]));
  const chart = madeChart(base, base.title, [{ name: 'round', lines: [items] }], [{ section: 'round' }]);
  const { changes } = planHand(changesOf(unroll(chart).bars), instrument, plan);
  return changes
    .flatMap((to, index): Way[] => {
      const from = changes.at(index - 1);
      return from ? [{ from: from.number, to: to.number, ms: to.motion?.ms ?? 0 }] : [];
    })
    .sort((one, other) => one.ms - other.ms);
}

/** Quarters that a chord lasts at least when two share a bar: less is not a drill of a change. */
const leastShared = 1.5;

/**
 * All ways between 1, 4 and 5 of a key, whether or not a chart has them, from easy to hard: two bars a chord, then one, then
 * half a bar (two beats in 4/4) where the meter can be halved. Each line has one way, in alternation with the way back.
 */
export function sixWaysDrill(base: Chart, hand: DrillHand): Drill {
  const ways = waysOf(base, hand);
  const [two, one, half]: readonly ((way: Way) => readonly Item[])[] = [
    ({ from, to }) => [from, from, to, to].map((chord) => barOf([{ chord, dots: null }])),
    ({ from, to }) => [from, to, from, to].map((chord) => barOf([{ chord, dots: null }])),
    ({ from, to }) =>
      Array.from({ length: perLine }, () => barOf([from, to].map((chord) => ({ chord, dots: null })))),
  ];
  const beats = feltBeats(base.meter);
  const halves = beats % 2 === 0 && (beats * quartersPerBeat(base.meter)) / 2 >= leastShared;
  const steps = [
    { name: 'two bars', bars: two },
    { name: 'one bar', bars: one },
    { name: beats === 4 ? 'two beats' : 'half a bar', bars: halves ? half : undefined },
  ];
  const sections = steps.flatMap(({ name, bars }) => {
    if (!bars) return [];
    const items = ways.flatMap((way) => [cue(wayName(way)), ...bars(way)]);
    return [{ name, lines: inLines(items, perLine) }];
  });
  const title = `six ways between 1, 4 and 5 in ${keyName(base.key)}`;
  const form = sections.map(({ name }) => ({ section: name }));
  return madeDrill('six-ways', base, title, madeChart(base, title, sections, form), {
    inRow: 1,
  });
}

function wayName({ from, to }: Way): string {
  return `${numberLabel(from, false)} to ${numberLabel(to, false)}`;
}
