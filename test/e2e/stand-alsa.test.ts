import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { readDiary } from '../../src/shed/diary.js';
import { rate, renderable } from '../listen/rendered.js';
import { choppedTake } from './chopped-take.js';
import { demo, freshFolder } from './harness.js';

const { guestIsHere, inSteadyGuest } = (await import('./steady-guest.mjs' as string)) as {
  guestIsHere: boolean;
  inSteadyGuest: (script: string, folder: string, seconds: number) => Promise<string>;
};
const folder = freshFolder();
afterAll(() => folder.remove());

/** The drill's first rung is 60 % of what is aimed at. */
const [target, start] = [250, 150];
const drill = [demo('weir-hands'), '--chords', '1,4', '--tempo', String(target)];
const settings = `ladder: from ${(100 * start) / target}%, up after 1\nlisten: on, learning\n`;

/** What the drill was given to hear, and what it left: its screens before and behind, its diary, and what was lost on the way. */
async function heardInGuest() {
  const wave = join(folder.path, 'played.wav');
  const take = choppedTake(drill, { bpm: start, countIn: 1, jitter: 8, seed: 5 });
  const sound = wavSamples(take.samples);
  writeFileSync(wave, Buffer.concat([wavHeader(rate, sound.length), sound]));
  await inSteadyGuest(
    `
    printf 'pcm.!default { type asym\\n playback.pcm { type plug slave.pcm "hw:Loopback,0" }\\n capture.pcm { type plug slave.pcm "hw:Loopback,1" } }\\n' > ~/.asoundrc
    cat ${wave} /usr/bin/tmux charts/weir-hands.yaml > /dev/null
    mkdir -p /tmp/state/barkline; printf '${settings.replaceAll('\n', '\\n').replaceAll('%', '%%')}' > /tmp/state/barkline/settings.yaml
    shows() { for _ in $(seq "$2"); do tmux capture-pane -p -t stand | grep -q "$1" && return; sleep 0.5; done; return 1; }
    as_player tmux new-session -d -s stand -x 100 -y 30 "node dist/start.js shed drill ${drill.join(' ')} --out none"
    shows 'four chops' 240; sleep 8
    tmux capture-pane -p -t stand > "$OUT/before.txt"
    aplay -q -D default --buffer-time=1000000 ${wave} 2> "$OUT/lost.txt"
    shows 'pass 2' 40
    tmux capture-pane -p -t stand > "$OUT/behind.txt"
    for _ in $(seq 40); do [ -s /tmp/state/barkline/diary.jsonl ] && break; sleep 0.5; done
    cp /tmp/state/barkline/diary.jsonl "$OUT/"
    tmux capture-pane -p -t stand > "$OUT/end.txt"
    tmux kill-server
    true`,
    folder.path,
    900,
  );
  const out = (name: string): string => {
    const path = join(folder.path, 'out', name);
    return existsSync(path) ? readFileSync(path, 'utf8') : '';
  };
  return { take, out };
}

const why = guestIsHere ? renderable() : 'shared/rig/alsa-guest is not here';
if (why !== null) console.log(`left out: a drill that hears a sound card, because ${why}`);

describe.runIf(why === null)('a drill that listens to a sound card', () => {
  it('begins by four chops, hears the pass, writes it down and goes up a rung, without a key', {
    timeout: 1_000_000,
  }, async () => {
    const { take, out } = await heardInGuest();
    console.log(
      out('before.txt'),
      out('behind.txt'),
      out('end.txt'),
      out('diary.jsonl'),
      take.strokes,
      out('lost.txt'),
    );
    const { entries } = readDiary(out('diary.jsonl'));
    expect(entries).toHaveLength(1);
  });
});
