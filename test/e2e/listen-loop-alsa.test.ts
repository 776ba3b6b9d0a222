import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { median } from '../../src/listen/estimate.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { performance } from '../listen/performance.js';
import { rate, renderable, rendered } from '../listen/rendered.js';
import { freshFolder } from './harness.js';

const { guestIsHere, inSteadyGuest } = (await import('./steady-guest.mjs' as string)) as {
  guestIsHere: boolean;
  inSteadyGuest: (script: string, folder: string, seconds: number) => Promise<string>;
};
const folder = freshFolder();
afterAll(() => folder.remove());

interface Told {
  readonly kind: string;
  readonly ms: number;
  readonly stroke: string;
}

/** Four bars at 120, low notes and chops, as a hand plays them. */
const played = performance({ bpm: 120, bars: 4, seed: 31 });

/** Plays a rendered hand into one end of a loopback card; answers what the ear tells of the other end. */
async function captured(): Promise<Told[]> {
  const wave = join(folder.path, 'played.wav');
  const sound = wavSamples(rendered(played));
  writeFileSync(wave, Buffer.concat([wavHeader(rate, sound.length), sound]));
  await inSteadyGuest(
    `
    printf 'pcm.!default { type asym\\n playback.pcm { type plug slave.pcm "hw:Loopback,0" }\\n capture.pcm { type plug slave.pcm "hw:Loopback,1" } }\\n' > ~/.asoundrc
    cat ${wave} > /dev/null
    as_player node test/e2e/ear-run.mjs default 600 > /tmp/heard.txt & ear=$!
    for _ in $(seq 300); do grep -q opened /tmp/heard.txt && break; sleep 0.1; done
    sleep 6
    aplay -q -D default --buffer-time=1000000 ${wave} 2> /tmp/lost.txt
    sleep 2
    kill -TERM $ear; wait $ear
    cp /tmp/heard.txt /tmp/lost.txt "$OUT/"
    true`,
    folder.path,
    1800,
  );
  expect(readFileSync(join(folder.path, 'out', 'lost.txt'), 'utf8')).toBe('');
  const lines = readFileSync(join(folder.path, 'out', 'heard.txt'), 'utf8')
    .trim()
    .split('\n');
  return lines.map((line) => JSON.parse(line) as Told);
}

const why = guestIsHere ? renderable() : 'BARKLINE_ALSA_GUEST names no emulated machine';
if (why !== null) console.log(`left out: a rendered hand played into a sound card, because ${why}`);

describe.runIf(why === null)('a rendered hand, played into a sound card', () => {
  it('is heard there, each stroke at its time within 5 ms', { timeout: 1_900_000 }, async () => {
    const told = await captured();
    const strokes = told.filter(({ kind }) => kind === 'stroke');
    // The card starts again when a player opens its other end: what is lost there is lost before the first stroke.
    const from = (strokes[0]?.ms ?? 0) - 200;
    const bad = ['gap', 'stalled', 'gone', 'died'];
    expect(told.filter(({ kind, ms }) => bad.includes(kind) && !(ms < from))).toStrictEqual([]);
    // The card repeats a little of what it held when a player closes it, after the last stroke.
    expect(strokes.length).toBeGreaterThanOrEqual(played.length);
    const off = played.map(({ at }, index) => (strokes[index]?.ms ?? Number.NaN) - at);
    const constant = median(off);
    for (const one of off) expect(Math.abs(one - constant)).toBeLessThan(5);
    const kinds = played.filter(({ kind }, index) => strokes[index]?.stroke === kind);
    expect(kinds.length).toBeGreaterThanOrEqual(played.length - 1);
  });
});
