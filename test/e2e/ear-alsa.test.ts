import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { bytesOf, openWav } from '../../src/listen/wav.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { chop, plucked } from '../ear/plucks.js';
import { cleanEnv, freshFolder, root } from './harness.js';

/** A machine with sound cards, emulated; it comes beside the project, not with it. */
const { alsaGuest: guest } = (await import('./outside.mjs' as string)) as { alsaGuest: string };
const folder = freshFolder();
afterAll(() => folder.remove());

interface Told {
  readonly kind: string;
  readonly ms: number;
  readonly sentence: string;
  readonly name: string;
  readonly by: string;
}

const rate = 48_000;
const times = Array.from({ length: 12 }, (_, at) => 500 + 430 * at + 17 * (at % 3));
const played = join(folder.path, 'played.wav');

function inGuest(): string {
  const sound = wavSamples(plucked(times, 6.2, rate, chop));
  writeFileSync(played, Buffer.concat([wavHeader(rate, sound.length), sound]));
  const script = join(folder.path, 'script.sh');
  writeFileSync(
    script,
    `
    printf 'pcm.!default { type asym\\n playback.pcm { type plug slave.pcm "hw:Loopback,0" }\\n capture.pcm { type plug slave.pcm "hw:Loopback,1" } }\\n' > ~/.asoundrc
    waits() { for _ in $(seq 600); do grep -q "$1" "$2" && return; sleep 0.1; done; echo "never: $1"; }
    node dist/main.js ports
    node test/e2e/ear-run.mjs default 500 /tmp/kept.wav > "$OUT/heard.txt" & ear=$!
    waits opened "$OUT/heard.txt"; sleep 3
    # An emulated machine does not always keep up: it has several tries, each with its times and what was lost.
    for try in 1 2 3; do
      begin=$(cut -d' ' -f1 /proc/uptime)
      aplay -q -D default --buffer-time=4000000 ${played} 2> /tmp/lost.txt
      sleep 3
      echo "$begin $(cut -d' ' -f1 /proc/uptime) $(grep -c underrun /tmp/lost.txt)" >> "$OUT/tries.txt"
    done
    # The same input cannot be opened twice.
    timeout 60 node test/e2e/ear-run.mjs hw:Loopback,1,0 30 > "$OUT/busy.txt" & busy=$!
    waits failed "$OUT/busy.txt"; kill $busy
    # The card is pulled out, and put in again.
    echo -n snd_aloop.0 > /sys/bus/platform/drivers/snd_aloop/unbind
    waits gone "$OUT/heard.txt"; cp "$OUT/heard.txt" "$OUT/until-gone.txt"
    echo -n snd_aloop.0 > /sys/bus/platform/drivers/snd_aloop/bind
    for _ in $(seq 300); do [ "$(grep -c opened "$OUT/heard.txt")" = 2 ] && break; sleep 0.1; done
    kill -TERM $ear; wait $ear; cp /tmp/kept.wav "$OUT/"
    # Without the system's recorder the package is what hears.
    mkdir /tmp/bin; ln -s "$(command -v node)" /tmp/bin/node
    PATH=/tmp/bin node test/e2e/ear-run.mjs default 40 > "$OUT/package.txt" & ear=$!
    waits 'opened\\|failed' "$OUT/package.txt"; kill $ear
    true`,
  );
  return execFileSync(guest, ['--timeout', '600', '--', 'bash', script], {
    cwd: root,
    encoding: 'utf8',
    env: cleanEnv('/tmp', { ALSA_GUEST_OUT: join(folder.path, 'out') }),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
}

function told(name: string): Told[] {
  const text = readFileSync(join(folder.path, 'out', name), 'utf8');
  return text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as Told);
}

if (!existsSync(guest)) console.log('left out: the tests of microphones need BARKLINE_ALSA_GUEST');

describe.runIf(existsSync(guest))('a microphone in a machine with ALSA', () => {
  // One boot serves all.
  const printed = existsSync(guest) ? inGuest() : '';

  it('is listed', () => {
    expect(printed).not.toContain('never:');
    expect(printed).toMatch(
      /Microphones, for --microphone:\n {2}1 {2}default +\(usual\)\n(.*\n)* {2}\d {2}plughw:CARD=Loopback,DEV=1 /,
    );
  });

  it('hears what is played, each stroke at its time', () => {
    const heard = told('heard.txt');
    expect(heard[0]).toMatchObject({ kind: 'opened', name: 'default', rate, by: 'arecord' });
    const tries = readFileSync(join(folder.path, 'out', 'tries.txt'), 'utf8')
      .trim()
      .split('\n');
    let judged = 0;
    for (const line of tries) {
      const [begin = 0, until = 0, lost = 0] = line.split(' ').map(Number);
      const within = (kind: string): number[] =>
        heard
          .filter((one) => one.kind === kind && one.ms > 1000 * begin - 1000 && one.ms < 1000 * until)
          .map(({ ms }) => ms);
      if (lost > 0 || within('gap').length > 0) continue;
      judged += 1;
      // The way from one card to the other is constant, and nothing else is taken away.
      const strokes = within('stroke');
      // The emulated card repeats a little of what it held when a player closes it: that is after the last stroke.
      const end = (strokes[0] ?? 0) + (times.at(-1) ?? 0) - (times[0] ?? 0) + 500;
      const off = strokes.filter((ms) => ms < end).map((ms, at) => ms - (times[at] as number));
      const middle = [...off].sort((one, other) => one - other)[off.length >> 1] as number;
      expect(off).toHaveLength(times.length);
      for (const one of off) expect(Math.abs(one - middle)).toBeLessThan(5);
    }
    expect(judged).toBeGreaterThan(0);
  });

  it('is said to be busy, and to have gone, each in a line; it is heard again when it is back', () => {
    expect(told('busy.txt')).toMatchObject([
      {
        kind: 'failed',
        sentence:
          'the microphone “hw:Loopback,1,0” is in use by another program; close that one, or choose another with --microphone',
      },
    ]);
    const kinds = told('heard.txt')
      .map(({ kind }) => kind)
      .filter((kind) => ['opened', 'gone', 'died'].includes(kind));
    expect(kinds).toStrictEqual(['opened', 'gone', 'opened']);
  });

  it('is kept on disk only as asked, and reads back', () => {
    const kept = openWav(bytesOf(readFileSync(join(folder.path, 'out', 'kept.wav'))));
    if (!kept.ok) throw new Error(kept.fault);
    expect(kept.value.head.rate).toBe(rate);
    expect(kept.value.head.frames).toBeGreaterThan(6 * rate);
    expect(kept.value.samples(0, 60 * rate).some((one) => one > 0.1)).toBe(true);
  });

  it('is opened by the package where the system has no recorder', () => {
    expect(told('package.txt')[0]).toMatchObject({ kind: 'opened', by: 'decibri' });
  });
});
