import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { noteHertz, tableOf } from '../../src/player/synth/tables.js';
import { attack, centsOff, decayed, peak, piece } from '../player/synth/measure.js';
import { cleanEnv, freshFolder, root } from './harness.js';

/** A machine with sound cards, emulated; it comes beside the project, not with it. */
const { alsaGuest: guest } = (await import('./outside.mjs' as string)) as { alsaGuest: string };
const folder = freshFolder();
afterAll(() => folder.remove());

const rate = 44_100;
const chopMs = 60;
/** What is played, one after the other: its messages' status, note and velocity, its voice and how long it lasts, ms. */
const struck = {
  accent: [0x99, 76, 96, 0, 50],
  beat: [0x99, 77, 72, 0, 50],
  bass: [0x92, 40, 92, 1, 500],
  low: [0x90, 55, 96, 2, 500],
  'chop of a low course': [0x91, 62, 96, 3, chopMs],
  'chop of a high course': [0x91, 79, 96, 3, chopMs],
} as const;
/** A chop of four courses, each this long behind the one before, ms. */
const stroke = { notes: [62, 67, 71, 79], spread: 2, velocity: 96 };
const gapMs = 750;

/**
 * Plays all of it through the built-in sound. A processor that is emulated beside busy cores does not keep the program's own buffer of 50 ms full:
 * here it is longer, and everything is sent ahead of it.
 */
const script = `
  import { createRequire } from 'node:module';
  const { AudioContext } = createRequire('${root}/package.json')('node-web-audio-api');
  const { SoundOutput } = await import('${root}/dist/player/outputs/sound.js');
  const { hrtimeMs } = await import('${root}/dist/player/host.js');
  const out = new SoundOutput(new AudioContext({ latencyHint: 0.5 }));
  if (!(await out.clockRuns())) throw new Error('the card takes no sound');
  const notes = [...${JSON.stringify(Object.values(struck))}.map((one) => [one]),
    ${JSON.stringify(stroke.notes.map((note, index) => [0x91, note, stroke.velocity, 3, chopMs, index * stroke.spread]))}];
  const first = hrtimeMs() + 2000;
  const messages = notes.flatMap((group, place) => group.flatMap(([status, note, velocity, voice, length, late = 0]) => {
    const at = first + place * ${gapMs} + late;
    return [[at, status, note, velocity, voice, length], [at + length, status - 0x10, note, 0]];
  }));
  for (const [at, status, note, velocity, voice, length] of messages.sort((one, other) => one[0] - other[0]))
    out.send(status, note, velocity, at, voice, length);
  await new Promise((resolve) => setTimeout(resolve, 2000 + notes.length * ${gapMs} + 1500));
  out.close();
  setTimeout(() => process.exit(0), 200);
`;

/** Emulated beside busy cores a card may run dry, of which ALSA tells on stderr; then it is played once more, so often at most. */
const attempts = 5;

