import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { changesOf } from '../../src/hand/changes.js';
import { mandolin } from '../../src/hand/instrument.js';
import { planHand } from '../../src/hand/plan.js';
import type { Drill } from '../../src/shed/drill.js';
import {
  chainDrill,
  dampedDrill,
  drillsFor,
  fretDrill,
  keysDrill,
  orderDrill,
  pairDrill,
  pairsDrill,
  pairsOf,
  phraseAt,
  phraseDrill,
  ringDrill,
} from '../../src/shed/drills.js';
import { seeded } from '../../src/shed/seeded.js';
import { chordName } from '../../src/theory/chord.js';
import { keyName } from '../../src/theory/key.js';
import { numberText } from '../../src/theory/number.js';
import { arrange } from '../../src/time/arrange.js';
import { demoChart } from '../ui/model.js';

const demos = [
  'weir-hands',
  'third-lantern-down',
  'tollhouse-kettle',
  'copperwort-lane',
  'lockkeepers-candle',
  'nine-barges-late',
  'osier-and-twine',
];

function planOf(chart: Chart) {
  return planHand(changesOf(unroll(chart).bars), mandolin);
}

/** A drill's bars as numbers. */
function bars({ chart }: Drill): string {
  return unroll(chart)
    .bars.map((bar) => bar.cells.map((cell) => (cell.number ? numberText(cell.number) : 'nc')).join('/'))
    .join(' ');
}

const song = demoChart('weir-hands');
const numbers = unroll(song).bars;

