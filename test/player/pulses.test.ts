import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LaneOptions } from '../../src/player/lane.js';
import { lateLimit } from '../../src/player/lane.js';
import { begin, positionAt, retake, type Take } from '../../src/time/conductor.js';
import { type Segment, tickAt, timeAt } from '../../src/time/segment.js';
import { anyTake, goOn, take } from '../time/takes.js';
import { between, Rig, timeline } from './music.js';
import { segment } from './segments.js';
import { RecordingOutput, type Sent } from './virtual-host.js';

// MIDI 1.0: 24 pulses a quarter; at 120 one each 20.8333 ms.
const pulseMs = 500 / 24;
const isPulse = ({ status }: Sent): boolean => status === 0xf8;

/** A rig whose output is sent the clock. */
function clocked(lead = 0, options: Omit<LaneOptions, 'levels'> = {}): Rig {
  const rig = new Rig(lead);
  rig.loop.setOutputs([{ output: rig.output, options: { ...options, clock: true } }]);
  return rig;
}

/** Plays segments for so many ms from the start of the first; answers when that was. */
function playFor(rig: Rig, segments: readonly Segment[], ms: number): number {
  rig.play(segments);
  const first = rig.spans[0]?.time as number;
  rig.host.advance(first + ms);
  return first;
}

/** What an output was told beside pulses and notes, as `f2 10 00`, with the time in ms from `first`. */
const words = (sent: readonly Sent[], first = 0): [word: string, ms: number][] =>
  sent
    .filter((one) => one.status >= 0xf0 && !isPulse(one))
    .map(({ status, note, velocity, time }) => {
      const data = status === 0xf2 ? [note, velocity] : [];
      return [[status, ...data].map((byte) => byte.toString(16).padStart(2, '0')).join(' '), time - first];
    });
const wordsOnly = (sent: readonly Sent[]): string[] => words(sent).map(([word]) => word);
const pulseTimes = (sent: readonly Sent[], first = 0): number[] =>
  sent.filter(isPulse).map(({ time }) => time - first);

/**
 * Gear that follows (MIDI 1.0): start goes to zero, song position counts six pulses, and the pulse after start or
 * continue is the one that the place stands for. `place`: pulses from the song's start at the last pulse; `null`: it stands.
 */
function gear(sent: readonly Sent[]): { place: number | null; next: number } {
  let [next, running] = [0, false];
  let place: number | null = null;
  for (const { status, note, velocity } of sent) {
    if (status === 0xf2) next = (note | (velocity << 7)) * 6;
    if (status === 0xfa) next = 0;
    if (status === 0xfa || status === 0xfb) running = true;
    if (status === 0xfc) [running, place] = [false, null];
    if (status === 0xf8 && running) {
      place = next;
      next += 1;
    }
  }
  return { place, next };
}

const loop = (written: string, changes: Partial<Take> = {}): Take =>
  take(written, { passes: null, countIn: 0, ...changes });

