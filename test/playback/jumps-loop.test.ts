import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { arranged, settled } from '../../src/playback/arranging.js';
import { sectionAgain, toEnding } from '../../src/playback/jumps.js';
import { readyAt } from '../../src/playback/performance.js';
import { firstSession, type Session, withPerformance } from '../../src/playback/session.js';
import { setupOf, takeOf } from '../../src/playback/setup.js';
import { setLoop } from '../../src/playback/transport.js';
import { arrange } from '../../src/time/arrange.js';
import { begin, placeAt } from '../../src/time/conductor.js';
import { keyOf, mandolin, usualStart } from '../ui/model.js';

const text = `title: Osier Steps
key: G
tempo: 60
meter: 4/4
form: V, C
sections:
  V: |
    1 1 1 1
  C: |
    4 4 1 1
`;

/** The first two bars are gone round in since time 0, a quarter a second. */
function looping(passes: number | null = null): Session {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error('the chart does not read');
  const setup = setupOf(read.value, {
    ...usualStart,
    key: keyOf('G'),
    bpm: 60,
    countIn: 0,
    passes,
    range: { from: 0, to: 2 },
    from: 0,
    instrument: mandolin,
    plan: {},
  });
  const asked = settled({ ...firstSession, performance: readyAt(setup, 0) }, 0);
  const command = asked.commands.find(({ kind }) => kind === 'arrange');
  if (command?.kind !== 'arrange') throw new Error('no arrangement is asked for');
  const arrangement = arrange(command.chart, command.options);
  const { session } = arranged(asked.session, command.id, arrangement, 0);
  const { conductor } = begin(takeOf(setup, arrangement), 0, 0);
  const link = {
    ...session.link,
    state: 'running' as const,
    spans: [{ tick: 0, time: 0, msPerTick: 1000 / 960 }],
  };
  return withPerformance({ ...session, link }, { conductor });
}

/** The bars that are played from a time on, one after the other. */
function barsFrom({ performance }: Session, ms: number, count: number): (number | null)[] {
  const conductor = performance?.conductor;
  return Array.from({ length: count }, (_, bar) => {
    const tick = Math.ceil((ms / 1000) * 960) + bar * 4 * 960;
    return (conductor && placeAt(conductor, tick)?.bar) ?? null;
  });
}

describe('the ending, asked for in a loop that it lies outside of', () => {
  const { session, commands } = toEnding(looping(), 5000);
  const segments = commands.flatMap((one) => ('segments' in one ? one.segments : []));

  it('is played, and the loop is left for it', () => {
    expect(session.performance?.setup.range).toBeNull();
    const { conductor, jump } = session.performance ?? {};
    const [tick = 0] = jump?.ticks ?? [];
    expect(conductor && placeAt(conductor, tick)).toMatchObject({ bar: 4, into: 0, pass: 2 });
  });

  it('sends nothing that lasts no time', () => {
    expect(segments.length).toBeGreaterThan(0);
    expect(segments.filter(({ length, tempoMap }) => length <= 0 || tempoMap.length === 0)).toStrictEqual([]);
  });

  it('comes when the section is over, which is played to its end', () => {
    expect(barsFrom(session, 5000, 5)).toStrictEqual([1, 2, 3, 4, 5]);
  });
});

describe('once more, asked for in a loop', () => {
  it('is once more what is gone round in', () => {
    const { session } = sectionAgain(sectionAgain(looping(), 1000).session, 1000);
    expect(session.performance?.jump).toMatchObject({ bar: 0, ticks: [8 * 960, 16 * 960] });
    expect(barsFrom(session, 1000, 6)).toStrictEqual([0, 1, 0, 1, 0, 1]);
  });

  it('leaves no silence in the last pass', () => {
    const { session } = sectionAgain(looping(1), 1000);
    expect(barsFrom(session, 1000, 5)).toStrictEqual([0, 1, 0, 1, null]);
  });

  it('holds no more when there is another loop, or none', () => {
    for (const mark of ['to', 'off'] as const) {
      const { session } = setLoop(sectionAgain(looping(), 1000).session, mark, 1000);
      expect(session.performance?.jump).toBeNull();
    }
    const ending = setLoop(toEnding(looping(), 1000).session, 'to', 1000).session.performance;
    expect([ending?.jump, ending?.setup.passes]).toStrictEqual([null, null]);
  });
});
