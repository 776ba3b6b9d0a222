import { describe, expect, it } from 'vitest';
import { HeardStage, strokeAt } from './heard-stage.js';

/** Four bars of four; at 160 a minute a bar lasts 1.5 s. */
const four = '1 4 5 1';
const barMs = 1500;

/** A stage that plays and listens from the start. */
function playing(written = four, start: ConstructorParameters<typeof HeardStage>[1] = {}): HeardStage {
  const stage = new HeardStage(written, start);
  stage.wait(50);
  stage.listen();
  stage.press('play');
  return stage;
}

const heardOf = (verdict: { strokes: readonly { heard: unknown }[] }): number =>
  verdict.strokes.filter(({ heard }) => heard !== null).length;

describe('PassEar', () => {
  it('tells a mark for each stroke of a pass, and nothing of the count-in', () => {
    const stage = playing();
    stage.until(() => stage.passes.length === 1);
    const pass = stage.marks.filter((one) => one.pass === 1);
    const perBar = [0, 1, 2, 3].map((bar) => pass.filter((one) => one.bar === bar).map(({ beat }) => beat));
    expect(perBar).toEqual(Array(4).fill([0, 1, 2, 3]));
    expect(new Set(pass.map(({ mark }) => mark.place))).toEqual(new Set(['on']));
    expect(stage.passes[0]?.verdict).toMatchObject({ result: 'clean', extra: [], silences: [] });
    expect(heardOf(stage.passes[0]?.verdict as never)).toBe(16);
  });

  it('judges two passes in a row, each with its own strokes, and knows when each began', () => {
    const stage = playing();
    stage.hand = ({ at }) => (at > 2 * barMs + 4 * barMs ? 20 : 0);
    stage.until(() => stage.passes.length === 2);
    const [one, two] = stage.passes;
    expect([one, two].map((pass) => heardOf(pass?.verdict as never))).toEqual([16, 16]);
    expect((two?.began ?? 0) - (one?.began ?? 0)).toBeCloseTo(4 * barMs, -1.5);
    expect(one?.bpm).toBe(160);
  });

  it('gives a stroke at the seam of two passes to the one it is nearest to', () => {
    const stage = playing();
    // Ahead of the beat all the time: the first stroke of the second pass sounds while the first is still played.
    stage.hand = () => -60;
    stage.until(() => stage.passes.length === 2);
    for (const { verdict } of stage.passes) {
      expect(heardOf(verdict)).toBe(16);
      expect(verdict.extra).toEqual([]);
    }
    const first = stage.marks.filter(({ pass, bar, beat }) => pass === 2 && bar === 0 && beat === 0);
    expect(first).toHaveLength(1);
  });

  it('follows a loop, and judges what is in it', () => {
    const stage = playing(four, { range: { from: 1, to: 3 }, from: 1 });
    stage.until(() => stage.passes.length === 2);
    expect(new Set(stage.marks.map(({ bar }) => bar))).toEqual(new Set([1, 2]));
    expect(stage.passes.map(({ verdict }) => heardOf(verdict))).toEqual([8, 8]);
  });

  it('follows a jump: the section once more is played again within the pass', () => {
    const stage = playing();
    stage.until(() => stage.marks.length >= 3);
    stage.press('extend');
    stage.until(() => stage.passes.length === 1);
    const [pass] = stage.passes;
    expect(heardOf(pass?.verdict as never)).toBe(32);
    expect(pass?.verdict.extra).toEqual([]);
  });

  it('expects nothing while a chord is held, and hears what comes after it', () => {
    const stage = playing('1 4 5 1 1 4 5 1');
    stage.until(() => stage.marks.some(({ bar }) => bar === 1));
    stage.press('hold');
    stage.until(
      () => stage.session.performance?.vamp?.until === null && stage.session.performance.vamp.from > 0,
    );
    stage.wait(6 * barMs);
    const before = stage.marks.length;
    stage.wait(2 * barMs);
    expect(stage.marks.length).toBe(before);
    stage.press('hold');
    stage.until(() => stage.passes.length === 1);
    const { verdict } = stage.passes[0] as never as { verdict: { extra: unknown[]; result: string } };
    expect(verdict.result).toBe('clean');
    expect(verdict.extra).toEqual([]);
    expect(stage.told.filter(({ kind }) => kind === 'company')).toEqual([]);
  });

  it('goes on where the tempo is changed in flight', () => {
    const stage = playing('1 4 5 1 1 4 5 1');
    stage.until(() => stage.marks.some(({ bar }) => bar === 2));
    for (let times = 0; times < 5; times += 1) stage.press('faster');
    stage.until(() => stage.passes.length === 1);
    const [pass] = stage.passes;
    expect(heardOf(pass?.verdict as never)).toBe(32);
    expect(stage.marks.filter(({ pass: nth, mark }) => nth === 1 && mark.place !== 'on')).toEqual([]);
  });

  it('hears a chord that comes before its bar', () => {
    const stage = playing("1 '4 5 1");
    stage.until(() => stage.passes.length === 1);
    const [pass] = stage.passes;
    const early = pass?.verdict.strokes.filter(({ expected }) => expected.early) ?? [];
    expect(early).toHaveLength(1);
    expect(early[0]?.expected.beat).toBeLessThan(0);
    expect(heardOf(pass?.verdict as never)).toBe(pass?.verdict.strokes.length);
    expect(stage.marks.filter(({ pass: nth, bar, beat }) => nth === 1 && bar === 1 && beat < 0)).toHaveLength(
      1,
    );
  });

  it('judges what was played when it is paused, as a part; and begins again after it', () => {
    const stage = playing();
    stage.until(() => stage.marks.filter(({ bar }) => bar === 2).length === 2);
    stage.press('play');
    stage.wait(2000);
    expect(stage.passes).toHaveLength(1);
    expect(stage.passes[0]?.began).toBeNull();
    const heard = heardOf(stage.passes[0]?.verdict as never);
    expect(heard).toBe(stage.passes[0]?.verdict.strokes.length);
    expect(heard).toBeGreaterThanOrEqual(10);
    stage.wait(3000);
    expect(stage.passes).toHaveLength(1);
    stage.press('play');
    stage.until(() => stage.passes.length === 2);
    expect(stage.passes[1]?.verdict.strokes.every(({ heard: one }) => one !== null)).toBe(true);
  });

  it('judges the last pass of a take as a whole one', () => {
    const stage = playing(four, { passes: 1 });
    stage.until(() => stage.passes.length === 1);
    expect(stage.session.link.state).toBe('stopped');
    expect(stage.passes[0]?.began).not.toBeNull();
    expect(heardOf(stage.passes[0]?.verdict as never)).toBe(16);
  });

  it('does not take a pass for a whole one that was heard from its middle on', () => {
    const stage = new HeardStage(four);
    stage.wait(50);
    stage.press('play');
    stage.wait(barMs + 2.4 * barMs);
    stage.listen();
    stage.until(() => stage.passes.length === 1 || (stage.session.performance?.cursor.pass ?? 0) > 2);
    for (const one of stage.passes.filter(({ began }) => began !== null))
      expect(one.verdict.strokes).toHaveLength(16);
    const partial = new HeardStage('1 4 5 1 1 4 5 1');
    partial.wait(50);
    partial.press('play');
    partial.wait(barMs + 3.4 * barMs);
    partial.listen();
    partial.until(() => partial.passes.length === 2);
    expect(partial.passes[0]?.began).toBeNull();
    expect(partial.passes[0]?.verdict.strokes.length).toBeLessThan(20);
    expect(partial.passes[0]?.verdict.strokes.every(({ heard }) => heard !== null)).toBe(true);
    expect(partial.passes[1]?.began).not.toBeNull();
  });

  it('has no stroke too few where there is no count-in', () => {
    const stage = playing(four, { countIn: 0 });
    stage.until(() => stage.passes.length === 1);
    expect(heardOf(stage.passes[0]?.verdict as never)).toBe(16);
    expect(stage.passes[0]?.verdict.strokes).toHaveLength(16);
    expect(stage.passes[0]?.began).not.toBeNull();
  });

  it('marks nothing before sixteen strokes have told how late they are heard, where that is unknown', () => {
    const stage = new HeardStage('1 4 5 1 1 4 5 1');
    stage.wait(50);
    stage.listen({ offset: null });
    stage.hand = () => 180;
    stage.press('play');
    stage.until(() => stage.marks.length > 0);
    expect(stage.marks[0]).toMatchObject({ pass: 1, bar: 4, beat: 0 });
    stage.until(() => stage.passes.length === 1);
    expect(stage.passes[0]?.verdict.absolute).toBe(false);
    expect(heardOf(stage.passes[0]?.verdict as never)).toBe(32);
    // In the next pass it is known.
    stage.until(() => stage.marks.some(({ pass, bar }) => pass === 2 && bar === 1));
    expect(stage.marks.filter(({ pass, bar }) => pass === 2 && bar === 0)).toHaveLength(4);
  });

  it('notices somebody else, and when they have gone', () => {
    const stage = playing('1 4 5 1 1 4 5 1');
    stage.hand = ({ at, kind }) => {
      // Between the strokes of the first four bars somebody plays as many.
      if (at > barMs && at < 5 * barMs) stage.strike(strokeAt(stage.host.now() - 190, kind));
      return 0;
    };
    stage.until(() => stage.told.some((one) => one.kind === 'company' && one.on));
    stage.until(() => stage.told.some((one) => one.kind === 'company' && !one.on));
    expect(stage.told.filter(({ kind }) => kind === 'company')).toHaveLength(2);
  });
});