describe('the pulses', () => {
  it('are 24 a quarter from the count-in’s first beat to the end', () => {
    const rig = clocked();
    const first = playFor(rig, begin(take('1'), 0, 0).segments, 6000);
    const times = pulseTimes(rig.output.sent, first);
    // A bar of count-in and one of music.
    expect(times).toHaveLength(2 * 4 * 24);
    for (const [index, time] of times.entries()) expect(time).toBeCloseTo(index * pulseMs, 6);
  });

  it.each([
    [60, '4/4', 1000 / 24],
    [240, '4/4', 250 / 24],
    [120, '6/8', 500 / 24],
    [120, '2/2', 500 / 24],
  ])('at %i quarters a minute in %s come one each %f ms', (tempo, meter, ms) => {
    const rig = clocked();
    const first = playFor(rig, begin(take('1', { countIn: 0 }, { tempo, meter }), 0, 0).segments, 900);
    const times = pulseTimes(rig.output.sent, first);
    expect(times.length).toBeGreaterThan(20);
    for (const [index, time] of times.entries()) expect(time).toBeCloseTo(index * ms, 6);
  });

  it('go on with the tempo of each bar', () => {
    const rig = clocked();
    const { segments } = begin(take('1 @tempo=60 4', { countIn: 0 }), 0, 0);
    const first = playFor(rig, segments, 7000);
    const times = pulseTimes(rig.output.sent, first);
    expect(times).toHaveLength(2 * 96);
    // The second bar is half as fast.
    for (const [index, time] of times.entries())
      expect(time).toBeCloseTo(index * pulseMs + Math.max(0, index - 96) * pulseMs, 6);
  });

  it('are not sent to an output that is not to have them', () => {
    const rig = new Rig();
    playFor(rig, begin(take('1 4'), 0, 0).segments, 8000);
    expect(rig.output.ons.length).toBeGreaterThan(0);
    expect(rig.output.sent.filter(({ status }) => status >= 0xf0)).toStrictEqual([]);
  });

  it.each([
    ['a lead', 150, 0],
    ['an offset', 0, 30],
    ['an offset backwards', 0, -30],
    ['both', 150, 12.5],
  ])('leave as early as notes do: %s', (_, lead, offset) => {
    const rig = clocked(lead, { offset });
    const first = playFor(rig, begin(loop('1 4'), 0, 0).segments, 3000);
    const pulses = rig.output.sent.filter(isPulse);
    expect(pulses.length).toBeGreaterThan(100);
    for (const [index, { time, sentAt }] of pulses.entries()) {
      expect(time).toBeCloseTo(first + index * pulseMs - offset, 6);
      expect(sentAt).toBeCloseTo(time - lead, 6);
    }
  });

  it('go after the click and before the other notes of their instant', () => {
    const rig = clocked();
    const first = playFor(rig, begin(take('1~ 4', { countIn: 0 }), 0, 0).segments, 3000);
    const instant = rig.output.sent.filter(({ time }) => Math.abs(time - first - 2000) < 1e-6);
    expect(instant.map(({ status }) => status.toString(16))).toStrictEqual(['99', 'f8', '92', '90']);
  });

  it('go after the note-offs of their instant', () => {
    // A millisecond a tick: a pulse falls on every fortieth.
    const notes = [
      [0, 400, 60],
      [400, 10, 62],
    ] as const;
    const rig = clocked();
    const first = playFor(rig, [segment({ onEnd: 'stop' }, notes)], 500);
    const instant = rig.output.sent.filter(({ time }) => Math.abs(time - first - 400) < 1e-6);
    expect(instant.map(({ status, note }) => [status, note])).toStrictEqual([
      [0x81, 60],
      [0xf8, 0],
      [0x91, 62],
    ]);
  });
});

