import { describe, expect, it } from 'vitest';
import { Loop } from '../../src/player/loop.js';
import { begin } from '../../src/time/conductor.js';
import { goOn, take } from '../time/takes.js';
import { RecordingOutput, VirtualHost } from './virtual-host.js';

function rig(clock = true) {
  const host = new VirtualHost();
  const output = new RecordingOutput(host);
  const loop = new Loop(host, () => {});
  loop.setOutputs([{ output, options: { clock } }]);
  return { host, output, loop };
}

const pulses = (output: RecordingOutput): number[] =>
  output.sent.filter(({ status }) => status === 0xf8).map(({ sentAt }) => sentAt);

describe('pulses while nothing runs', () => {
  it('come at the tempo of the song that is next: 24 a quarter (MIDI 1.0)', () => {
    const { host, output, loop } = rig();
    const apart = 60_000 / 240 / 24;
    loop.setIdle(apart);
    host.advance(host.now() + 5000);
    const times = pulses(output);
    expect(times.length).toBeGreaterThanOrEqual(479);
    expect(times.length).toBeLessThanOrEqual(481);
    times.slice(1).forEach((time, index) => {
      expect(time - (times[index] as number)).toBeCloseTo(apart, 6);
    });
    // Gear that follows hears no start: it learns the tempo, and waits.
    expect(output.sent.every(({ status }) => status === 0xf8)).toBe(true);
  });

  it('end when the music begins, which has its own, and are not taken up again by a pause', () => {
    const { host, output, loop } = rig();
    loop.setIdle(10);
    host.advance(host.now() + 1000);
    loop.append(goOn(begin(take('1 4 5 1', { countIn: 0 }), 0, 0), 60_000).segments);
    loop.play(0);
    host.advance(host.now() + 2000);
    const words = output.sent.filter(({ status }) => status >= 0xf8).map(({ status }) => status);
    expect(words.filter((status) => status === 0xfa)).toHaveLength(1);
    const start = words.indexOf(0xfa);
    // A tempo of 120 has a pulse every 20.8 ms: two seconds have 96 of them.
    expect(Math.abs(words.length - start - 1 - 96)).toBeLessThanOrEqual(3);
    loop.pause();
    const count = output.sent.length;
    host.advance(host.now() + 1000);
    expect(output.sent.length).toBe(count);
  });

  it('go to no output that does not want the clock, and end when they are not wanted any more', () => {
    const silent = rig(false);
    silent.loop.setIdle(10);
    silent.host.advance(silent.host.now() + 1000);
    expect(silent.output.sent).toEqual([]);
    const { host, output, loop } = rig();
    loop.setIdle(10);
    host.advance(host.now() + 100);
    loop.setIdle(null);
    const count = output.sent.length;
    host.advance(host.now() + 1000);
    expect(output.sent.length).toBe(count);
  });

  it('are not repaid after a stall', () => {
    const { host, output, loop } = rig();
    loop.setIdle(10);
    host.advance(host.now() + 100);
    const before = output.sent.length;
    host.stall(5000);
    host.advance(host.now() + 100);
    expect(output.sent.length - before).toBeLessThan(15);
  });

  it('leave time for messages, however close together they are and however late timers come', () => {
    const host = new VirtualHost(5000, () => 7);
    const output = new RecordingOutput(host);
    const loop = new Loop(host, () => {});
    loop.setOutputs([{ output, options: { clock: true } }]);
    loop.setIdle(1);
    host.stalls = [{ at: 5050, ms: 30 }];
    host.post(5500, () => loop.setIdle(null));
    host.advance(6000);
    expect(host.longestHold).toBeLessThanOrEqual(10);
    expect(pulses(output).length).toBeGreaterThan(30);
    expect(Math.max(...pulses(output))).toBeLessThanOrEqual(5520);
  });
});
