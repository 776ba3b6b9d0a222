import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Loop } from '../../src/player/loop.js';
import type { FromPlayer } from '../../src/player/messages.js';
import { begin, type Take } from '../../src/time/conductor.js';
import { type Voice, voices } from '../../src/time/event.js';
import type { Segment, Span } from '../../src/time/segment.js';
import { usualSound } from '../../src/time/sound.js';
import { anyTake, goOn, take } from '../time/takes.js';
import { between, type Due, differences, Rig, timeline, under } from './music.js';
import { RecordingOutput, type Sent, VirtualHost } from './virtual-host.js';

const full = [100, 100, 100, 100] as const;
/** The usual sound has each voice on a channel of its own, so that the channel tells the voice. */
const voiceOf = ({ status }: { readonly status: number }): Voice =>
  voices.find((voice) => usualSound.channels[voice] === (status & 0x0f)) ?? 'click';
const levelOf = (levels: readonly number[], one: { readonly status: number }): number =>
  levels[voices.indexOf(voiceOf(one))] ?? 100;

const loop = (written: string, changes: Partial<Take> = {}): Take =>
  take(written, { passes: null, countIn: 0, ...changes });

/** Plays segments under some levels for so many ms; answers what was due until then. */
function played(rig: Rig, segments: readonly Segment[], levels: readonly number[], ms: number): Due[] {
  rig.loop.setLevels(levels);
  rig.play(segments);
  const first = rig.spans[0]?.time as number;
  rig.host.advance(first + ms);
  return timeline(segments, first, 200_000).filter(({ time }) => time <= rig.host.now() + 1e-6);
}

describe('levels', () => {
  it.each<[string, readonly number[]]>([
    ['click', [0, 100, 100, 100]],
    ['bass', [100, 0, 100, 100]],
    ['low note', [100, 100, 0, 100]],
    ['chop', [100, 100, 100, 0]],
    ['everything', [0, 0, 0, 0]],
    ['all but the bass', [0, 100, 0, 0]],
  ])('send nothing of what is silent and everything else in its time: %s', (_, levels) => {
    const rig = new Rig();
    const due = played(rig, begin(loop('1 (4 5) 1~'), 0, 0).segments, levels, 7000);
    const heard = due.filter((one) => levelOf(levels, one) > 0);
    expect(due.length).toBeGreaterThan(heard.length);
    expect(differences(rig.output.ons, heard)).toStrictEqual([]);
    rig.loop.pause();
    expect(rig.output.hanging()).toStrictEqual([]);
  });

  // MIDI 1.0: a velocity is at most 127, and a note-on of velocity 0 would be a note-off. The accent has 96, a beat 72.
  it.each([
    [100, 96, 72],
    [50, 48, 36],
    [75, 72, 54],
    [10, 10, 7],
    [1, 1, 1],
    [120, 115, 86],
    [132, 127, 95],
    [150, 127, 108],
  ])('of %i percent make the accent %i and a beat %i strong', (level, accent, beat) => {
    const rig = new Rig();
    played(rig, begin(loop('1', {}), 0, 0).segments, [level, 0, 0, 0], 900);
    expect(rig.output.ons.map(({ velocity }) => velocity)).toStrictEqual([accent, beat]);
  });

  it('make each voice louder or softer by itself, and every velocity one that MIDI has', () => {
    const anyLevel = fc.integer({ min: 1, max: 150 });
    fc.assert(
      fc.property(fc.tuple(anyLevel, anyLevel, anyLevel, anyLevel), (levels) => {
        const plain = new Rig();
        const rig = new Rig();
        const { segments } = begin(loop('1 4'), 0, 0);
        played(plain, segments, full, 2100);
        played(rig, segments, levels, 2100);
        expect(rig.output.ons).toHaveLength(plain.output.ons.length);
        for (const [index, one] of rig.output.ons.entries()) {
          const scaled = ((plain.output.ons[index]?.velocity ?? 0) * levelOf(levels, one)) / 100;
          expect(Math.abs(one.velocity - Math.min(127, Math.max(1, scaled)))).toBeLessThanOrEqual(0.5);
          expect(Number.isInteger(one.velocity)).toBe(true);
        }
      }),
      { numRuns: 30 },
    );
  });

  it('never touch note-offs', () => {
    const rig = new Rig();
    played(rig, begin(loop('1 4'), 0, 0).segments, [50, 50, 50, 50], 2000);
    expect(rig.output.offs.length).toBeGreaterThan(10);
    expect(rig.output.offs.filter(({ velocity }) => velocity !== 0)).toStrictEqual([]);
  });

  it('are as written for a voice that nothing is said of', () => {
    const rig = new Rig();
    played(rig, begin(loop('1'), 0, 0).segments, [], 900);
    const accent = rig.output.ons.find(({ status }) => status === 0x99);
    expect(accent?.velocity).toBe(usualSound.accentLoudness);
  });
});