describe('the word to start', () => {
  it('comes half a pulse before the first pulse of the music, and not in the count-in', () => {
    const rig = clocked();
    const first = playFor(rig, begin(take('1 4'), 0, 0).segments, 3000);
    const told = words(rig.output.sent, first);
    expect(told.map(([word]) => word)).toStrictEqual(['fa']);
    expect(told[0]?.[1]).toBeCloseTo(2000 - pulseMs / 2, 6);
    // Ninety-six pulses of count-in go before it.
    expect(gear(rig.output.sent).place).toBe(pulseTimes(rig.output.sent).length - 1 - 96);
  });

  // MIDI 1.0: song position counts units of six pulses, the least significant seven bits first.
  it.each([
    ['bar 2 of four', {}, 1, 'f2 10 00'],
    ['bar 3 of four', {}, 2, 'f2 20 00'],
    ['bar 9 of four', {}, 8, 'f2 00 01'],
    ['bar 10 of four', {}, 9, 'f2 10 01'],
    ['bar 2 of three', { meter: '3/4' }, 1, 'f2 0c 00'],
    ['bar 2 of 6/8', { meter: '6/8' }, 1, 'f2 0c 00'],
    ['bar 2 in cut time', { meter: '2/2' }, 1, 'f2 10 00'],
  ])('begun at %s is the song position and the word to go on', (_, head, index, position) => {
    const rig = clocked();
    const made = take('1 1 1 1 1 1 1 1 1 1', {}, head);
    const { segments } = begin(made, index, 0);
    const first = playFor(rig, segments, 3500);
    const told = words(rig.output.sent, first);
    expect(told.map(([word]) => word)).toStrictEqual([position, 'fb']);
    const music = (segments[1]?.startTick ?? 0) * (500 / 960);
    for (const [, ms] of told) expect(ms).toBeCloseTo(music - pulseMs / 2, 6);
  });

  it('comes before the first pulse where nothing is counted in', () => {
    const rig = clocked();
    playFor(rig, begin(take('1', { countIn: 0 }), 0, 0).segments, 1000);
    const told = rig.output.sent.map(({ status }) => status).filter((status) => status >= 0xf0);
    expect(told.slice(0, 3)).toStrictEqual([0xfa, 0xf8, 0xf8]);
  });

  it('names no place beyond what fourteen bits can say', () => {
    const rig = clocked();
    playFor(rig, [segment({ song: 240 * 20_000, jump: true })], 500);
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['f2 7f 7f', 'fb']);
  });

  it('names the place of a loop in its pass', () => {
    const rig = clocked();
    playFor(rig, begin(loop('1 4 5 1', { range: { from: 1, to: 3 } }), 1, 0).segments, 1000);
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['f2 10 00', 'fb']);
  });

  it('comes once over the seams of a loop, and the pulses are even there', () => {
    const rig = clocked();
    const first = playFor(rig, begin(loop('1 4'), 0, 0).segments, 20 * 4000);
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['fa']);
    const times = pulseTimes(rig.output.sent, first);
    expect(times.length).toBeGreaterThan(20 * 2 * 96 - 2);
    const uneven = times.filter((time, index) => Math.abs(time - index * pulseMs) > 1e-6);
    expect(uneven).toStrictEqual([]);
  });

  it('comes once over passes that are sent one by one, and when the tempo changes in flight', () => {
    const rig = clocked();
    const made = take('1 4', { passes: 3, countIn: 0 });
    const begun = begin(made, 0, 0);
    const first = playFor(rig, begun.segments, 1234);
    const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + 25));
    rig.loop.replace(tick, retake(begun.conductor, { ...made, share: 0.5 }, tick).segments);
    // Over both seams: the third pass ends at 22.7 s.
    rig.host.advance(first + 22_000);
    expect(rig.states.at(-1)).toBe('running');
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['fa']);
    const now = tickAt(rig.spans, rig.host.now());
    expect(gear(rig.output.sent).place).toBe(Math.floor(now / 40 + 1e-6));
  });
});

describe('the word to stop', () => {
  it('comes at the end, after the last pulse', () => {
    const rig = clocked();
    const first = playFor(rig, begin(take('1'), 0, 0).segments, 6000);
    expect(rig.states).toStrictEqual(['running', 'stopped']);
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['fa', 'fc']);
    const [, stop] = words(rig.output.sent, first);
    // Two bars of two seconds; a timer is as fine as a millisecond.
    expect(stop?.[1]).toBeGreaterThanOrEqual(4000);
    expect(stop?.[1]).toBeLessThan(4001);
    expect(gear(rig.output.sent)).toStrictEqual({ place: null, next: 96 });
  });

  it('comes at a pause, and no pulse after it', () => {
    const rig = clocked();
    const first = playFor(rig, begin(take('1 4'), 0, 0).segments, 3333);
    const now = rig.host.now() - first;
    rig.loop.pause();
    rig.host.advance(first + 9000);
    expect(words(rig.output.sent, first)).toHaveLength(2);
    expect(words(rig.output.sent, first)[1]).toStrictEqual(['fc', now]);
    expect(Math.max(...pulseTimes(rig.output.sent, first))).toBeLessThanOrEqual(now);
    expect(rig.output.unflushed).toBe(0);
  });

  it('is not sent to gear that was never started: a pause in the count-in', () => {
    const rig = clocked();
    playFor(rig, begin(take('1 4'), 0, 0).segments, 1000);
    rig.loop.pause();
    expect(pulseTimes(rig.output.sent).length).toBeGreaterThan(40);
    expect(wordsOnly(rig.output.sent)).toStrictEqual([]);
  });

  it('is followed by a new start when the music is played again', () => {
    const rig = clocked();
    playFor(rig, begin(take('1 4'), 0, 0).segments, 3000);
    rig.loop.pause();
    playFor(rig, begin(take('1 4'), 1, 100_000, 1, 50).segments, 3000);
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['fa', 'fc', 'f2 10 00', 'fb']);
  });
});

