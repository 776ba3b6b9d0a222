import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { mandolin } from '../../src/hand/instrument.js';
import { usualPlan } from '../../src/hand/plan.js';
import { chopPage } from '../../src/shed/chop-page.js';
import { chopSteps } from '../../src/shed/chop-steps.js';
import { type Drill, drillKinds, type KeyDrillKind, keyDrillKinds } from '../../src/shed/drill.js';
import { keyDrill, waysOf } from '../../src/shed/drills.js';
import { bareChart } from '../../src/shed/make-chart.js';
import { numberText } from '../../src/theory/number.js';
import { arrange } from '../../src/time/arrange.js';
import { type Click, clickAt, clickNotes, usualClick } from '../../src/time/click.js';
import { demoChart, keyOf } from '../ui/model.js';

const hand = { instrument: mandolin, plan: {} };
const keys = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B', 'Am', 'Em', 'Gm'];

function made(base: Chart, kind: KeyDrillKind): Drill {
  const drill = keyDrill(base, kind, hand);
  if (!drill) throw new Error(`no ${kind}`);
  return drill;
}

function inKey(key: string): Chart {
  return bareChart(keyOf(key), 120);
}

/** A drill's bars as numbers, those of a section only. */
function bars({ chart }: Drill, section?: string): string[] {
  return unroll(chart)
    .bars.filter((bar) => section === undefined || bar.section === section)
    .map((bar) => bar.cells.map((cell) => (cell.number ? numberText(cell.number) : 'nc')).join('/'));
}

/** What clicks in each bar of a drill, as places in the bar in quarters: `0 1 2 3`; empty for a silent one. */
function clicks({ chart, start }: Drill): string[] {
  const { score } = arrange(chart, { key: chart.key, instrument: mandolin, share: 1 });
  const click: Click = { ...usualClick, ...start.click };
  return score.bars.map((bar, index) => {
    const here = clickAt(click, index, index);
    return here
      ? clickNotes(bar, here)
          .map(({ at }) => (at - bar.start) / 960)
          .join(' ')
      : '';
  });
}

/** The strokes of the right hand in each bar of a drill: `low 0`, `all 1`, by when they begin, in quarters. */
function strokes({ chart }: Drill): string[] {
  const { score } = arrange(chart, { key: chart.key, instrument: mandolin, share: 1 });
  return score.notes.map((notes, index) => {
    const start = score.bars[index]?.start ?? 0;
    const places = notes
      .filter(({ voice }) => voice === 'low' || voice === 'chop')
      .map(({ voice, at }) => `${voice} ${Math.floor(((at - start) / 960) * 8) / 8}`);
    return [...new Set(places)].join(', ');
  });
}

describe('six ways', () => {
  it.each(keys)(
    'in %s: every way once in each step, those first for which the hand takes the least time',
    (key) => {
      const drill = made(inKey(key), 'six-ways');
      const numbers = key.endsWith('m') ? ['1-', '4-', '5'] : ['1', '4', '5'];
      const all = numbers.flatMap((from) =>
        numbers.flatMap((to) => (from === to ? [] : [`${from} to ${to}`])),
      );
      const cues = unroll(drill.chart).bars.flatMap((bar) => bar.cues);
      expect(cues).toHaveLength(18);
      for (const step of [0, 1, 2]) expect([...cues.slice(6 * step, 6 * step + 6)].sort()).toEqual(all);
      const ways = waysOf(inKey(key), hand);
      expect(ways.map(({ from, to }) => `${numberText(from)} to ${numberText(to)}`)).toEqual(
        cues.slice(0, 6),
      );
      expect(ways.map(({ ms }) => ms)).toEqual(
        [...ways.map(({ ms }) => ms)].sort((one, other) => one - other),
      );
      expect(ways.every(({ ms }) => ms > 0)).toBe(true);
    },
  );

  it('have two bars a chord, then one, then two beats', () => {
    const drill = made(inKey('G'), 'six-ways');
    const [way] = waysOf(inKey('G'), hand);
    const [from, to] = [way?.from, way?.to].map((number) => (number ? numberText(number) : '?'));
    expect(bars(drill, 'two bars').slice(0, 4)).toEqual([from, from, to, to]);
    expect(bars(drill, 'one bar').slice(0, 4)).toEqual([from, to, from, to]);
    expect(bars(drill, 'two beats').slice(0, 4)).toEqual(Array(4).fill(`${from}/${to}`));
    expect(bars(drill)).toHaveLength(72);
  });

  it('do not share a bar that cannot be halved', () => {
    expect(bars(made({ ...inKey('C'), meter: { beats: 3, unit: 4 } }, 'six-ways'))).toHaveLength(48);
    expect(bars(made({ ...inKey('C'), meter: { beats: 2, unit: 4 } }, 'six-ways'))).toHaveLength(48);
    expect(bars(made({ ...inKey('C'), meter: { beats: 2, unit: 2 } }, 'six-ways'))).toHaveLength(72);
  });

  it('are made whether or not a chart has the chords, in its key and tempo', () => {
    const drill = made({ ...demoChart('weir-hands'), key: keyOf('Eb') }, 'six-ways');
    expect(drill.title).toBe('six ways between 1, 4 and 5 in Eb');
    expect(drill.chart.tempo.bpm).toBe(252);
  });
});

