import { describe, expect, it } from 'vitest';
import { passPieces } from '../../src/listen/pass-pieces.js';
import { chartTake } from './chart-take.js';
import { judgedTake, recording, writtenPlan } from './recording.js';
import { instruments, rate, renderable, rendered } from './rendered.js';

const chart = (stop: string): string =>
  `title: Gate\nkey: G\ntempo: 160\nsections:\n  V: |\n    1 1 4 1\n    5 5 1 ${stop}\n    4 4 1 1\n    5 5 1 1\n`;

describe('a pass in which time may stand still', () => {
  it.each([
    ['1_', 29],
    ['1 @wait', 32],
  ])('has a piece before %s and one behind it', (stop, first) => {
    const plan = writtenPlan(chart(stop));
    expect(passPieces(plan)).toEqual([
      { from: 0, to: first },
      { from: first, to: plan.expected.length },
    ]);
  });

  it('is one piece where it stands still nowhere', () => {
    const plan = writtenPlan(chart('1'));
    expect(passPieces(plan)).toEqual([{ from: 0, to: plan.expected.length }]);
  });
});

describe.runIf(renderable() === null)('a recording of it', () => {
  it.each([
    ['1_', 2300, 31, null],
    ['1 @wait', 2300, 32, null],
    ['1 @wait', -600, 33, null],
    ['1_', 2300, 34, 1.1],
  ])(
    'is judged behind %s that lasts %i ms longer than written (%i, slowness %s)',
    { timeout: 60_000 },
    (stop, longer, seed, slowness) => {
      const plan = writtenPlan(chart(stop));
      const slow = slowness ?? 1.1;
      const behind = plan.expected.find(({ bar }) => bar === 8)?.at ?? 0;
      const played = chartTake(plan.expected, {
        seed,
        jitter: 10,
        timeOf: (place) => 1500 + slow * place + (place > behind - 1 ? longer : 0),
      });
      const wav = recording(rendered(played, instruments.mandolin), rate);
      const { passes } = judgedTake(wav, plan, { slowness });
      expect(passes).toHaveLength(1);
      const { strokes, wrong, changes, timing } = passes[0]?.verdict ?? {};
      expect(strokes?.filter(({ heard }) => heard).length).toBeGreaterThan(0.95 * played.length);
      expect(wrong).toEqual([]);
      expect(changes?.filter(({ late }) => late > 0)).toEqual([]);
      expect(timing?.chop?.spread).toBeLessThan(14);
    },
  );
});