describe('a jump', () => {
  it('while it runs sends stop, the new place and go on, half a pulse before the first pulse there', () => {
    const rig = clocked();
    const made = loop('1 4 5 1');
    const { segments, conductor } = begin(made, 0, 0);
    const first = playFor(rig, segments, 1010);
    const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + 25));
    const there = timeAt(rig.spans, tick) - first;
    rig.loop.replace(tick, retake(conductor, made, tick, 2).segments);
    rig.host.advance(first + 2000);
    const told = words(rig.output.sent, first).slice(1);
    expect(told.map(([word]) => word)).toStrictEqual(['fc', 'f2 20 00', 'fb']);
    for (const [, ms] of told) expect(ms).toBeCloseTo(there - pulseMs / 2, 6);
    // The pulses stand on the new bar: the first of them on its first beat.
    const behind = pulseTimes(rig.output.sent, first).filter((ms) => ms > there - 1e-6);
    expect(behind.length).toBeGreaterThan(40);
    for (const [index, ms] of behind.entries()) expect(ms).toBeCloseTo(there + index * pulseMs, 6);
  });

  it('to the start of the song starts it again', () => {
    const rig = clocked();
    const made = loop('1 4 5 1');
    const { segments, conductor } = begin(made, 1, 0);
    playFor(rig, segments, 1010);
    const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + 25));
    rig.loop.replace(tick, retake(conductor, made, tick, 0).segments);
    rig.host.advance(rig.host.now() + 500);
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['f2 10 00', 'fb', 'fc', 'fa']);
  });

  it('leaves gear where the music is, whatever jumps and changes of tempo went before it', () => {
    const change = fc.record({
      ms: between(50, 3000),
      to: fc.option(fc.integer({ min: 0, max: 3 }), { freq: 3, nil: undefined }),
      share: fc.constantFrom(0.5, 0.8, 1),
    });
    const jump = fc.record({
      ms: between(50, 3000),
      to: fc.integer({ min: 0, max: 3 }),
      share: fc.constant(1),
    });
    const passages = fc.constantFrom('1 4 5 1', '1 @3/4 4 5 @tempo=90 1');
    fc.assert(
      fc.property(passages, fc.array(change, { maxLength: 3 }), jump, (written, list, last) => {
        const rig = clocked();
        const made = take(written, { passes: null }, { crooked: 'yes' });
        let { conductor, segments } = goOn(begin(made, 0, 0), 0);
        playFor(rig, segments, 0);
        for (const { ms, to, share } of [...list, last]) {
          rig.host.advance(rig.host.now() + ms);
          const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + 25));
          const fed = goOn({ conductor, segments: [] }, tick).conductor;
          ({ conductor, segments } = retake(fed, { ...made, share }, tick, to));
          rig.loop.replace(tick, segments);
        }
        // Long enough for any count-in to be over.
        rig.host.advance(rig.host.now() + 6000);
        const now = Math.floor(tickAt(rig.spans, rig.host.now()) + 1e-6);
        const {
          bar: index,
          beat,
          ticksLeft,
        } = positionAt(goOn({ conductor, segments: [] }, now).conductor, now);
        const { start = 0, beats = [], length = 0 } = made.score.bars[index] ?? {};
        const song = start + (beats[beat + 1] ?? length) - ticksLeft;
        // Gear that knows nothing of passes counts on at their seams.
        const pulses = made.score.length / 40;
        expect((gear(rig.output.sent).place ?? Number.NaN) % pulses).toBe(Math.floor(song / 40) % pulses);
      }),
      { numRuns: 40 },
    );
  });
});