describe('silenced in flight', () => {
  it('a chord that rings ends at once, and what else sounds has its own end', () => {
    const { rig, first } = under(loop('1~ 4'), 700);
    const before = rig.output.sent.length;
    const now = rig.host.now();
    rig.loop.setLevels([100, 100, 100, 0]);
    const ended = rig.output.sent.slice(before);
    // The chord's four courses, on the chop's channel; the bass rings on.
    expect(ended.map(({ status, note }) => [status, note])).toStrictEqual([
      [0x81, 62],
      [0x81, 67],
      [0x81, 71],
      [0x81, 79],
    ]);
    expect(ended.filter(({ time, sentAt }) => time !== now || sentAt !== now)).toStrictEqual([]);
    rig.host.advance(first + 1990);
    // The bass lasts 3800 ticks of 500/960 ms.
    const bass = rig.output.offs.filter(({ status }) => status === 0x82);
    expect(bass.map(({ time }) => Math.round(time - first))).toStrictEqual([Math.round((3800 * 500) / 960)]);
    // None of the four is ended again at the end that it had.
    expect(rig.output.offs.filter(({ status }) => status === 0x81)).toHaveLength(4);
    expect(rig.output.hanging()).toStrictEqual([]);
  });

  it('sends nothing where nothing of the voice sounds', () => {
    const { rig } = under(loop('1~ 4'), 700);
    const before = rig.output.sent.length;
    rig.loop.setLevels([100, 100, 0, 100]);
    expect(rig.output.sent).toHaveLength(before);
  });

  it('leaves a chord alone that is only made softer', () => {
    const { rig } = under(loop('1~ 4'), 700);
    const before = rig.output.sent.length;
    rig.loop.setLevels([100, 100, 100, 1]);
    expect(rig.output.sent).toHaveLength(before);
  });

  it('comes back with its next note, not in the middle of one', () => {
    const { rig, first } = under(loop('1~ 4'), 100);
    rig.loop.setLevels([100, 100, 100, 0]);
    rig.host.advance(first + 900);
    const before = rig.output.ons.length;
    rig.loop.setLevels(full);
    rig.host.advance(first + 1990);
    expect(rig.output.ons.slice(before).filter((one) => voiceOf(one) === 'chop')).toStrictEqual([]);
    rig.host.advance(first + 2600);
    expect(rig.output.ons.slice(before).filter((one) => voiceOf(one) === 'chop')).toHaveLength(4);
  });

  it('leaves no note without its end and no silent voice heard, whatever is changed and when', () => {
    const level = fc.constantFrom(0, 0, 60, 100, 150);
    const change = fc.record({ ms: between(0, 2500), levels: fc.tuple(level, level, level, level) });
    fc.assert(
      fc.property(anyTake, fc.array(change, { minLength: 1, maxLength: 6 }), (made, list) => {
        const { rig } = under(made, 100);
        for (const { ms, levels } of list) {
          rig.loop.setLevels(levels);
          const silent = voices.filter((_, voice) => levels[voice] === 0);
          const sounding = rig.output
            .hanging()
            .filter((one) =>
              silent.some((voice) => one.startsWith(`channel ${usualSound.channels[voice] + 1} `)),
            );
          expect(sounding).toStrictEqual([]);
          const before = rig.output.ons.length;
          rig.host.advance(rig.host.now() + ms);
          expect(rig.output.ons.slice(before).filter((one) => silent.includes(voiceOf(one)))).toStrictEqual(
            [],
          );
        }
        rig.loop.pause();
        expect(rig.output.hanging()).toStrictEqual([]);
        expect(rig.output.ons).toHaveLength(rig.output.offs.length);
      }),
      { numRuns: 60 },
    );
  });

  it('is neither late nor missed', () => {
    const { rig } = under(loop('1 4'), 100);
    rig.loop.setLevels([0, 0, 0, 0]);
    rig.host.advance(rig.host.now() + 5000);
    rig.loop.setLevels(full);
    rig.host.advance(rig.host.now() + 1000);
    expect(rig.loop.lateness.report()).toMatchObject({ missed: 0, max: 0 });
  });
});

