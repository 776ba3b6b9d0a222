import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin } from '../../src/time/conductor.js';
import { tickAt } from '../../src/time/segment.js';
import { anyTake, goOn, take } from '../time/takes.js';
import { between, differences, timeline, under } from './music.js';
import { RecordingOutput } from './virtual-host.js';

const moment = between(0, 20_000);

describe('pause', () => {
  it('ends every note at any moment, and nothing more is sent', () => {
    fc.assert(
      fc.property(anyTake, moment, fc.constantFrom(0, 150), (made, ms, lead) => {
        const { rig } = under(made, ms, lead);
        rig.loop.pause();
        expect(rig.output.hanging()).toStrictEqual([]);
        const before = rig.output.sent.length;
        rig.host.advance(rig.host.now() + 20_000);
        expect(rig.output.sent).toHaveLength(before);
        expect(['paused', 'stopped']).toContain(rig.states.at(-1));
      }),
    );
  });

  it('says where it paused, and silences what was sent ahead', () => {
    const { rig, first } = under(take('1 4'), 3000, 150);
    const tick = tickAt(rig.spans, rig.host.now());
    rig.loop.pause();
    expect(rig.said('state').at(-1)).toStrictEqual({ kind: 'state', state: 'paused', tick });
    expect(tick).toBeCloseTo(((rig.host.now() - first) * 960) / 500, 6);
    expect(rig.output.panics).toBeGreaterThan(0);
  });
});

describe('setOutput', () => {
  it('ends what sounds on the one before, and goes on with the other, nothing lost or doubled', () => {
    fc.assert(
      fc.property(anyTake, moment, (made, ms) => {
        const { rig, first } = under(made, ms);
        const other = new RecordingOutput(rig.host);
        const switched = rig.host.now();
        rig.loop.setOutput(other);
        expect(rig.output.hanging()).toStrictEqual([]);
        const before = rig.output.sent.length;
        rig.host.advance(switched + 10_000);
        rig.loop.pause();
        expect(rig.output.sent).toHaveLength(before);
        expect(other.hanging()).toStrictEqual([]);
        const due = timeline(goOn(begin(made, made.range?.from ?? 0, 0), 80_000).segments, first, 80_000);
        // A switch at the very instant of a note has a test of its own.
        fc.pre(due.every(({ time }) => Math.abs(time - switched) > 1e-3));
        const both = [...rig.output.ons, ...other.ons];
        const limit = Math.max(...both.map(({ time }) => time), 0) + 1e-3;
        const sounded = due.filter(({ time }) => time < limit);
        expect(differences(both, sounded)).toStrictEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it('sends nothing twice when it is made at the instant of a note', () => {
    const made = take('1', { passes: null, share: 0.5, countIn: 0 });
    for (let beat = 1; beat < 60; beat += 1) {
      // The wait for the note ends at its time exactly; the switch comes right after it.
      const { rig, first } = under(made, beat * 1000 - 0.5);
      const other = new RecordingOutput(rig.host);
      expect(rig.host.now()).toBeCloseTo(first + beat * 1000, 6);
      rig.loop.setOutput(other);
      rig.host.advance(rig.host.now() + 5);
      const again = other.ons.filter(({ time }) => time <= first + beat * 1000);
      expect(again.map(({ note }) => note)).toStrictEqual([]);
    }
  });

  it('plays on ahead of time to an output that wants it', () => {
    const { rig } = under(take('1 4 5 1'), 3000);
    const other = new RecordingOutput(rig.host, 150);
    const switched = rig.host.now();
    rig.loop.setOutput(other);
    rig.host.advance(switched + 3000);
    expect(other.ons.length).toBeGreaterThan(10);
    for (const { time, sentAt } of other.ons) {
      expect(time).toBeGreaterThan(switched + 150);
      expect(Math.abs(time - sentAt - 150)).toBeLessThan(1e-6);
    }
  });
});

describe('end and silence', () => {
  it('end ends every note at once, and nothing comes after it', () => {
    fc.assert(
      fc.property(anyTake, moment, (made, ms) => {
        const { rig } = under(made, ms);
        rig.loop.end();
        expect(rig.output.hanging()).toStrictEqual([]);
        const before = rig.output.sent.length;
        rig.host.advance(rig.host.now() + 10_000);
        expect(rig.output.sent).toHaveLength(before);
      }),
    );
  });

  it('silence ends notes another player left, while the music goes on', () => {
    const { rig } = under(take('1 4 5 1'), 3100);
    rig.loop.silence([(1 << 7) | 33]);
    expect(rig.output.sent.slice(-2).map(({ status, note }) => [status, note])).toStrictEqual([
      [0x81, 33],
      [0xb1, 123],
    ]);
    const before = rig.output.ons.length;
    rig.host.advance(rig.host.now() + 1000);
    expect(rig.output.ons.length).toBeGreaterThan(before);
  });
});
