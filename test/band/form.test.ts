import { describe, expect, it } from 'vitest';
import { formOf, mirrored } from '../../src/band/form.js';
import { sameForm } from '../../src/band/same-form.js';
import { idOf, songFromChart, songFromSource } from '../../src/band/song.js';
import { carriedOn } from '../../src/band/tempo-steps.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { arranged, settled } from '../../src/playback/arranging.js';
import { onePassMore, sectionAgain, toEnding } from '../../src/playback/jumps.js';
import { type Performance, readyAt } from '../../src/playback/performance.js';
import { firstSession, type Session, withPerformance } from '../../src/playback/session.js';
import { setupOf, takeOf } from '../../src/playback/setup.js';
import { clock, setLoop } from '../../src/playback/transport.js';
import { holdChord } from '../../src/playback/vamp.js';
import { arrange } from '../../src/time/arrange.js';
import { begin, placeAt } from '../../src/time/conductor.js';
import { eventSize } from '../../src/time/event.js';
import { heldMsPerTick } from '../../src/time/segment.js';
import { demoChart, keyOf, mandolin, usualStart } from '../ui/model.js';
import { plainSong, tuneSong, windingSong, windingTune } from './songs.js';

const msPerTick = 60_000 / (120 * 960);

/** The music has run since time 0 and tick 0, a count-in of a bar before it. */
function running(text: string, more: object = {}): Session {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error(read.faults[0]?.message);
  const setup = setupOf(read.value, {
    ...usualStart,
    key: keyOf('G'),
    bpm: 120,
    countIn: 1,
    passes: null,
    range: null,
    from: 0,
    instrument: mandolin,
    plan: {},
    ...more,
  });
  const asked = settled({ ...firstSession, performance: readyAt(setup, 0) }, 0);
  const command = asked.commands.find(({ kind }) => kind === 'arrange');
  if (command?.kind !== 'arrange') throw new Error('no arrangement is asked for');
  const { session } = arranged(asked.session, command.id, arrange(command.chart, command.options), 0);
  const { performance } = session as { performance: Performance };
  const { conductor } = begin(
    takeOf(performance.setup, performance.arrangement as NonNullable<Performance['arrangement']>),
    0,
    0,
  );
  const link = { ...session.link, state: 'running' as const, spans: [{ tick: 0, time: 0, msPerTick }] };
  return withPerformance({ ...session, link }, { conductor });
}

const at = (session: Session, ms: number): Session => clock(session, ms).session;
const performanceOf = ({ performance }: Session): Performance => performance as Performance;

/** What a follower that was handed the form at a time plays, and the leader, at each of these ticks. */
function agree(session: Session, ms: number): void {
  const performance = performanceOf(session);
  const tick = Math.ceil(ms / msPerTick);
  const places = formOf(performance, tick);
  const follower = { ...performance, conductor: null };
  const made = mirrored(follower, places, tick);
  expect(made).not.toBeNull();
  if (!made || !performance.conductor) return;
  expect(sameForm(performance.conductor, made.conductor, tick)).toBe(true);
  for (let ahead = 0; ahead < 60; ahead += 1) {
    const there = tick + 777 * ahead;
    expect(placeAt(made.conductor, there)).toStrictEqual(placeAt(performance.conductor, there));
  }
}