describe('a stall', () => {
  /** A loop of two bars that is stopped for some time at a moment. */
  function stalled(ms: number, stallMs: number): { rig: Rig; first: number; to: number } {
    const rig = clocked();
    const first = playFor(rig, begin(loop('1 4'), 0, 0).segments, ms);
    rig.host.stall(stallMs);
    const to = rig.host.now();
    rig.host.advance(to + 1000);
    return { rig, first, to };
  }

  it('of 300 ms: the pulses that were missed are not repaid, and the place is told again', () => {
    const { rig, first, to } = stalled(1010, 300);
    const after = rig.output.sent.filter(({ sentAt }) => sentAt >= to);
    const atOnce = after.filter((one) => isPulse(one) && one.sentAt === to);
    const fresh = Array.from({ length: 200 }, (_, index) => first + index * pulseMs).filter(
      (time) => time > to - lateLimit && time <= to,
    );
    expect(atOnce.map(({ time }) => Math.round(time))).toStrictEqual(fresh.map(Math.round));
    expect(wordsOnly(after).slice(-3)).toStrictEqual(['fc', 'f2 0b 00', 'fb']);
    expect(gear(rig.output.sent).place).toBe(Math.floor((rig.host.now() - first) / pulseMs + 1e-6));
  });

  it('of a moment loses no pulse, and nothing is told', () => {
    const { rig, first } = stalled(1010, 35);
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['fa']);
    expect(pulseTimes(rig.output.sent, first)).toHaveLength(Math.floor(2045 / pulseMs) + 1);
  });

  it('whenever and however long leaves gear where the music is, and sends nothing that is too late', () => {
    fc.assert(
      fc.property(between(0, 9000), between(1, 6000), (ms, stallMs) => {
        const { rig, first } = stalled(ms, stallMs);
        // Two bars of four have 192 pulses.
        const now = Math.floor((rig.host.now() - first) / pulseMs + 1e-6);
        expect((gear(rig.output.sent).place ?? Number.NaN) % 192).toBe(now % 192);
        const late = rig.output.sent.filter(
          (one) => isPulse(one) && one.sentAt - one.time > lateLimit + 1e-6,
        );
        expect(late).toStrictEqual([]);
      }),
      { numRuns: 40 },
    );
  });
});

describe('another output', () => {
  it('in flight: the one before is told to stop, and has no pulse more', () => {
    const rig = clocked();
    const first = playFor(rig, begin(loop('1 4'), 0, 0).segments, 1010);
    const other = new RecordingOutput(rig.host);
    rig.loop.setOutputs([{ output: other, options: { clock: true } }]);
    const before = rig.output.sent.length;
    rig.host.advance(first + 2500);
    expect(wordsOnly(rig.output.sent)).toStrictEqual(['fa', 'fc']);
    expect(rig.output.sent).toHaveLength(before);
    // The new one has pulses from the next there is: the 49th of the bar.
    const pulses = pulseTimes(other.sent, first);
    expect(pulses.length).toBeGreaterThan(60);
    for (const [index, ms] of pulses.entries()) expect(ms).toBeCloseTo((49 + index) * pulseMs, 6);
  });

  it('beside it has no pulses unless it is to have them', () => {
    const rig = new Rig();
    const other = new RecordingOutput(rig.host);
    rig.loop.setOutputs([{ output: rig.output }, { output: other, options: { clock: true } }]);
    playFor(rig, begin(loop('1 4'), 0, 0).segments, 2000);
    expect(rig.output.sent.filter(({ status }) => status >= 0xf0)).toStrictEqual([]);
    expect(pulseTimes(other.sent).length).toBeGreaterThan(90);
    expect(other.ons).toHaveLength(rig.output.ons.length);
  });
});

describe('any take', () => {
  it('has a pulse each 40 ticks: from the start to a bar line as many as there are ticks, by 40', () => {
    const until = 40_000;
    fc.assert(
      fc.property(anyTake, fc.constantFrom(0, 150), (made, lead) => {
        const from = made.range?.from ?? 0;
        const { segments } = goOn(begin(made, from, 0), until);
        const rig = clocked(lead);
        rig.play(segments);
        const first = rig.spans[0]?.time as number;
        // Every bar has one accented click, on its first beat.
        const lines = timeline(segments, first, until).filter(
          ({ status, note }) => status === 0x99 && note === 76,
        );
        rig.host.advance((lines.at(-1)?.time as number) + 1);
        const pulses = rig.output.sent.filter(isPulse).map(({ time }) => time);
        for (const { tick, time } of lines)
          expect(pulses.filter((one) => one < time - 1e-6)).toHaveLength(tick / 40);
        const start = made.score.bars[from]?.start ?? 0;
        const told = wordsOnly(rig.output.sent);
        const counted = lines.length > made.countIn;
        if (counted) expect(told).toHaveLength(start === 0 ? 1 : 2);
        if (counted) expect(told.at(-1)).toBe(start === 0 ? 'fa' : 'fb');
      }),
      { numRuns: 40 },
    );
  });
});
