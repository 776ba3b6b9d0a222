import { describe, expect, it } from 'vitest';
import type { PlayedBar } from '../../../../src/chart/chart.js';
import { pitchClass } from '../../../../src/theory/pitch.js';
import { arrange } from '../../../../src/time/arrange.js';
import { beatTick } from '../../../../src/time/place.js';
import { runInto } from '../../../../src/ui/draw/band/bass-run.js';
import { chordMoment, sameRoot } from '../../../../src/ui/draw/band/chords-ahead.js';
import { demoChart, keyOf, mandolin } from '../../model.js';

const setup = (chart: ReturnType<typeof demoChart>) => ({
  chart,
  pattern: null,
  patterns: [],
  bass: 'walk' as const,
});

/** The run into what comes from each bar of a chart that is played with runs, and what its bass voice plays in that bar. */
function runsOf(name: string, key: string) {
  const chart = demoChart(name);
  const { bars, score } = arrange(chart, { key: keyOf(key), instrument: mandolin, share: 1, bass: 'walk' });
  const range = { from: 0, to: bars.length };
  return bars.map((bar, index) => {
    const { next } = chordMoment(
      bars,
      { bar: index, beat: bar.beats - 0.01, range, goesRound: true },
      sameRoot,
    );
    const here = next && next.index !== index && next.beats === 1 ? next : null;
    const start = score.bars[index]?.start ?? 0;
    const played = (score.notes[index] ?? [])
      .filter(({ voice }) => voice === 'bass')
      .map(({ at, note }) => ({ at: at - start, note: note % 12 }));
    return { bar, run: here && runInto(bars, setup(chart), here), played };
  });
}

const tickOf = (beat: string, bar: PlayedBar): number =>
  beatTick(Number.parseInt(beat, 10) - 1 + (beat.endsWith('+') ? 0.5 : 0), bar);

describe('the run of the bass into what comes', () => {
  for (const [name, key] of [
    ['nine-barges-late', 'Bb'],
    ['nine-barges-late', 'A'],
    ['weir-hands', 'B'],
    ['copperwort-lane', 'F#'],
    ['sluice-gate-morning', 'E'],
  ] as const)
    it(`has the notes and beats that the bass voice plays: ${name} in ${key}`, () => {
      let notes = 0;
      for (const { bar, run, played } of runsOf(name, key)) {
        if (!run) continue;
        expect(run.isPlayed).toBe(true);
        for (const { letter, beat } of run.notes) {
          notes += 1;
          expect(played).toContainEqual({ at: tickOf(beat, bar), note: pitchClass(letter) });
        }
        // After its first note nothing else is struck.
        const first = tickOf(run.notes[0]?.beat ?? '', bar);
        expect(played.filter(({ at }) => at >= first)).toHaveLength(run.notes.length);
      }
      expect(notes).toBeGreaterThan(3);
    });

  it('is told by letter and number of the key, with where it leads', () => {
    const [first] = runsOf('weir-hands', 'A').flatMap(({ run }) => (run ? [run] : []));
    expect(first).toEqual({
      notes: [
        { letter: 'C#', number: '3', beat: '3' },
        { letter: 'D', number: '4', beat: '4' },
      ],
      landing: { letter: 'E', number: '5', beat: '1' },
      isPlayed: true,
    });
  });

  it('is what may be run where the bass voice has none', () => {
    const chart = demoChart('weir-hands');
    const { bars } = arrange(chart, { key: keyOf('A'), instrument: mandolin, share: 1 });
    const range = { from: 0, to: bars.length };
    const runs = bars.flatMap((bar, index) => {
      const place = { bar: index, beat: bar.beats - 0.01, range, goesRound: true };
      const { next } = chordMoment(bars, place, sameRoot);
      const run = next && runInto(bars, { ...setup(chart), bass: 'plain' }, next);
      return run ? [run] : [];
    });
    expect(runs.length).toBeGreaterThan(0);
    expect(runs.every(({ isPlayed }) => !isPlayed)).toBe(true);
  });
});