describe('lift and land', () => {
  const drill = made({ ...inKey('A'), feel: { swing: 66 } }, 'lift');

  it('strikes nothing, on one shape and then between two', () => {
    expect(strokes(drill).join('')).toBe('');
    expect([...new Set(bars(drill).slice(0, 24))]).toEqual(['1']);
    expect(bars(drill).slice(24, 28)).toEqual(['1', '4', '1', '4']);
    expect(bars(drill).slice(32, 33)).toEqual(['1/4']);
    expect(bars(drill).slice(40, 41)).toEqual(['1/4/1/4']);
  });

  it('gets quicker within each step', () => {
    const tempos = unroll(drill.chart).bars.map(({ tempo }) => tempo.bpm);
    for (let step = 0; step < 6; step += 1) {
      const own = tempos.slice(8 * step, 8 * step + 8);
      expect(own).toEqual([...own].sort((one, other) => one - other));
      expect(own.at(-1)).toBeGreaterThan(own[0] as number);
    }
  });

  it('has a click for every landing, and for the lift between where it lands on each beat', () => {
    const heard = clicks(drill);
    const straight = '0 0.5 1 1.5 2 2.5 3 3.5';
    expect(heard.slice(0, 8)).toEqual(Array(8).fill('0 1 2 3'));
    expect(heard.slice(8, 24)).toEqual(Array(16).fill(straight));
    expect(heard.slice(24, 40)).toEqual(Array(16).fill('0 1 2 3'));
    expect(heard.slice(40, 48)).toEqual(Array(8).fill(straight));
  });
});

