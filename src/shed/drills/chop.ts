import type { Chart } from '../../chart/chart.js';
import { keyName } from '../../theory/key.js';
import type { ClickKind } from '../../time/click-kinds.js';
import { patterns, strokesIn } from '../../time/pattern.js';
import type { Drill, DrillKind } from '../drill.js';
import { barOf, cue, inLines, madeChart } from '../make-chart.js';
import { chordOf } from './chords.js';
import { madeDrill, perLine } from './made.js';

/** The drills of the chop, each built on the one before. */
export const chopKinds = [
  'chop-damped',
  'chop-shape',
  'chop-low',
  'chop-up',
] as const satisfies readonly DrillKind[];
export type ChopKind = (typeof chopKinds)[number];

/** A part of a chop drill: what the right hand does, for how many bars, and what is said to it. */
interface Part {
  readonly name: string;
  readonly pattern: 'rest' | 'chop' | 'low-chop' | 'low-chop-up';
  readonly bars: number;
  readonly says: string;
  readonly click: ClickKind;
}

const lowAndChop = {
  name: 'low and chop',
  pattern: 'low-chop',
  says: 'one course, then all',
  click: 'every',
} as const;

const drills: Readonly<Record<ChopKind, { readonly title: string; readonly parts: readonly Part[] }>> = {
  'chop-damped': {
    title: 'the chop on damped courses',
    parts: [
      { name: 'damped', pattern: 'chop', bars: 8, says: 'lay the fingers on, do not press', click: 'every' },
    ],
  },
  'chop-shape': {
    title: 'the chop on one shape',
    parts: [
      // Without a pick first: where the chops will fall there is a click, and nowhere else.
      {
        name: 'no pick',
        pattern: 'rest',
        bars: 4,
        says: 'squeeze on the click, let go',
        click: 'backbeat',
      },
      { name: 'chop', pattern: 'chop', bars: 8, says: 'squeeze, strike, let go', click: 'every' },
    ],
  },
  'chop-low': {
    title: 'low note and chop alone',
    parts: [{ ...lowAndChop, bars: 8 }],
  },
  'chop-up': {
    title: 'the upstroke after the chop',
    parts: [
      { ...lowAndChop, bars: 4 },
      { name: 'upstroke', pattern: 'low-chop-up', bars: 8, says: 'two courses, light', click: 'every' },
    ],
  },
};

/** What is aimed at, quarters a minute, and where it begins: slow enough to hear each stroke end. Ours. */
const target = 120;
const share = 0.5;

/**
 * A drill of the chop on the 1 of a key, which sounds as it is meant to sound; `null` where the meter has no place for it (an
 * upstroke in 6/8). The meter is the chart's, the tempo its own.
 */
export function chopDrill(base: Chart, kind: ChopKind): Drill | null {
  const { title: name, parts } = drills[kind];
  const strikes = ({ pattern }: Part): boolean => {
    const found = patterns.find((one) => one.name === pattern);
    const strokes = found ? strokesIn(found, base.meter) : [];
    return pattern === 'rest' || (pattern === 'low-chop-up' ? strokes.some(isUp) : strokes.length > 0);
  };
  if (!parts.every(strikes)) return null;
  const home = chordOf(base.key, 1);
  const sections = parts.map(({ name, says, bars }) => ({
    name,
    lines: inLines(
      [cue(says), ...Array.from({ length: bars }, () => barOf([{ chord: home, dots: null }]))],
      perLine,
    ),
  }));
  const title = `${name} in ${keyName(base.key)}`;
  const chart = madeChart(
    base,
    title,
    sections,
    parts.map(({ name, pattern }) => ({ section: name, pattern })),
    { tempo: { bpm: target, count: 'quarter' } },
  );
  const stages = parts.map(({ click }, index) => ({
    from: parts.slice(0, index).reduce((sum, { bars }) => sum + bars, 0),
    kind: click,
    gaps: null,
  }));
  return madeDrill(kind, base, title, chart, {
    share,
    ladder: true,
    closed: true,
    noHand: kind === 'chop-damped',
    voices: { bass: false, low: true, chop: true, lead: false },
    click: { kind: 'every', gaps: null, stages },
  });
}

function isUp({ direction }: { readonly direction: 'down' | 'up' }): boolean {
  return direction === 'up';
}