/** A loop with several outputs in virtual time, each with its lead and offset. */
function several(
  outs: readonly { readonly lead?: number; readonly offset?: number }[],
  segments: readonly Segment[],
): { host: VirtualHost; loop: Loop; outputs: RecordingOutput[]; first: number } {
  // A time from which whole ms, and halves of them, are added and taken away without rounding.
  const host = new VirtualHost(1_100_000);
  const announced: FromPlayer[] = [];
  const made = new Loop(host, (message) => announced.push(message));
  const outputs = outs.map(({ lead = 0 }) => new RecordingOutput(host, lead));
  made.setOutputs(
    outputs.map((output, index) => ({ output, options: { offset: outs[index]?.offset ?? 0 } })),
  );
  made.append(segments);
  made.play(segments[0]?.startTick ?? 0);
  const spans = announced.find((one) => one.kind === 'spans')?.spans as readonly Span[];
  return { host, loop: made, outputs, first: spans[0]?.time as number };
}

/** What an output must have been sent by now: notes as they are due, so much earlier. */
const dueBy = (now: number, segments: readonly Segment[], first: number, offset = 0, lead = 0): Due[] =>
  timeline(segments, first, 40_000)
    .map((one) => ({ ...one, time: one.time - offset }))
    .filter(({ time }) => time - lead <= now + 1e-6);

const messages = (sent: readonly Sent[]): string[] =>
  sent.map(({ status, note, velocity }) => `${status.toString(16)} ${note} ${velocity}`);

describe('several outputs', () => {
  const { segments } = begin(loop('1 (4 5) 1~', { countIn: 1 }), 0, 0);

  it('are sent the same messages at the same times', () => {
    const { host, outputs, first } = several([{}, {}, {}], segments);
    host.advance(first + 9000);
    const [one, ...others] = outputs.map(({ sent }) => sent);
    expect(one?.length).toBeGreaterThan(100);
    for (const other of others) expect(other).toStrictEqual(one);
  });

  it('have each message as early as each of them wants it', () => {
    const { host, outputs, first } = several([{}, { lead: 150 }, { lead: 20, offset: 10 }], segments);
    host.advance(first + 5000);
    for (const [index, [lead, offset]] of [[0, 0] as const, [150, 0] as const, [20, 10] as const].entries()) {
      const ons = outputs[index]?.ons ?? [];
      expect(differences(ons, dueBy(host.now(), segments, first, offset, lead))).toStrictEqual([]);
      for (const { time, sentAt } of ons) expect(sentAt).toBeCloseTo(time - lead, 6);
    }
  });

  it('have the same levels, also those that come later', () => {
    const { host, loop: made, outputs, first } = several([{}, {}], segments);
    made.setLevels([50, 0, 100, 100]);
    host.advance(first + 3000);
    const late = new RecordingOutput(host);
    made.setOutputs([{ output: late }]);
    host.advance(first + 7000);
    for (const { ons } of [...outputs, late]) {
      expect(ons.length).toBeGreaterThan(0);
      expect(ons.filter((one) => voiceOf(one) === 'bass')).toStrictEqual([]);
      expect(new Set(ons.filter((one) => voiceOf(one) === 'click').map(({ velocity }) => velocity))).toEqual(
        new Set([48, 36]),
      );
    }
  });

  it('are all silenced at a pause', () => {
    const { host, loop: made, outputs, first } = several([{}, { lead: 150 }, { offset: 40 }], segments);
    host.advance(first + 6500);
    made.pause();
    for (const output of outputs) {
      expect(output.hanging()).toStrictEqual([]);
      expect(output.panics).toBe(1);
      expect(output.unflushed).toBe(0);
    }
  });

  it('that are put in their place have what sounds ended', () => {
    const { host, loop: made, outputs, first } = several([{}, {}], segments);
    host.advance(first + 6600);
    const [other, now] = [new RecordingOutput(host), host.now()];
    made.setOutputs([{ output: other }]);
    host.advance(first + 8000);
    for (const output of outputs) expect(output.hanging()).toStrictEqual([]);
    const due = dueBy(host.now(), segments, first).filter(({ time }) => time > now);
    expect(due.length).toBeGreaterThan(0);
    expect(differences(other.ons, due)).toStrictEqual([]);
  });
});

