import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { arrange } from '../../src/time/arrange.js';
import { clickNotes } from '../../src/time/click.js';
import { cleanEnv, demo, freshFolder, root } from './harness.js';

/** A machine with the ALSA sequencer and sound cards, emulated; it comes beside the project, not with it. */
const guest = fileURLToPath(new URL('../../../shared/rig/alsa-guest', import.meta.url));
const folder = freshFolder();
afterAll(() => folder.remove());

function inGuest(script: string): string {
  const path = join(folder.path, 'script.sh');
  writeFileSync(path, script);
  return execFileSync(guest, ['--timeout', '200', '--', 'bash', path], {
    cwd: root,
    encoding: 'utf8',
    env: cleanEnv('/tmp', { ALSA_GUEST_OUT: join(folder.path, 'out') }),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
}

if (!existsSync(guest)) console.log('left out: the tests of ALSA ports and sound need shared/rig/alsa-guest');

describe.runIf(existsSync(guest))('in a machine with ALSA', () => {
  // One boot serves all: what was printed, recorded as MIDI, and recorded as sound.
  const printed = existsSync(guest)
    ? inGuest(`
      printf 'pcm.!default { type plug slave.pcm "hw:Loopback,0" }\\n' > ~/.asoundrc
      node dist/main.js ports
      arecordmidi -p 14:0 "$OUT/played.mid" & recorder=$!
      sleep 2
      node dist/main.js play charts/tollhouse-kettle.yaml --plain --out 'midi:Midi Through' --loop 3-4
      sleep 1
      kill -INT $recorder; wait $recorder
      timeout 60 arecord -q -D plughw:Loopback,1 -f S16_LE -r 44100 -c 1 "$OUT/played.wav" & recorder=$!
      sleep 1
      node dist/main.js play charts/tollhouse-kettle.yaml --plain --out sound --loop 3-4 --tempo 60
      sleep 1
      pkill -INT arecord; sleep 1
      true`)
    : '';

  it('lists Midi Through among the ports', () => {
    expect(printed).toMatch(/midi:1 +Midi Through/);
  });

  it('sends the expected notes in the expected order', () => {
    const reading = readChart(readFileSync(demo('tollhouse-kettle')));
    if (!reading.ok) throw new Error('the demo chart does not read');
    const { score } = arrange(reading.value, { key: reading.value.key, share: 1, instrument: mandolin });
    const counted = score.bars[2];
    if (!counted) throw new Error('the chart has no third bar');
    // Within an instant the click goes first, then the rest by voice and pitch.
    const order = ['click', 'low', 'chop'];
    const bars = [clickNotes(counted), ...score.notes.slice(2, 4)];
    const wanted = bars.flatMap((notes) =>
      [...notes]
        .sort(
          (one, other) =>
            one.at - other.at ||
            order.indexOf(one.voice) - order.indexOf(other.voice) ||
            one.note - other.note,
        )
        .map((note) => [0x90 | note.channel, note.note]),
    );
    const { ons, offs } = notesOf(readFileSync(join(folder.path, 'out', 'played.mid')));
    expect(ons).toEqual(wanted);
    expect([...offs].sort()).toEqual(wanted.map(([status, note]) => [(status ?? 0) & 0x8f, note]).sort());
  });

  it('makes a sound that is not silent, not clipped, and has silence before and after', () => {
    const wave = readFileSync(join(folder.path, 'out', 'played.wav'));
    const samples = new Int16Array(
      wave.buffer.slice(wave.byteOffset + 44, wave.byteOffset + wave.length - (wave.length % 2)),
    );
    // Loudest sample of each 50 ms.
    const loud = Array.from({ length: Math.floor(samples.length / 2205) }, (_, index) =>
      samples
        .subarray(index * 2205, (index + 1) * 2205)
        .reduce((most, one) => Math.max(most, Math.abs(one)), 0),
    );
    const peak = Math.max(...loud);
    expect(peak).toBeGreaterThan(2000);
    expect(peak).toBeLessThan(32_000);
    expect(loud[0]).toBeLessThan(50);
    expect(loud.at(-1)).toBeLessThan(50);
    // Two clicks of the count-in, then in each of two bars two beats and two chops: eight more attacks at least six of which stand apart.
    // Strokes stand half a second apart; within 200 ms of one, what rises again is the same one, unevenly emulated.
    let attacks = 0;
    let since = 4;
    for (const [index, one] of loud.entries()) {
      const rises = one > peak / 6 && one > 2 * (loud[index - 1] ?? 0);
      if (rises && since >= 4) attacks += 1;
      since = rises && since >= 4 ? 1 : since + 1;
    }
    expect(attacks).toBeGreaterThanOrEqual(8);
    expect(attacks).toBeLessThanOrEqual(10);
  });
});

/** Note-ons and note-offs of a Standard MIDI File of one track, in order. Written out here so that it shares nothing with the project. */
function notesOf(file: Buffer): { ons: number[][]; offs: number[][] } {
  const ons: number[][] = [];
  const offs: number[][] = [];
  let at = file.indexOf('MTrk') + 8;
  let status = 0;
  const variable = (): number => {
    let value = 0;
    for (let byte = 0x80; byte & 0x80; ) {
      byte = file[at++] ?? 0;
      value = value * 128 + (byte & 0x7f);
    }
    return value;
  };
  while (at < file.length) {
    variable();
    if ((file[at] ?? 0) & 0x80) status = file[at++] ?? 0;
    if (status === 0xff) {
      at += 1;
      const length = variable();
      at += length;
      continue;
    }
    const [note = 0, velocity = 0] = [file[at], file[at + 1]];
    at += 2;
    if ((status & 0xf0) === 0x90 && velocity > 0) ons.push([status, note]);
    else if ((status & 0xf0) === 0x80 || (status & 0xf0) === 0x90) offs.push([status & 0x8f, note]);
  }
  return { ons, offs };
}
