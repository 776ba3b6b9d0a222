import { execFileSync } from 'node:child_process';
import { closeSync, mkdirSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { hanging, noteOns, pause, settled, until } from './harness.js';
import { setStage } from './stage.js';

const stage = setStage();

/** Time on the clock that the pipe's reader stamps with, ms. */
function now(): number {
  const [seconds, nanoseconds] = process.hrtime();
  return seconds * 1000 + nanoseconds / 1e6;
}

describe('a held chord, and a stop of the band', () => {
  it('go on by a pedal as soon as it is pressed, and by the key that turns pages', async () => {
    const chart = join(stage.folder, 'gate.yaml');
    writeFileSync(
      chart,
      'title: Gate\nkey: G\ntempo: 240\nsections:\n  V: |\n    1_ 4_ 5_ 1_ 1_ 4_ 5_ 1_\n    1 @wait 4 5 1_\n',
    );
    const set = join(stage.folder, 'gig.yaml');
    writeFileSync(set, `title: Gig\ncharts:\n  - file: ${chart}\n    gap: wait\n`);
    const config = join(stage.folder, 'config');
    mkdirSync(join(config, 'barkline'), { recursive: true });
    writeFileSync(
      join(config, 'barkline', 'settings.yaml'),
      'pedals:\n  play: control 64\n  hold: control 66\n',
    );
    const pedals = join(stage.folder, 'pedals');
    execFileSync('mkfifo', [pedals]);
    const writer = openSync(pedals, 'r+');
    const press = (control: number): number => {
      const at = now();
      writeSync(writer, Uint8Array.from([0xb0, control, 127, 0xb0, control, 0]));
      return at;
    };
    const heard = stage.fromNow();
    const shown = stage.open(80, 24, `play ${set} --pedal raw:${pedals}`, { XDG_CONFIG_HOME: config });
    await shown.shows('Space or the pedal begins');
    press(64);
    const late: number[] = [];
    for (let bar = 1; bar <= 8; bar += 1) {
      await shown.shows(/held until released/, 20_000);
      await settled(heard, 400);
      const before = noteOns(heard()).length;
      const at = press(66);
      expect(await until(() => noteOns(heard()).length > before)).toBe(true);
      late.push((noteOns(heard())[before]?.time ?? 0) - at);
      await pause(100);
    }
    stage.capture('held-release', late.map((ms) => ms.toFixed(1)).join(' '));
    const sorted = [...late].sort((one, other) => one - other);
    expect(sorted[3]).toBeLessThan(20);
    // The stop: silence, then one click, then the bar.
    const text = await shown.shows(/the band waits, then 4: Page Down, a or the pedal that holds/, 20_000);
    stage.capture('held-stop', text);
    await settled(heard, 600);
    const before = noteOns(heard()).length;
    await shown.press('PageDown');
    await shown.shows(/held until released/, 20_000);
    const behind = noteOns(heard()).slice(before);
    expect(behind[0]?.bytes[0]).toBe(0x99);
    const gap = (behind[1]?.time ?? 0) - (behind[0]?.time ?? 0);
    expect(Math.abs(gap - 250)).toBeLessThan(20);
    // The last chord: its release ends the song, and nothing sounds on.
    await settled(heard, 400);
    press(66);
    await shown.shows(/Gig|over/, 20_000);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    await shown.press('C-c');
    await stage.expectLeft(shown);
    closeSync(writer);
  });
});