describe('an offset', () => {
  const { segments } = begin(loop('1 (4 5) 1~', { countIn: 1 }), 0, 0);

  it.each([
    [30, 'earlier'],
    [-30, 'later'],
    [0, 'at its time'],
    [500, 'earlier'],
    [-500, 'later'],
    [12.5, 'earlier'],
  ])('of %f ms sends every message so much %s', (offset) => {
    const { host, outputs, first } = several([{ offset }], segments);
    host.advance(first + 4000);
    const ons = outputs[0]?.ons ?? [];
    expect(differences(ons, dueBy(host.now(), segments, first, offset))).toStrictEqual([]);
    for (const { time, sentAt } of ons) expect(sentAt).toBeCloseTo(time, 6);
  });

  it('changes the order of no message, and makes none late or lost', () => {
    const plain = several([{}], segments);
    plain.host.advance(plain.first + 8000);
    const all = messages(plain.outputs[0]?.sent ?? []);
    fc.assert(
      fc.property(fc.integer({ min: -1000, max: 1000 }), fc.constantFrom(0, 20, 150), (halves, lead) => {
        const offset = halves / 2;
        const { host, loop: made, outputs, first } = several([{ offset, lead }], segments);
        host.advance(first + 7000);
        const sent = messages(outputs[0]?.sent ?? []);
        expect(sent.length).toBeGreaterThan(50);
        expect(sent).toStrictEqual(all.slice(0, sent.length));
        expect(made.lateness.report().missed).toBe(0);
        expect(made.lateness.report().max).toBeLessThan(1e-6);
      }),
      { numRuns: 30 },
    );
  });

  it('of one output moves nothing of another', () => {
    const { host, outputs, first } = several([{ offset: 80 }, { offset: -80 }, {}], segments);
    host.advance(first + 4000);
    for (const [index, offset] of [80, -80, 0].entries())
      expect(
        differences(outputs[index]?.ons ?? [], dueBy(host.now(), segments, first, offset)),
      ).toStrictEqual([]);
  });
});

describe('messages sent at once', () => {
  // MIDI 1.0: a program change is Cn and the program.
  it('reach every output as they are, flushed', () => {
    const { segments } = goOn(begin(loop('1'), 0, 0), 0);
    const { loop: made, outputs } = several([{}, { offset: 100 }], segments);
    made.sendNow([0xc0 | (25 << 8), 0xc2 | (32 << 8)]);
    for (const output of outputs) {
      expect(messages(output.sent).slice(-2)).toStrictEqual(['c0 25 0', 'c2 32 0']);
      expect(output.unflushed).toBe(0);
    }
  });
});