describe('the chop', () => {
  it('is a stroke on 2 and 4, on damped courses first', () => {
    const drill = made(inKey('G'), 'chop-damped');
    expect(new Set(strokes(drill))).toEqual(new Set(['chop 1, chop 3']));
    expect(clicks(drill)[0]).toBe('0 1 2 3');
  });

  it('is squeezed without a pick before it is struck on a shape', () => {
    const drill = made(inKey('G'), 'chop-shape');
    expect(strokes(drill).map((bar) => bar !== '')).toEqual([
      ...Array(4).fill(false),
      ...Array(8).fill(true),
    ]);
    expect(clicks(drill)[3]).toBe('1 3');
    expect(clicks(drill)[4]).toBe('0 1 2 3');
    expect(drill.start.closed).toBe(true);
  });

  it('has the low note before it, then the upstroke after it', () => {
    expect(new Set(strokes(made(inKey('G'), 'chop-low')))).toEqual(new Set(['low 0, chop 1, low 2, chop 3']));
    const up = strokes(made(inKey('G'), 'chop-up'));
    expect(up[3]).toBe('low 0, chop 1, low 2, chop 3');
    expect(up[4]).toBe('low 0, chop 1, chop 1.5, low 2, chop 3, chop 3.5');
  });

  it('has no upstroke where the meter has no place for one', () => {
    expect(keyDrill({ ...inKey('G'), meter: { beats: 6, unit: 8 } }, 'chop-up', hand)).toBeNull();
    expect(keyDrill({ ...inKey('G'), meter: { beats: 6, unit: 8 } }, 'chop-low', hand)).not.toBeNull();
  });

  it('is begun at 60 and brought to 120, and its planned shape can be let go in every key', () => {
    for (const key of keys) {
      const { chart, start } = made(inKey(key), 'chop-shape');
      expect(chart.tempo.bpm * start.share).toBe(60);
      const { plan } = arrange(chart, {
        key: chart.key,
        instrument: mandolin,
        share: 1,
        plan: { ...usualPlan, open: false },
      });
      for (const { fingering } of plan.changes) {
        expect(fingering?.frets.filter((fret) => fret !== null).length).toBeGreaterThanOrEqual(3);
        expect(fingering?.frets).not.toContain(0);
      }
    }
  });

  it('has a page that a terminal of 80 columns holds, with every drill and a caution', () => {
    const page = chopPage();
    for (const line of page) expect(line.length).toBeLessThanOrEqual(80);
    for (const step of Object.keys(chopSteps))
      expect(page.join('\n')).toContain(`barkline shed chop ${step}`);
    expect(page.join('\n')).toContain('Stop when something hurts');
    expect(page.join('\n')).toContain('40 to 90');
  });
});

describe('steady time', () => {
  it('has less and less click, step by step, down to four silent bars', () => {
    const heard = clicks(made(inKey('G'), 'steady'));
    const full = '0 1 2 3';
    const eight = (...pattern: string[]) =>
      Array.from({ length: 8 }, (_, bar) => pattern[bar % pattern.length]);
    expect(heard).toEqual([
      ...eight(full),
      ...eight('1 3'),
      ...eight('0'),
      ...eight('0', ''),
      ...eight(full, full, full, ''),
      ...eight(full, full, '', ''),
      ...eight(full, full, full, full, '', '', '', ''),
    ]);
  });

  it('goes by the chart’s meter', () => {
    const heard = clicks(made({ ...inKey('G'), meter: { beats: 3, unit: 4 } }, 'steady'));
    expect([heard[0], heard[8], heard[16]]).toEqual(['0 1 2', '1 2', '0']);
  });
});

describe('a click in stages', () => {
  const click: Click = {
    ...usualClick,
    gaps: { heard: 1, silent: 1 },
    stages: [{ from: 2, kind: 'first', gaps: { heard: 2, silent: 1 } }],
  };
  const at = (bar: number, before: number) => clickAt(click, bar, before)?.kind ?? null;

  it('goes by the place in the pass within a stage, and by the bars played before the first of them', () => {
    expect([0, 1].map((bar) => at(bar, bar))).toEqual(['every', null]);
    expect([2, 3, 4, 5].map((bar) => at(bar, 77))).toEqual(['first', 'first', null, 'first']);
  });

  it('is silent where the click is off', () => {
    expect(clickAt({ ...click, kind: 'off' }, 2, 2)).toBeNull();
  });
});

describe('every drill for a key', () => {
  const bases = [...keys.map(inKey), demoChart('weir-hands'), demoChart('lockkeepers-candle')];

  it.each(keyDrillKinds)('%s is a chart like any other: it is written, read back and checked', (kind) => {
    expect(drillKinds[kind]).not.toBe('');
    for (const base of bases) {
      const drill = keyDrill(base, kind, hand);
      if (!drill) continue;
      expect(drill.chart.key).toEqual(base.key);
      const text = writeChart(drill.chart);
      const read = readChart(new TextEncoder().encode(text));
      if (!read.ok) throw new Error(`${read.faults[0]?.message}\n${text}`);
      expect(read.faults).toEqual([]);
      expect(unroll(read.value).bars.map(({ tempo, cells }) => [tempo, cells])).toEqual(
        unroll(drill.chart).bars.map(({ tempo, cells }) => [tempo, cells]),
      );
    }
  });
});
