import { describe, expect, it } from 'vitest';
import { chopCount, choppedTempo, startByChops } from '../../../src/listen/live/start-by-chops.js';
import { arranged, settled } from '../../../src/playback/arranging.js';
import { heard } from '../../../src/playback/heard.js';
import { readyAt } from '../../../src/playback/performance.js';
import { firstSession, type Played, type Session } from '../../../src/playback/session.js';
import { setupOf } from '../../../src/playback/setup.js';
import { clock } from '../../../src/playback/transport.js';
import { arrange } from '../../../src/time/arrange.js';
import { demoChart, mandolin, usualStart } from '../../ui/model.js';

const chart = demoChart('weir-hands');
const setup = setupOf(chart, {
  ...usualStart,
  key: chart.key,
  bpm: 240,
  countIn: 2,
  passes: null,
  range: null,
  from: 0,
  instrument: mandolin,
  plan: {},
});

/** A chart that is ready, or still being planned. */
function session(ready = true, lead = 5): Session {
  const asked = settled({ ...firstSession, performance: readyAt(setup, 0) }, 0);
  const command = asked.commands.find(({ kind }) => kind === 'arrange');
  const planned =
    ready && command?.kind === 'arrange'
      ? arranged(asked.session, command.id, arrange(command.chart, command.options), 0).session
      : asked.session;
  return { ...planned, link: { ...planned.link, output: 'silent', lead, freeTick: 100 } };
}

/** Four chops so many ms apart, the last heard at 10 000. */
const chops = (beat: number) => ({ beat, last: 10_000, next: 10_000 + beat });
const free = { late: 40, prescribed: false };

/** The message to play, the phases of what is sent, and what is said. */
function said({ commands, events }: Played) {
  const tells = commands.flatMap((one) => (one.kind === 'tell' ? [one.message] : []));
  const segments = commands.flatMap((one) => (one.kind === 'replace' ? one.segments : []));
  return {
    play: tells.find(({ kind }) => kind === 'play'),
    counted: segments.filter(({ song }) => song === null).length,
    msPerTick: segments[0]?.tempoMap[1],
    notice: events.findLast((one) => one.kind === 'notice')?.text,
  };
}

describe('how many chops begin a chart', () => {
  it.each([
    [4, 4, 4],
    [2, 4, 4],
    [3, 4, 6],
    [2, 2, 4],
    [5, 4, 5],
    [6, 8, 4],
    [9, 8, 6],
    [12, 8, 4],
    [7, 8, 7],
  ] as const)('in %i/%i: %i', (beats, unit, count) => {
    expect(chopCount({ meter: { beats, unit } })).toBe(count);
  });
});

describe('the tempo of chops', () => {
  it.each([
    [250, 240],
    [251.3, 239],
    [200, 300],
    [410, 146],
    // Every other beat, and twice as fast: no tempo of this chart.
    [500, null],
    [120, null],
  ])('%f ms apart is %s', (beat, tempo) => {
    expect(choppedTempo(setup, beat)).toBe(tempo);
  });

  it('is as the chart counts: halves', () => {
    const cut = demoChart('tollhouse-kettle');
    expect(choppedTempo({ chart: cut, bpm: 118 }, 500)).toBe(120);
  });
});

