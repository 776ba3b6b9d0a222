import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { arranged, settled } from '../../src/playback/arranging.js';
import { sectionAgain } from '../../src/playback/jumps.js';
import { readyAt } from '../../src/playback/performance.js';
import { type Command, firstSession, type Session, withPerformance } from '../../src/playback/session.js';
import { setupOf, takeOf } from '../../src/playback/setup.js';
import { holdChord } from '../../src/playback/vamp.js';
import { arrange } from '../../src/time/arrange.js';
import { begin } from '../../src/time/conductor.js';
import { eventSize } from '../../src/time/event.js';
import type { Segment } from '../../src/time/segment.js';
import { keyOf, mandolin, usualStart } from '../ui/model.js';

const text = `title: Osier Steps
key: G
tempo: 60
meter: 4/4
bass: walk
form: V, C
sections:
  V: |
    1 1 1 1
  C: |
    4 4 1 1
`;

/** The music has run since time 0, a quarter a second. */
function running(): { session: Session; segments: readonly Segment[] } {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error('the chart does not read');
  const setup = setupOf(read.value, {
    ...usualStart,
    key: keyOf('G'),
    bpm: 60,
    countIn: 0,
    passes: null,
    range: null,
    from: 0,
    instrument: mandolin,
    plan: {},
  });
  const asked = settled({ ...firstSession, performance: readyAt(setup, 0) }, 0);
  const command = asked.commands.find(({ kind }) => kind === 'arrange');
  if (command?.kind !== 'arrange') throw new Error('no arrangement is asked for');
  const arrangement = arrange(command.chart, command.options);
  const { session } = arranged(asked.session, command.id, arrangement, 0);
  const { conductor, segments } = begin(takeOf(setup, arrangement), 0, 0);
  const link = {
    ...session.link,
    state: 'running' as const,
    spans: [{ tick: 0, time: 0, msPerTick: 1000 / 960 }],
  };
  return { session: withPerformance({ ...session, link }, { conductor }), segments };
}

/** The bass of a bar of four on the transport, after commands were obeyed. */
function bassIn(bar: number, segments: readonly Segment[], commands: readonly Command[]): number[] {
  let queue = segments.map((segment) => ({ segment, until: segment.startTick + segment.length }));
  for (const command of commands) {
    if (command.kind === 'replace')
      queue = queue
        .filter(({ segment }) => segment.startTick < command.tick)
        .map((one) => ({ ...one, until: Math.min(one.until, command.tick) }));
    if (command.kind === 'replace' || command.kind === 'append')
      queue.push(
        ...command.segments.map((segment) => ({ segment, until: segment.startTick + segment.length })),
      );
  }
  const found: { tick: number; note: number }[] = [];
  for (const { segment, until } of queue)
    for (let index = 0; index < segment.events.length; index += eventSize) {
      const message = segment.events[index + 2] as number;
      const at = segment.events[index] as number;
      const tick = segment.startTick - segment.skip + at;
      const sounds = (at >= segment.skip || segment.skip === 0) && tick < until;
      if (sounds && (message & 15) === 2) found.push({ tick, note: (message >> 8) & 127 });
    }
  return found
    .filter(({ tick }) => tick >= bar * 3840 && tick < (bar + 1) * 3840)
    .sort((one, other) => one.tick - other.tick)
    .map(({ note }) => note);
}

// G 31, A 33, B 35 lead to C 36; D 38 answers G where nothing is led to.
describe('a run of the bass before a jump', () => {
  it('leads into the next section as written', () => {
    const { segments } = running();
    expect(bassIn(3, segments, [])).toStrictEqual([31, 33, 35]);
  });

  it('is left out where the section is played once more, and is there before the next one', () => {
    const { session, segments } = running();
    const { commands } = sectionAgain(session, 5000);
    expect(bassIn(3, segments, commands)).toStrictEqual([31, 38]);
    expect(bassIn(7, segments, commands)).toStrictEqual([31, 33, 35]);
    expect(bassIn(8, segments, commands)[0]).toBe(36);
  });

  it('is left out of the first of two more times too', () => {
    const { session, segments } = running();
    const once = sectionAgain(session, 5000);
    const twice = sectionAgain(once.session, 6000);
    const commands = [...once.commands, ...twice.commands];
    expect([3, 7, 11].map((bar) => bassIn(bar, segments, commands))).toStrictEqual([
      [31, 38],
      [31, 38],
      [31, 33, 35],
    ]);
  });

  it('is left out where everybody waits on the chord', () => {
    const { session, segments } = running();
    // In the fourth bar, before its run begins.
    const { commands } = holdChord(session, 13_000);
    expect(bassIn(3, segments, commands)).toStrictEqual([31, 38]);
    expect(bassIn(4, segments, commands)).toStrictEqual([31, 38]);
  });
});
