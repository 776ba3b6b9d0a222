import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { hanging, noteOns, PipeReader, pause, settled } from '../e2e/harness.js';
import { goes, PlayerRig, type Playing, stall } from './player-rig.js';

let rig: PlayerRig;
let reader: PipeReader;
let other: PipeReader;

beforeEach(() => {
  rig = new PlayerRig();
  reader = new PipeReader(rig.path);
  other = new PipeReader(rig.path);
});
afterEach(() => {
  reader.close();
  other.close();
  expect(rig.close()).toBe(0);
});

/** A player that obeys is gone this soon after TERM, ms: on a busy machine, and with the program's own way out. */
const leavesMs = 1200;

/** Asks the program to end; expects that it and its player do, and that nothing sounds any more. */
async function endsWell(playing: Playing, readers: readonly PipeReader[]): Promise<void> {
  for (const one of readers) expect(noteOns(one.arrivals()).length).toBeGreaterThan(20);
  playing.child.kill('SIGTERM');
  expect(await goes(playing.player, 5000)).toBeLessThan(leavesMs);
  expect(await playing.ended).toBe(143);
  for (const one of readers) {
    await settled(() => one.arrivals());
    expect(hanging(one.arrivals())).toStrictEqual([]);
  }
}

const dense = ['--passes', '99', '--tempo', '400', '--send-clock', '--voices', 'all'];

describe('a player that is stalled while much is due', () => {
  it('obeys after ten short stops at 400 quarters a minute with a clock', async () => {
    const playing = await rig.play(...dense, '--out', `raw:${reader.path}`);
    await pause(1000);
    await stall(playing.player, 10, 20, 60);
    await pause(500);
    await endsWell(playing, [reader]);
  });

  it('obeys with two outputs that are sent to at different times, a clock to each', async () => {
    rig.settings(
      `outputs:\n  'raw:${reader.path}': offset -12, clock\n  'raw:${other.path}': offset 7.5, clock\n`,
    );
    const outs = ['--out', `raw:${reader.path}`, '--out', `raw:${other.path}`];
    const playing = await rig.play('--passes', '99', '--tempo', '200', '--voices', 'all', ...outs);
    await pause(1000);
    await stall(playing.player, 12, 25, 45);
    await pause(500);
    await endsWell(playing, [reader, other]);
  });

  it('obeys beside four busy processes', async () => {
    rig.keepBusy(4);
    const playing = await rig.play(...dense, '--out', `raw:${reader.path}`);
    await pause(4000);
    await stall(playing.player, 5, 30, 100);
    await endsWell(playing, [reader]);
    rig.idle();
  });

  it('leaves by itself, its notes ended, when its parent is killed in the midst of it', async () => {
    const playing = await rig.play(...dense, '--out', `raw:${reader.path}`);
    await pause(800);
    await stall(playing.player, 10, 20, 60);
    playing.child.kill('SIGKILL');
    expect(await goes(playing.player, 5000)).toBeLessThan(leavesMs);
    await settled(() => reader.arrivals());
    expect(noteOns(reader.arrivals()).length).toBeGreaterThan(20);
    expect(hanging(reader.arrivals())).toStrictEqual([]);
  });

  it('obeys TERM itself', async () => {
    const playing = await rig.play(...dense, '--out', `raw:${reader.path}`);
    await pause(800);
    await stall(playing.player, 10, 20, 60);
    process.kill(playing.player, 'SIGTERM');
    expect(await goes(playing.player, 5000)).toBeLessThan(leavesMs);
    // The program says that its player has gone, and ends as for a fault of the machine.
    expect(await playing.ended).toBe(3);
    expect(hanging(reader.arrivals())).toStrictEqual([]);
  });
});
