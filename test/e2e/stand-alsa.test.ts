import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { readDiary } from '../../src/shed/diary.js';
import { rate, renderable } from '../listen/rendered.js';
import { choppedTake } from './chopped-take.js';
import { demo, freshFolder } from './harness.js';

const { guestIsHere, inSteadyGuest } = (await import('./steady-guest.mjs' as string)) as {
  guestIsHere: boolean;
  inSteadyGuest: (script: string, folder: string, seconds: number) => Promise<string>;
};
let folder: ReturnType<typeof freshFolder> | null = null;
afterEach(() => folder?.remove());

/** What is aimed at, and the first two rungs, quarters a minute: 60 % of it, and 12 % more. */
const [target, first, second] = [250, 150, 168];
const drill = [demo('weir-hands'), 'pair', '--chords', '1,4', '--tempo', String(target)];
const settings = ['ladder: from 60%, up after 1', 'listen: on, learning'];

/**
 * A drill on a terminal, whose usual microphone is one end of a loopback card; a take is played into the other end. No key is pressed.
 *
 * @returns what was written there: the screen before the take and when the second pass is played, the diary, what was lost of the sound
 */
async function heardInGuest(wave: string, path: string) {
  const printed = await inSteadyGuest(
    `
    printf 'pcm.!default { type asym\\n playback.pcm { type plug slave.pcm "hw:Loopback,0" }\\n capture.pcm { type plug slave.pcm "hw:Loopback,1" } }\\n' > ~/.asoundrc
    cat ${wave} "$(command -v tmux)" ${drill[0]} > /dev/null
    mkdir -p /tmp/state/barkline
    printf '%s\\n' ${settings.map((line) => `'${line}'`).join(' ')} > /tmp/state/barkline/settings.yaml
    diary=/tmp/state/barkline/diary.jsonl
    screen() { tmux capture-pane -p -t drill; }
    waits() { for _ in $(seq "$1"); do "\${@:2}" && return; sleep 1; done; echo "never: \${*:2}"; screen; }
    shows() { screen | grep -q "$1"; }
    as_player tmux new-session -d -s drill -x 100 -y 30 "node dist/start.js shed drill ${drill.join(' ')} --out none"
    # The loop is silent, and said to be, before anything is played into it; the place of a sample in time is known after a few seconds of sound.
    waits 180 shows 'four chops'; waits 30 shows 'nothing at all'; sleep 3
    screen > "$OUT/before.txt"
    aplay -q -D default --buffer-time=1000000 ${wave} 2> "$OUT/lost.txt"
    waits 30 shows 'pass 2'
    screen > "$OUT/after.txt"
    # What was heard is written down when the player has had time to say something else.
    waits 15 test -s $diary
    cp $diary "$OUT/"
    tmux kill-server
    true`,
    path,
    1800,
  );
  expect(printed).not.toContain('never:');
  const read = (name: string): string => {
    const file = join(path, 'out', name);
    return existsSync(file) ? readFileSync(file, 'utf8') : '';
  };
  return {
    before: read('before.txt'),
    after: read('after.txt'),
    diary: read('diary.jsonl'),
    lost: read('lost.txt'),
  };
}

/** It takes from two minutes to half an hour, as fast as the machine emulates: it is asked for with BARKLINE_SLOW. */
const why = !guestIsHere
  ? 'BARKLINE_ALSA_GUEST names no emulated machine'
  : process.env.BARKLINE_SLOW === undefined
    ? 'BARKLINE_SLOW is not set'
    : renderable();
if (why !== null) console.log(`left out: a drill that hears a sound card, because ${why}`);

describe.runIf(why === null)('a drill that hears a sound card', () => {
  // Where the machine is so busy that sound is lost it may try once more: another boot, another take.
  it('begins by four chops, hears the pass, writes it down and goes up a rung, without a key', {
    retry: 1,
    timeout: 3_700_000,
  }, async () => {
    folder = freshFolder();
    const wave = join(folder.path, 'played.wav');
    const take = choppedTake(drill, { bpm: first, countIn: 1, jitter: 8, seed: 5 });
    const sound = wavSamples(take.samples);
    writeFileSync(wave, Buffer.concat([wavHeader(rate, sound.length), sound]));

    const { before, after, diary, lost } = await heardInGuest(wave, folder.path);
    expect(lost).toBe('');
    expect(before).toMatch(new RegExp(` ${first} ♩ .* ready `));
    expect(after).toMatch(new RegExp(` ${second} ♩ .* pass 2 `));

    const { entries } = readDiary(diary);
    expect(entries).toMatchObject([{ what: 'drill', drill: 'pair', bpm: first, target, result: 'clean' }]);
    const heard = entries[0]?.heard;
    expect(heard).toMatchObject({ result: 'clean', wrong: [] });
    // Of 32 strokes half are chops; one in sixteen may be missed.
    expect(take.strokes).toBe(32);
    for (const timing of [heard?.chops, heard?.lows]) {
      expect(timing?.count).toBeGreaterThanOrEqual(15);
      // It was played with 8 ms.
      expect(timing?.spread).toBeGreaterThan(3);
      expect(timing?.spread).toBeLessThan(13);
    }
  });
});
