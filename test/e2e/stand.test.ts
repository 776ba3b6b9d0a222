import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  type Arrival,
  demo,
  hanging,
  noteOffs,
  noteOns,
  pause,
  playersMarked,
  settled,
  until,
} from './harness.js';
import type { Screen } from './screen.js';
import { setStage, withoutSize } from './stage.js';

const stage = setStage();
const { fromNow, expectLeft: expectRestored } = stage;
const open = stage.open.bind(stage);

for (const [columns, rows] of [
  [80, 24],
  [140, 45],
] as const) {
  describe(`the stand at ${columns}x${rows}`, () => {
    it('lists the demo charts, plays one for two passes, changes its key in flight, and leaves the terminal as it was', async () => {
      const heard = fromNow();
      const shown = open(columns, rows, '');
      const list = await shown.shows('Weir Hands');
      for (const title of [
        'Sluice Gate Morning',
        'Third Lantern Down',
        'Copperwort Lane',
        'Nine Barges Late',
        'Osier and Twine',
        'Half a Mile of Fog',
        'The Tollhouse Kettle',
        'set: Harvest gathering at Osier Lock',
      ]) {
        expect(list).toContain(title);
      }
      stage.capture(`list-${columns}x${rows}`, list);
      // The Tollhouse Kettle stands last but one; End of the list by going up from the top is not assumed.
      const rowsOfList = list.split('\n');
      const steps =
        rowsOfList.findIndex((line) => line.includes('The Tollhouse Kettle')) -
        rowsOfList.findIndex((line) => line.includes('▸'));
      for (let step = 0; step < steps; step += 1) await shown.press('Down');
      await shown.shows('▸ The Tollhouse Kettle');
      await shown.press('Enter');
      const ready = await shown.shows('ready');
      expect(ready).toMatch(/The Tollhouse Kettle\s+D {4}118 halves {2}2\/2/);
      expect(ready).toContain('7-4-5-x');
      stage.capture(`ready-${columns}x${rows}`, ready);
      for (let step = 0; step < 30; step += 1) await shown.press('+');
      await shown.shows('268 halves');
      await shown.press('Space');
      stage.capture(`playing-${columns}x${rows}`, await shown.shows('pass 1'));
      await shown.shows('pass 2', 30_000);
      await shown.press('>');
      const higher = await shown.shows(/E♭ +268/);
      expect(higher).toMatch(/pass [23]/);
      const moved = await shown.shows('8-5-6-x');
      expect(moved).toContain('E♭');
      stage.capture(`key-${columns}x${rows}`, moved);
      const count = heard().length;
      expect(await until(() => heard().length > count + 20)).toBe(true);
      await shown.press('q');
      await shown.shows('ended 0');
      await expectRestored(shown);
      await settled(heard);
      expect(hanging(heard())).toEqual([]);
      expect(noteOffs(heard())).toHaveLength(noteOns(heard()).length);
      // D major's root on the first beat before, E flat's after: the sound followed the key.
      const basses = noteOns(heard())
        .filter((one) => one.bytes[0] === 0x92)
        .map((one) => (one.bytes[1] ?? 0) % 12);
      expect(basses[0]).toBe(2);
      // In E flat no bass note of 1, 4 or 5 is a D or an A.
      expect([3, 8, 10, 5]).toContain(basses.at(-1));
    });
  });
}

describe('ways out of the stand while it plays', () => {
  async function playing(
    extra: Record<string, string> = {},
  ): Promise<{ shown: Screen; heard: () => Arrival[] }> {
    const heard = fromNow();
    const shown = open(80, 24, `play ${demo('sluice-gate-morning')}`, extra);
    await shown.shows('ready');
    await pause(300);
    await shown.press('Space');
    await shown.shows('pass 1');
    expect(await until(() => noteOns(heard()).length > 8)).toBe(true);
    return { shown, heard };
  }

  async function expectSilence(heard: () => Arrival[]): Promise<void> {
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    expect(noteOffs(heard())).toHaveLength(noteOns(heard()).length);
  }

  it('Ctrl-C', async () => {
    const { shown, heard } = await playing({ BARKLINE_TEST: 'ctrl-c' });
    await shown.press('C-c');
    await shown.shows('ended 0');
    await expectRestored(shown);
    await expectSilence(heard);
    expect(playersMarked('ctrl-c')).toEqual([]);
  });

  for (const [signal, status] of [
    ['SIGTERM', 143],
    ['SIGHUP', 129],
  ] as const) {
    it(signal, async () => {
      const { shown, heard } = await playing({ BARKLINE_TEST: signal });
      process.kill(shown.programPid(), signal);
      await shown.shows(`ended ${status}`);
      await expectRestored(shown);
      await expectSilence(heard);
      expect(playersMarked(signal)).toEqual([]);
    });
  }

  it('SIGKILL: the player puts the terminal back and ends what sounds', async () => {
    const { shown, heard } = await playing({ BARKLINE_TEST: 'killed' });
    // What the shell says of it may land on the screen that is left behind: the screen's state is what counts.
    process.kill(shown.programPid(), 'SIGKILL');
    expect(await until(() => !shown.state().alternate)).toBe(true);
    expect(await until(() => playersMarked('killed').length === 0)).toBe(true);
    expect(shown.state()).toEqual({ alternate: false, cursor: true });
    expect(withoutSize(shown.modes())).toBe(stage.modes('stty-before'));
    await expectSilence(heard);
  });

  it('the player killed: it is said, another is ready, and playing goes on', async () => {
    const { shown, heard } = await playing({ BARKLINE_TEST: 'player-killed' });
    for (const pid of playersMarked('player-killed')) process.kill(pid, 'SIGKILL');
    await shown.shows('another is ready');
    expect(await until(() => hanging(heard()).length === 0)).toBe(true);
    const count = heard().length;
    await shown.press('Space');
    expect(await until(() => heard().length > count + 20)).toBe(true);
    await shown.press('q');
    await expectRestored(shown);
    expect(hanging(heard())).toEqual([]);
    expect(playersMarked('player-killed')).toEqual([]);
  });

  it('an exception in a component: told in one line on a terminal that is as it was', async () => {
    const preload = fileURLToPath(new URL('./throw-in-component.cjs', import.meta.url));
    const heard = fromNow();
    const shown = open(80, 24, `play ${demo('sluice-gate-morning')}`, {
      NODE_OPTIONS: `--require ${preload}`,
      NODE_ENV: 'production',
      BARKLINE_TEST: 'thrown',
    });
    await shown.shows('ready');
    await shown.press('Space');
    const text = await shown.shows('ended 70');
    expect(text).toContain('barkline failed: a component broke');
    expect(text).not.toContain('    at ');
    await expectRestored(shown);
    await expectSilence(heard);
    expect(playersMarked('thrown')).toEqual([]);
  });

  it('resizing while it plays redraws the stand in every size, and says when it is too small', async () => {
    const { shown } = await playing();
    for (const [columns, rows] of [
      [60, 18],
      [100, 30],
      [140, 45],
      [80, 24],
    ] as const) {
      shown.resize(columns, rows);
      const text = await shown.shows(/Sluice Gate Morning[\s\S]*now[\s\S]*next[\s\S]*Space pause/);
      expect(text.split('\n').filter((line) => line.includes('Sluice Gate Morning'))).toHaveLength(1);
    }
    shown.resize(40, 10);
    await shown.shows('needs 60x18, has 40x10');
    shown.resize(80, 24);
    await shown.shows('next');
    await shown.press('q');
    await expectRestored(shown);
  });
});
