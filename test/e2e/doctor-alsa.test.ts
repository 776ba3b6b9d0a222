import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freshFolder } from './harness.js';

/*
 * barkline doctor in an emulated machine with the ALSA sequencer and sound cards: what works there is said to work, and a click is
 * heard only where it is asked for.
 */

const { guestIsHere, inSteadyGuest } = (await import('./steady-guest.mjs' as string)) as {
  guestIsHere: boolean;
  inSteadyGuest: (script: string, folder: string, seconds: number) => Promise<string>;
};
const folder = freshFolder();
afterAll(() => folder.remove());
/** So long it may take, s of this machine's time, where it is busy with other things. */
const mostSeconds = 1500;

if (!guestIsHere) console.log('left out: the tests of barkline doctor with ALSA need BARKLINE_ALSA_GUEST');

/** The greatest sample of a recording of 16 bits. */
function loudest(name: string): number {
  const wave = readFileSync(join(folder.path, 'out', name)).subarray(44);
  let most = 0;
  for (let at = 0; at + 1 < wave.length; at += 2) most = Math.max(most, Math.abs(wave.readInt16LE(at)));
  return most;
}

describe.runIf(guestIsHere)('in a machine with sound cards and MIDI ports', () => {
  let printed = '';
  beforeAll(
    async () => {
      // What is played on one end of the loop is recorded on the other; the microphone hears a card of zeros.
      printed = await inSteadyGuest(
        `
      printf 'pcm.!default { type asym playback.pcm "plughw:Loopback,0" capture.pcm "plughw:Dummy" }\\n' > ~/.asoundrc
      record() { timeout 200 arecord -q -D plughw:Loopback,1 -f S16_LE -r 44100 -c 1 "$OUT/$1" & recorder=$!; sleep 1; }
      stop() { sleep 1; kill -INT $recorder; wait $recorder; }
      record silent.wav
      as_player node dist/main.js doctor --no-network --wait 30 --json; echo "status $?"
      stop
      record click.wav
      as_player node dist/main.js doctor --no-network --wait 30 --sound; echo "status $?"
      stop
      true`,
        folder.path,
        mostSeconds,
      );
    },
    mostSeconds * 1000 + 60_000,
  );

  it('finds that sound and MIDI work, and a microphone that is silent', () => {
    const { status, heard, checks } = JSON.parse(printed.slice(0, printed.indexOf('status 0')));
    expect([status, heard]).toEqual([0, true]);
    const named = (name: string) => checks.find((one: { name: string }) => one.name === name);
    expect(named('sound')).toMatchObject({ state: 'works' });
    expect(named('midi-out')).toMatchObject({ state: 'works' });
    expect(named('midi-out').found.outputs[0]).toMatch(/^Midi Through/);
    expect(named('midi-in').found.inputs.length).toBeGreaterThan(1);
    expect(named('microphone')).toMatchObject({ state: 'fails', found: { condition: 'silent' } });
    expect(named('microphone').todo).toContain('muted');
  });

  it('makes no sound of its own, and a click where it is asked for', () => {
    expect(printed).toMatch(/sound +works +the built-in sound opens, and a click was played/);
    expect(loudest('silent.wav')).toBe(0);
    expect(loudest('click.wav')).toBeGreaterThan(300);
  });
});