describe('drills', () => {
  it('two chords in alternation, so many bars each', () => {
    const [from, to] = pairsOf(planOf(song)).at(-1) ?? [];
    if (!from || !to) throw new Error('no pair');
    const names = [numberText(from), numberText(to)];
    expect(bars(pairDrill(song, from, to))).toBe(Array(4).fill(names.join(' ')).join(' '));
    expect(bars(pairDrill(song, from, to, 2, 2))).toBe(
      Array(2).fill(`${names[0]} ${names[0]} ${names[1]} ${names[1]}`).join(' '),
    );
  });

  it('all pairs from easy to hard', () => {
    const plan = planOf(song);
    const round = pairsDrill(song, plan, 1);
    expect(round && unroll(round.chart).bars).toHaveLength(2 * pairsOf(plan).length);
    const cost = pairsOf(plan).map(([from, to]) => {
      const names = [numberText(from), numberText(to)];
      return Math.max(
        ...plan.changes.flatMap((one, index) => {
          const before = plan.changes[(index + plan.changes.length - 1) % plan.changes.length];
          const own = before && [numberText(before.number), numberText(one.number)];
          return own && names.every((name) => own.includes(name)) ? [one.motion?.ms ?? 0] : [];
        }),
      );
    });
    expect(cost.at(-1)).toBe(Math.max(...cost));
  });

  it('a phrase, and the same from its end', () => {
    // V: 1 1 4 4 / 1 1 5 1, after a kick-off of four bars.
    expect(phraseAt(numbers, 5)).toEqual([4, 8]);
    expect(bars(phraseDrill(song, numbers, 4, 8))).toBe('1 1 4 4');
    expect(bars(chainDrill(song, numbers, 4, 12, 1))).toBe('5 1 1 1 5 1 4 4 1 1 5 1 1 1 4 4 1 1 5 1');
  });

  it('keep the dots of their bars: quarters in cut time, eighths in 6/8, and how long a crooked bar is', () => {
    const head = 'title: T\nkey: G\ntempo: 120\n';
    const chartOf = (text: string): Chart => {
      const read = readChart(new TextEncoder().encode(head + text));
      if (!read.ok) throw new Error(read.faults.map(({ message }) => message).join());
      return read.value;
    };
    const lengths = (chart: Chart): string[] =>
      unroll(chart).bars.map(({ cells }) => cells.map(({ beats }) => beats.toFixed(3)).join(' '));
    for (const text of [
      'meter: cut\nsections:\n  V: (1... 5.) (1 4) (1. 4. 5..) (1 4 5 1)\n',
      'meter: 6/8\nsections:\n  V: (1.. 5....) (1 4) (1.. 4.. 5..) 1\n',
      'crooked: yes\nsections:\n  V: (1..) (1. 4.) (1.. 4....) (1 4)\n',
    ]) {
      const base = chartOf(text);
      const own = unroll(base).bars;
      const drill = phraseDrill(base, own, 0, 4);
      expect(lengths(drill.chart)).toEqual(lengths(base));
      const written = readChart(new TextEncoder().encode(writeChart(drill.chart)));
      expect(written.ok && lengths(written.value)).toEqual(lengths(base));
    }
  });

  it('keep the meter of each part, whatever the part before ended in', () => {
    const text =
      'title: T\nkey: G\ntempo: 120\nform: A, B\nsections:\n  A: 1 @3/4 1\n  B: |\n    @4/4 (1 4) 1\n';
    const read = readChart(new TextEncoder().encode(text));
    if (!read.ok) throw new Error(read.faults.map(({ message }) => message).join());
    const beats = (chart: Chart): number[] => unroll(chart).bars.map((bar) => bar.beats);
    expect(beats(read.value)).toEqual([4, 3, 4, 4]);
    expect(beats(ringDrill(read.value).chart)).toEqual([4, 3, 4, 4]);
    const own = unroll(read.value).bars;
    expect(beats(chainDrill(read.value, own, 0, 4, 1).chart)).toEqual([4, 4, 4, 3, 4, 4]);
  });

  it('one ringing stroke for each chord, and silence until the next', () => {
    const { chart } = ringDrill(song);
    const { score } = arrange(chart, { key: chart.key, instrument: mandolin, share: 1 });
    const own = score.notes.map(
      (notes) => notes.filter(({ voice }) => voice === 'low' || voice === 'chop').length,
    );
    // The kick-off begins with its 1, its 5 and the 1 after it are new; the verse goes on with 1.
    expect(own.slice(0, 8).map((count) => count > 0)).toEqual([
      true,
      false,
      true,
      true,
      false,
      false,
      true,
      false,
    ]);
  });

  it('the order of the chords, a bar for each, which waits', () => {
    const drill = orderDrill(song);
    expect(bars(drill)).toBe(
      changesOf(numbers)
        .map(({ number }) => numberText(number))
        .join(' '),
    );
    expect(drill.start).toMatchObject({ waits: true, ladder: false });
  });

  it('the fretting hand alone: nothing of the picking hand, and a click that quickens', () => {
    const drill = fretDrill(song);
    const { score } = arrange(drill.chart, { key: drill.chart.key, instrument: mandolin, share: 1 });
    expect(score.notes.flat().filter(({ voice }) => voice !== 'bass')).toEqual([]);
    expect(drill.start.ramp?.to).toBeGreaterThan(drill.start.share);
    expect(unroll(drill.chart).bars[0]?.cues).toEqual(['press on 1, release on 3']);
  });

  it('the same progression through the keys', () => {
    const fourths = keysDrill(song, 'fourths', seeded(1));
    const played = unroll(fourths?.chart as Chart).bars;
    const keys = played.filter((_, index) => index % 8 === 0).map(({ key }) => keyName(key));
    expect(keys.join(' ')).toBe('B E A D G C F Bb Eb Ab Db F#');
    expect(
      played
        .slice(8, 16)
        .map(({ cells }) => cells[0]?.chord && chordName(cells[0].chord))
        .join(' '),
    ).toBe('E E A A E E B E');
    expect(keysDrill(song, 'singers', seeded(1))).toBeNull();
    const sung = { ...song, singers: [{ name: 'Ansa', key: { tonic: 'C', mode: 'major' } as const }] };
    expect(
      unroll(keysDrill(sung, 'singers', seeded(1))?.chart as Chart)
        .bars.map(({ key }) => keyName(key))
        .filter((name, index, all) => all.indexOf(name) === index),
    ).toEqual(['B', 'C']);
  });

  it('the picking hand alone, pattern by pattern, switched every so many bars', () => {
    const { chart } = dampedDrill(song, 2);
    const played = unroll(chart).bars;
    expect(played.length % 2).toBe(0);
    const names = played.map(({ pattern }) => pattern);
    expect(names[0]).toBe(names[1]);
    expect(new Set(names).size).toBe(played.length / 2);
    expect(played[0]?.cues).toEqual(['strings damped']);
  });

  it.each([
    ['4/4', 'low-chop low-chop-up eighths shuffle chop'],
    ['3/4', 'low-chop low-chop-up waltz eighths shuffle chop'],
    ['6/8', 'low-chop eighths shuffle chop'],
  ])('the picking hand alone has only patterns that %s has', (text, expected) => {
    const [beats = 4, unit = 4] = text.split('/').map(Number);
    const { chart } = dampedDrill({ ...song, meter: { beats, unit: unit as 4 | 8 } }, 1);
    expect(chart.form.map(({ pattern }) => pattern).join(' ')).toBe(expected);
  });

  it('a phrase, and one from its end, are as loud as in the chart', () => {
    const [first, ...others] = song.form;
    if (!first) throw new Error('the song has no form');
    const { bars } = unroll({ ...song, form: [{ ...first, level: 'soft' }, ...others] });
    expect(phraseDrill(song, bars, 0, 2).chart.form[0]?.level).toBe('soft');
    expect(chainDrill(song, bars, 0, 4).chart.form.map(({ level }) => level)).toStrictEqual(['soft', 'soft']);
    const later = bars.findIndex(({ entry }) => entry > 0);
    expect(phraseDrill(song, bars, later, later + 2).chart.form[0]).not.toHaveProperty('level');
  });

  it.each(demos)(
    'made from %s are charts like any other: they are written, read back, and played',
    (name) => {
      const chart = demoChart(name);
      const drills = drillsFor(chart, planOf(chart), 5, seeded(3));
      expect(drills.length).toBeGreaterThanOrEqual(11);
      for (const drill of drills) {
        const text = writeChart(drill.chart);
        const read = readChart(new TextEncoder().encode(text));
        if (!read.ok) throw new Error(`${drill.kind}: ${read.faults[0]?.message}\n${text}`);
        const before = unroll(drill.chart);
        expect(before.fault).toBeNull();
        expect(before.bars.length).toBeGreaterThan(0);
        const after = unroll(read.value).bars;
        expect(after.map(({ cells }) => cells.map(({ chord, at }) => [chord, at]))).toEqual(
          before.bars.map(({ cells }) => cells.map(({ chord, at }) => [chord, at])),
        );
        const { score } = arrange(drill.chart, { key: drill.chart.key, instrument: mandolin, share: 1 });
        expect(score.bars).toHaveLength(before.bars.length);
      }
    },
  );
});
