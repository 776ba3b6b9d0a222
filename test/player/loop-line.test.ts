import { describe, expect, it } from 'vitest';
import { Loop } from '../../src/player/loop.js';
import type { FromPlayer } from '../../src/player/messages.js';
import { segment } from './segments.js';
import { RecordingOutput, VirtualHost } from './virtual-host.js';

/** A loop with notes every hundred ticks of 1 ms; the host's time begins at 5000. */
function rig() {
  const host = new VirtualHost();
  const told: FromPlayer[] = [];
  const loop = new Loop(host, (message) => told.push(message));
  const output = new RecordingOutput(host);
  loop.setOutput(output);
  const notes = Array.from({ length: 10 }, (_, index) => [index * 100, 50, 40] as const);
  loop.append([0, 1, 2].map((index) => segment({ id: index + 1, startTick: index * 1000 }, notes)));
  return { host, loop, output, told, times: () => output.ons.map(({ time }) => time) };
}

describe('a line', () => {
  it('decides when the music begins and how fast it goes, whatever its segments say', () => {
    const { host, loop, times } = rig();
    loop.setLine([
      { tick: 0, time: 5200, msPerTick: 2 },
      { tick: 300, time: 5800, msPerTick: 0.5 },
    ]);
    loop.play(0);
    host.advance(5950);
    expect(times()).toStrictEqual([5200, 5400, 5600, 5800, 5850, 5900, 5950]);
  });

  it('may be put elsewhere while the music runs, and the owner is told', () => {
    const { host, loop, times, told } = rig();
    loop.setLine([{ tick: 0, time: 5200, msPerTick: 1 }]);
    loop.play(0);
    host.advance(5450);
    const line = [
      { tick: 250, time: 5450, msPerTick: 1.2 },
      { tick: 500, time: 5750, msPerTick: 1 },
    ];
    loop.setLine(line);
    host.advance(5860);
    expect(times()).toStrictEqual([5200, 5300, 5400, 5510, 5630, 5750, 5850]);
    expect(told.findLast(({ kind }) => kind === 'spans')).toStrictEqual({ kind: 'spans', spans: line });
  });

  it('is left where time stands, and the segments’ own tempo goes on from there', () => {
    const { host, loop, times } = rig();
    loop.setLine([{ tick: 0, time: 5200, msPerTick: 2 }]);
    loop.play(0);
    host.advance(5500);
    loop.setLine(null);
    host.advance(5900);
    // At tick 150 when it was left: the note of tick 200 is 50 ms away.
    expect(times()).toStrictEqual([5200, 5400, 5550, 5650, 5750, 5850]);
  });

  it('is left in a segment after the first as well', () => {
    const { host, loop, times } = rig();
    loop.setLine([{ tick: 0, time: 5200, msPerTick: 1.5 }]);
    loop.play(0);
    host.advance(5200 + 1.5 * 1230);
    loop.setLine(null);
    host.advance(5200 + 1.5 * 1230 + 171);
    expect(times().slice(-2)).toStrictEqual([5200 + 1.5 * 1230 + 70, 5200 + 1.5 * 1230 + 170]);
  });

  it('is one run’s alone', () => {
    const { host, loop, times } = rig();
    loop.setLine([{ tick: 0, time: 5200, msPerTick: 2 }]);
    loop.play(0);
    host.advance(5250);
    loop.pause();
    loop.append([segment({ id: 9, startTick: 5000 }, [[0, 50, 40]])]);
    loop.play(5000);
    host.advance(5400);
    expect(times()).toStrictEqual([5200, 5280]);
  });
});

describe('a beginning that others must hear of', () => {
  it('comes so much later than it could', () => {
    const { host, loop, times } = rig();
    loop.play(0, { after: 150 });
    host.advance(5200);
    expect(times()).toStrictEqual([5180]);
  });
});
