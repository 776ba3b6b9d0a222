import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freshFolder } from './harness.js';

/*
 * barkline doctor in an emulated machine with the ALSA sequencer and sound cards: what works there is said to work.
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

describe.runIf(guestIsHere)('in a machine with sound cards and MIDI ports', () => {
  let printed = '';
  beforeAll(
    async () => {
      // The microphone hears a card of zeros.
      printed = await inSteadyGuest(
        `
      printf 'pcm.!default { type asym playback.pcm "plughw:Loopback,0" capture.pcm "plughw:Dummy" }\\n' > ~/.asoundrc
      as_player node dist/main.js doctor --no-network --wait 30 --json; echo "status $?"
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
});
