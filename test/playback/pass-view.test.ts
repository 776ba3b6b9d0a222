import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import {
  barsToMyTurn,
  changesAhead,
  handMoment,
  isHardChange,
  passView,
} from '../../src/playback/pass-view.js';
import { readyAt } from '../../src/playback/performance.js';
import { arrangeOptions, setupOf } from '../../src/playback/setup.js';
import { chordName } from '../../src/theory/chord.js';
import { arrange } from '../../src/time/arrange.js';
import { usualClick } from '../../src/time/click.js';
import { usualMix, usualSound } from '../../src/time/sound.js';

/** A pass of a demo chart, arranged as it is written. */
function view(name: string) {
  const reading = readChart(readFileSync(new URL(`../../charts/${name}.yaml`, import.meta.url)));
  if (!reading.ok) throw new Error(`${name} does not read`);
  const chart = reading.value;
  const setup = setupOf(chart, {
    key: chart.key,
    bpm: chart.tempo.bpm,
    countIn: 1,
    passes: null,
    range: null,
    from: 0,
    instrument: mandolin,
    plan: {},
    sound: usualSound,
    mix: usualMix,
    click: usualClick,
    pattern: null,
    patterns: [],
    ramp: null,
  });
  const found = passView({ ...readyAt(setup, 0), arrangement: arrange(chart, arrangeOptions(setup)) });
  if (!found) throw new Error('there is no pass');
  return found;
}

describe('handMoment', () => {
  it('has the shape that is held, the next, and the one after, with the beats until then', () => {
    // kickoff: 1 1 5 1, then V: 1 1 4 4 …
    const told = (bar: number, beat: number): string => {
      const { now, next, after } = handMoment(view('weir-hands'), bar, beat, null);
      return [
        now && chordName(now.chord),
        next && `${chordName(next.change.chord)} ${next.beats}`,
        after && `${chordName(after.change.chord)} ${after.beats}`,
      ].join(', ');
    };
    expect(told(0, 0)).toBe('B, F# 8, B 12');
    expect(told(1, 3)).toBe('B, F# 1, B 5');
    expect(told(2, 0)).toBe('F#, B 4, E 16');
    // The last bar of the pass and the first hold the same chord: the hand stays.
    expect(told(59, 0)).toBe('B, F# 12, B 16');
  });

  it('goes round within a loop', () => {
    const { next, after } = handMoment(view('weir-hands'), 2, 2, { from: 1, to: 3 });
    expect([next?.beats, after?.beats]).toEqual([2, 6]);
  });

  it.each(['weir-hands', 'ropewalk-penny', 'copperwort-lane'])(
    'has in each loop of two bars of %s the motion from the shape that is held',
    (name) => {
      const pass = view(name);
      let again = 0;
      for (let from = 0; from + 2 <= pass.bars.length; from += 1) {
        const { now, next } = handMoment(pass, from + 1, 3, { from, to: from + 2 });
        if (!next?.change.fingering || !now?.fingering) continue;
        expect(next.change.motion?.from.frets).toEqual(now.fingering.frets);
        expect(next.change.motion?.to.frets).toEqual(next.change.fingering.frets);
        if (next.change.motion !== pass.plan.changes[next.index]?.motion) again += 1;
      }
      // In some of them the plan comes from another shape.
      expect(again).toBeGreaterThan(0);
    },
  );

  it('has nothing ahead where nothing changes', () => {
    expect(changesAhead(view('weir-hands'), 0, 0, { from: 0, to: 2 }, 2)).toEqual([]);
  });
});

describe('barsToMyTurn', () => {
  it('says so from four bars ahead until the turn is over', () => {
    const found = view('weir-hands');
    const mine = found.bars.findIndex((bar) => bar.who === 'me');
    expect(mine).toBe(28);
    const told = [mine - 5, mine - 4, mine - 1, mine, mine + 7, mine + 8].map((bar) =>
      barsToMyTurn(found, bar, null),
    );
    expect(told).toEqual([null, 4, 1, 0, 0, null]);
  });
});

describe('isHardChange', () => {
  it('is what is marked, and what is too slow for the tempo', () => {
    const found = view('third-lantern-down');
    const { hardness } = found;
    const marked = hardness.findIndex((one) => one.marked);
    const easy = hardness.findIndex((one) => !one.marked && one.bpm < 1000);
    const { bpm } = hardness[easy] as (typeof hardness)[number];
    expect(isHardChange(found, marked, 20)).toBe(true);
    expect(isHardChange(found, easy, bpm)).toBe(false);
    expect(isHardChange(found, easy, bpm + 1)).toBe(true);
    expect(isHardChange(found, 9999, 400)).toBe(false);
  });
});