/** What a card took in while the script ran, the first time that nothing was told on stderr; else the last time. */
function captured(): Float32Array {
  writeFileSync(join(folder.path, 'play.mjs'), script);
  writeFileSync(
    join(folder.path, 'script.sh'),
    `printf 'pcm.!default { type plug slave.pcm "hw:Loopback,0" }\n' > ~/.asoundrc
     for attempt in $(seq ${attempts}); do
       timeout 90 arecord -q -D plughw:Loopback,1 -f S16_LE -r ${rate} -c 1 "$OUT/played.wav" & recorder=$!
       sleep 1
       timeout 60 node ${join(folder.path, 'play.mjs')} 2> /tmp/told; cat /tmp/told >&2
       kill -INT $recorder; wait $recorder
       [ -s /tmp/told ] || break
     done
     true`,
  );
  execFileSync(guest, ['--timeout', '560', '--', 'bash', join(folder.path, 'script.sh')], {
    cwd: root,
    env: cleanEnv('/tmp', { ALSA_GUEST_OUT: join(folder.path, 'out') }),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const wave = readFileSync(join(folder.path, 'out', 'played.wav'));
  const samples = wave.subarray(44, wave.length - (wave.length % 2));
  return Float32Array.from({ length: samples.length / 2 }, (_, at) => samples.readInt16LE(2 * at) / 32768);
}

/** The sounds that silence parts, in their order, each from just before it begins. */
function sounds(samples: Float32Array): Float32Array[] {
  const found: Float32Array[] = [];
  const silence = 0.15 * rate;
  let [from, last] = [-1, Number.NEGATIVE_INFINITY];
  samples.forEach((sample, index) => {
    if (Math.abs(sample) < 0.0005) return;
    if (index - last > silence) {
      if (from >= 0) found.push(samples.subarray(from, last + silence / 2));
      from = Math.max(0, index - 20);
    }
    last = index;
  });
  if (from >= 0) found.push(samples.subarray(from, last + silence / 2));
  return found;
}

/** A chop as it should be where each course comes so many ms behind the one before: its courses, one upon the other. */
function strokeWith(spread: number): Float32Array {
  const sum = new Float32Array(Math.round(0.09 * rate));
  stroke.notes.forEach((note, index) => {
    const from = Math.round((index * spread * rate) / 1000);
    const table = tableOf({ voice: 3, note, velocity: stroke.velocity, length: chopMs }).samples(rate);
    table.forEach((sample, at) => {
      sum[from + at] = (sum[from + at] as number) + sample;
    });
  });
  return sum;
}

/** How alike two sounds are where the second is laid upon the first so that they are most alike: 1 where they differ in loudness only. */
function likeness(sound: Float32Array, other: Float32Array): number {
  let best = 0;
  const norm = (values: Float32Array): number => Math.sqrt(values.reduce((sum, one) => sum + one * one, 0));
  for (let shift = -40; shift < 60; shift += 1) {
    const piece = other.map((_, index) => sound[index + shift] ?? 0);
    const product = other.reduce((sum, one, index) => sum + one * (piece[index] as number), 0);
    best = Math.max(best, product / (norm(piece) * norm(other)));
  }
  return best;
}

if (!existsSync(guest)) console.log('left out: the capture of the built-in sound needs BARKLINE_ALSA_GUEST');

describe.runIf(existsSync(guest))('the built-in sound, as a sound card of an emulated machine has it', () => {
  const wanted = Object.keys(struck).length + 1;
  const all = existsSync(guest) ? captured() : new Float32Array(0);
  const heard = sounds(all);
  const one = (name: keyof typeof struck): Float32Array =>
    heard[Object.keys(struck).indexOf(name)] ?? new Float32Array(1);

  it('has every sound, each once, and is never clipped', () => {
    expect(heard).toHaveLength(wanted);
    expect(peak(all)).toBeGreaterThan(0.05);
    expect(peak(all)).toBeLessThan(0.5);
  });

  it.each(Object.keys(struck) as (keyof typeof struck)[])('%s: is there within 2 ms', (name) => {
    expect(peak(one(name))).toBeGreaterThan(0.03);
    expect(attack(one(name), rate)).toBeLessThan(2);
  });

  it.each([
    ['bass', 480],
    ['low', 480],
    ['chop of a low course', 45],
    ['chop of a high course', 45],
  ] as const)('%s: lies within 3 cents of its note', (name, until) => {
    const off = centsOff(one(name), rate, noteHertz(struck[name][1]), 3, until);
    expect(Math.abs(off)).toBeLessThan(3);
  });

  it('has clicks and chops that are damped, and a bass and low notes that ring until they are ended', () => {
    // By 40 dB: what lies below is hardly more than the steps of 16 bits.
    for (const name of ['accent', 'beat'] as const) expect(decayed(one(name), rate, 40)).toBeLessThan(50);
    for (const name of ['chop of a low course', 'chop of a high course'] as const) {
      expect(decayed(one(name), rate, 40)).toBeGreaterThan(40);
      expect(decayed(one(name), rate, 40)).toBeLessThan(chopMs);
    }
    for (const name of ['bass', 'low'] as const) {
      expect(decayed(one(name), rate, 20)).toBeGreaterThan(150);
      const end = piece(one(name), rate, 490, 499);
      expect(peak(end)).toBeGreaterThan(0.002);
      expect(peak(piece(one(name), rate, 506, 560))).toBeLessThan(0.0005);
    }
  });

  it('strikes all courses of a chop within 6 ms, and all of it is gone within 70', () => {
    const chop = heard.at(-1) ?? new Float32Array(1);
    const spreads = Array.from({ length: 17 }, (_, index) => index / 4);
    const alike = spreads.map((spread) => likeness(chop, strokeWith(spread)));
    const best = alike.indexOf(Math.max(...alike));
    // Three times 2 ms: 6 from the first course to the last.
    expect(spreads[best]).toBe(stroke.spread);
    expect(alike[best]).toBeGreaterThan(0.95);
    expect(alike[0]).toBeLessThan(0.8);
    expect(decayed(chop, rate, 40)).toBeGreaterThan(40);
    expect(decayed(chop, rate, 50)).toBeLessThan(70);
  });
});