describe('a form that is handed on', () => {
  it('is one place while the music goes as written', () => {
    expect(formOf(performanceOf(at(running(plainSong), 5000)), Math.ceil(5000 / msPerTick))).toStrictEqual([
      { tick: 9600, pass: 1, bar: 1, into: 1920, before: 1, counting: false, vamp: false },
    ]);
  });

  it('begins in the count', () => {
    const session = running(plainSong);
    expect(formOf(performanceOf(session), 960)).toStrictEqual([
      { tick: 960, pass: 1, bar: 0, into: 960, before: 0, counting: true, vamp: false },
    ]);
    agree(session, 500);
  });

  it('has each place to which the music is sent', () => {
    const session = sectionAgain(sectionAgain(at(running(plainSong), 5000), 5000).session, 5100).session;
    const places = formOf(performanceOf(session), 10_000);
    expect(places.map(({ tick, pass, bar }) => [tick, pass, bar])).toStrictEqual([
      [10_000, 1, 1],
      [19_200, 1, 0],
      [34_560, 1, 0],
    ]);
    agree(session, 5200);
  });

  it('is the same for a follower whatever was asked for', () => {
    const texts = [plainSong, windingSong];
    for (const text of texts) {
      const session = at(running(text), 5000);
      agree(session, 5000);
      agree(toEnding(session, 5000).session, 5200);
      agree(onePassMore(at(running(text, { passes: 2 }), 5000), 5000).session, 5200);
      agree(setLoop(session, 'to', 5000).session, 5200);
      const held = holdChord(session, 5000).session;
      agree(held, 5100);
      agree(at(held, 9000), 9000);
      const left = holdChord(at(held, 9000), 9000).session;
      agree(left, 9100);
      agree(at(running(text, { ramp: { to: 1.5, bars: 6 } }), 5000), 5000);
      agree(at(running(text, { holds: true }), 5000), 5000);
    }
  });

  it('is the same where something is asked for in a loop', () => {
    for (const text of [plainSong, windingSong, tuneSong, windingTune])
      for (const range of [
        { from: 0, to: 2 },
        { from: 2, to: 3 },
        { from: 2, to: 7 },
      ])
        for (const ms of [5000, 7000]) {
          const session = at(running(text, { range, from: range.from }), ms);
          agree(toEnding(session, ms).session, ms + 100);
          agree(sectionAgain(session, ms).session, ms + 100);
          agree(sectionAgain(sectionAgain(session, ms).session, ms).session, ms + 100);
        }
  });

  it('ends where it ends', () => {
    const session = at(running(plainSong, { passes: 1 }), 12_000);
    agree(session, 12_000);
    const made = mirrored(performanceOf(session), formOf(performanceOf(session), 24_000), 24_000);
    expect(placeAt((made as NonNullable<typeof made>).conductor, 9 * 3840)).toBeNull();
  });

  it('with a place that the chart does not have is refused', () => {
    const performance = performanceOf(at(running(plainSong), 5000));
    const [place] = formOf(performance, 9600);
    if (!place) throw new Error('no place');
    for (const wrong of [{ bar: 8 }, { into: 3840 }, { counting: true, into: 3840 }])
      expect(mirrored(performance, [{ ...place, ...wrong }], 9600)).toBeNull();
    expect(mirrored(performance, [], 9600)).toBeNull();
  });

  it('has no run of the bass into what does not come', () => {
    const walking = `${plainSong.replace('meter', 'bass: walk\nmeter')}`;
    const bassIn = (session: Session): number => {
      const performance = performanceOf(session);
      const made = mirrored({ ...performance, conductor: null }, formOf(performance, 16_000), 16_000);
      const events = made?.sends.flatMap(({ tick, segments }) =>
        segments.flatMap((one) =>
          Array.from({ length: one.events.length / eventSize }, (_, index) => ({
            tick: one.startTick - one.skip + (one.events[index * eventSize] as number),
            channel: (one.events[index * eventSize + 2] as number) & 15,
            from: tick,
          })),
        ),
      );
      // The last bar of the section, 15 360 to 19 200, after what was played before.
      return (events ?? []).filter(({ tick, channel }) => channel === 2 && tick >= 16_000 && tick < 19_200)
        .length;
    };
    const session = at(running(walking), 5000);
    expect(bassIn(sectionAgain(session, 5000).session)).toBeLessThan(bassIn(session));
  });
});

describe('spans that are carried on', () => {
  it('change where the chart’s tempo does, by as much, whatever share it is played at', () => {
    const { conductor } = performanceOf(at(running(windingSong), 1000));
    if (!conductor) throw new Error('no conductor');
    const spans = [{ tick: 0, time: 0, msPerTick: 1 }];
    const carried = carriedOn(spans, conductor, 60 * 3840);
    // From 160 to 120 after the fourth bar of the second section, to 180 in the last, then to 160 with the next pass.
    const changes = carried.map(({ msPerTick: ms }) => Math.round(ms * 1e4) / 1e4);
    expect(changes.slice(0, 4)).toStrictEqual([1, 1.3333, 0.8889, 1]);
    expect(carriedOn(carried, conductor, 60 * 3840)).toStrictEqual(carried);
  });

  it('stand still where the music waits', () => {
    const { conductor } = performanceOf(at(running(windingSong, { holds: true }), 1000));
    if (!conductor) throw new Error('no conductor');
    const carried = carriedOn([{ tick: 0, time: 0, msPerTick: 0.5 }], conductor, 10 * 3840);
    expect(carried[1]).toMatchObject({ msPerTick: heldMsPerTick });
    expect(carried[2]?.msPerTick).toBe(0.5);
  });
});

describe('a song that is shared', () => {
  const names = [
    'copperwort-lane',
    'half-a-mile-of-fog',
    'lockkeepers-candle',
    'nine-barges-late',
    'osier-and-twine',
    'third-lantern-down',
    'weir-hands',
  ];

  it.each(names)('plays the same for all: %s', (name) => {
    const own = songFromChart(demoChart(name));
    const other = songFromSource(own.id, own.source);
    if (!other) throw new Error('it does not read');
    const bars = (chart: typeof own.chart, final: boolean) =>
      unroll(chart, { final }).bars.map(({ source: _, ...bar }) => bar);
    for (const final of [false, true]) expect(bars(other.chart, final)).toStrictEqual(bars(own.chart, final));
  });

  it('is refused where its id is another’s', () => {
    expect(songFromSource('1abc', plainSong)).toBeNull();
    expect(idOf(plainSong)).not.toBe(idOf(`${plainSong} `));
  });
});