describe('music that is begun by chops', () => {
  it('begins on the beat that follows, as late as it is heard, at the tempo chopped, without a count', () => {
    const begun = startByChops(session(), chops(260), free, 10_060);
    expect(said(begun)).toEqual({
      play: { kind: 'play', tick: 100, at: 10_220 },
      counted: 0,
      msPerTick: expect.closeTo(60_000 / 231 / 960, 6),
      notice: '231, as chopped',
    });
    expect(begun.session.performance?.setup.bpm).toBe(231);
    expect(begun.session.performance?.cursor).toMatchObject({ counting: false, beat: null });
    // The hand is planned for the new tempo meanwhile.
    expect(settled(begun.session, 10_060).commands.map(({ kind }) => kind)).toEqual(['arrange']);
  });

  it('counts the bar that it cannot begin in time, from where it can, and begins with the next', () => {
    const begun = startByChops(session(true, 150), chops(240), free, 10_060);
    expect(said(begun)).toMatchObject({
      play: { kind: 'play', tick: 100, at: 10_200 },
      counted: 1,
      notice: '250, as chopped; it begins with the next bar',
    });
  });

  it('counts in at the tempo that is prescribed, from the beat that follows', () => {
    const begun = startByChops(session(), chops(300), { late: 40, prescribed: true }, 10_060);
    expect(said(begun)).toMatchObject({
      play: { at: 10_260 },
      counted: 1,
      msPerTick: expect.closeTo(60_000 / 240 / 960, 6),
    });
    expect(begun.session.performance?.setup.bpm).toBe(240);
    const late = startByChops(session(true, 400), chops(300), { late: 40, prescribed: true }, 10_060);
    expect(said(late).play).toMatchObject({ at: 10_560 });
  });

  it('takes strokes to be heard 40 ms late where that was never measured, and says so', () => {
    const begun = startByChops(session(), chops(260), { late: null, prescribed: false }, 10_060);
    expect(said(begun)).toMatchObject({
      play: { at: 10_220 },
      notice: '231, as chopped; a delay of 40 ms is assumed: barkline listen --calibrate measures it',
    });
  });

  it('begins nothing at a tempo out of reach, and says so', () => {
    const begun = startByChops(session(), chops(500), free, 10_060);
    expect(begun.commands).toEqual([]);
    expect(said(begun).notice).toBe(
      'you chopped at 120, too far from the tempo 240: chop every beat, or set another tempo',
    );
  });

  it('begins as soon as it can what is still being planned', () => {
    const begun = startByChops(session(false), chops(260), free, 10_060);
    expect(begun.session.performance).toMatchObject({ eager: true, setup: { bpm: 231 } });
    expect(begun.commands).toEqual([]);
  });

  it('leaves what plays, and what an external clock begins', () => {
    const ready = session();
    const plays: Session = { ...ready, link: { ...ready.link, state: 'running' } };
    expect(startByChops(plays, chops(260), free, 10_060)).toEqual({
      session: plays,
      commands: [],
      events: [],
    });
    const led: Session = {
      ...ready,
      link: { ...ready.link, following: { label: 'a drummer', state: null, song: 0 } },
    };
    expect(startByChops(led, chops(260), free, 10_060).commands).toEqual([]);
  });

  it('stands still until it begins, and a plan that comes before that does not move it', () => {
    const begun = startByChops(session(), chops(400), free, 10_060).session;
    const asked = settled(begun, 10_060);
    const msPerTick = 400 / 960;
    const running = heard(asked.session, { kind: 'state', state: 'running', tick: 100 }, 10_062).session;
    const placed = heard(running, { kind: 'spans', spans: [{ tick: 100, time: 10_360, msPerTick }] }, 10_062);
    expect(clock(placed.session, 10_200).session.performance?.cursor.beat).toBeNull();
    const command = asked.commands.find(({ kind }) => kind === 'arrange');
    if (command?.kind !== 'arrange') throw new Error('no plan was asked for');
    const planned = arranged(placed.session, command.id, arrange(command.chart, command.options), 10_200);
    const replaced = planned.commands.find(({ kind }) => kind === 'replace');
    expect(replaced).toMatchObject({ tick: 100, segments: [{ startTick: 100, skip: 0, song: 0 }] });
    expect(clock(planned.session, 10_361).session.performance?.cursor).toMatchObject({ bar: 0, beat: 0 });
  });

  it('keeps the count that it began with when a plan comes in the middle of it', () => {
    const begun = startByChops(session(true, 200), chops(400), free, 10_160).session;
    const asked = settled(begun, 10_160);
    const running = heard(asked.session, { kind: 'state', state: 'running', tick: 100 }, 10_162).session;
    const spans = [{ tick: 100, time: 10_360, msPerTick: 400 / 960 }];
    const placed = heard(running, { kind: 'spans', spans }, 10_400).session;
    const command = asked.commands.find(({ kind }) => kind === 'arrange');
    if (command?.kind !== 'arrange') throw new Error('no plan was asked for');
    const planned = arranged(placed, command.id, arrange(command.chart, command.options), 10_800);
    const segments = planned.commands.flatMap((one) => (one.kind === 'replace' ? one.segments : []));
    // One bar was counted from tick 100 on, though two are set.
    expect(segments[1]).toMatchObject({ startTick: 100 + 4 * 960, song: 0 });
  });
});
