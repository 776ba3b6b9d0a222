import { Hearing } from '../../src/ear/hearing.js';
import type { FromEar } from '../../src/ear/messages.js';
import { ownSamples } from '../../src/ear/own-samples.js';
import type { SoundAhead } from '../../src/listen/sound-ahead.js';
import type { StrokeHeard } from '../../src/listen/stroke-heard.js';
import { mixIn, normals, smallRoom, through } from '../listen/noisy.js';

/** When the microphone's first sample sounded, on the shared clock, and how long its pieces take to arrive, ms. */
const begin = 70_000;
const way = 12;

/** What the program itself plays at a tempo: a click on each beat, a bass on every other, the first four beats counted in. */
export function ownMusic(bpm: number, bars: number, { offset = 1000, bass = true } = {}): SoundAhead[] {
  const beat = 60_000 / bpm;
  return Array.from({ length: 4 * bars + 4 }, (_, index) => {
    const ms = offset + (index - 4) * beat;
    const first = index % 4 === 0;
    const click = { ms, voice: 0, note: first ? 76 : 77, velocity: first ? 96 : 72, length: 50 };
    if (index < 4) return [{ ...click, alone: true }];
    const low = {
      ms,
      voice: 1,
      note: [31, 38, 36, 43][(index >> 1) % 4] as number,
      velocity: 92,
      length: 1.8 * beat,
    };
    return bass && index % 2 === 0 ? [click, low] : [click];
  }).flat();
}

export interface Scene {
  readonly rate: number;
  /** What the hand plays, as long as the scene. */
  readonly hand: Float32Array;
  readonly own: readonly SoundAhead[];
  /** How strong the louder click is heard at its peak. */
  readonly level: number;
  /** How much later than it is due what the program plays is heard, ms; and what the ear is told of that (`null`: nothing). */
  readonly late: number;
  readonly told: number | null;
  /** Whether own sounds are announced. */
  readonly announced?: boolean;
  /** How unevenly the sound card places its sounds (standard deviation), ms. */
  readonly jitter?: number;
  readonly seed?: number;
}

/** A sound that is stopped after so many samples, as the built-in sound stops it. */
function damped(samples: Float32Array, length = samples.length, rate: number): Float32Array {
  const fade = Math.round(0.004 * rate);
  const end = Math.round(length) + fade;
  return samples.slice(0, end).map((value, at) => value * Math.min(1, Math.max(0, (end - at) / fade)));
}

/** A sound that comes a part of a sample later (a windowed sinc). */
export function later(samples: Float32Array, part: number): Float32Array {
  const reach = 16;
  const taps = Array.from({ length: 2 * reach }, (_, tap) => {
    const x = tap - reach + 1 - part;
    return x === 0
      ? 1
      : (Math.sin(Math.PI * x) / (Math.PI * x)) * Math.cos((Math.PI * x) / (2 * reach + 2)) ** 2;
  });
  return Float32Array.from({ length: samples.length + reach }, (_, at) =>
    taps.reduce((sum, tap, index) => sum + tap * (samples[at - (index - reach + 1)] ?? 0), 0),
  );
}

/** What an ear makes of a hand beside the program's own music from a loudspeaker. Times are ms from the scene's beginning. */
export function heardScene(scene: Scene): { strokes: StrokeHeard[]; cpuMs: number } {
  const { rate, hand, own, level, late, told, announced = true, jitter = 0, seed = 17 } = scene;
  const samples = hand.slice();
  const room = smallRoom(rate, seed);
  const normal = normals(seed + 1);
  const known = new Map<string, Float32Array>();
  const loudest = through(
    ownSamples({ ms: 0, voice: 0, note: 76, velocity: 96, length: 50 }, rate).samples(),
    room,
  );
  const gain = level / (0.756 * loudest.reduce((most, one) => Math.max(most, Math.abs(one)), 0));
  for (const sound of own) {
    const made = ownSamples(sound, rate);
    const key = `${made.name} ${made.length}`;
    const wet = known.get(key) ?? through(damped(made.samples(), made.length, rate), room);
    known.set(key, wet);
    const place = ((sound.ms + late + jitter * normal()) * rate) / 1000;
    mixIn(samples, later(wet, place - Math.floor(place)), Math.floor(place), gain * made.level);
  }
  for (let at = 0; at < samples.length; at += 1) samples[at] = (samples[at] as number) + 5e-4 * normal();
  const strokes: StrokeHeard[] = [];
  const hearing = new Hearing(rate, (message: FromEar) => {
    if (message.kind === 'stroke') strokes.push({ ...message, ms: message.ms - begin - way });
  });
  hearing.setDelay(told === null ? null : told + way);
  const size = Math.round(rate / 100);
  let next = 0;
  const before = process.cpuUsage();
  for (let at = 0; at < samples.length; at += size) {
    const until = (1000 * at) / rate + 2000;
    const from = next;
    while (next < own.length && (own[next] as SoundAhead).ms < until) next += 1;
    if (announced && next > from)
      hearing.announce(
        own.slice(from, next).map((one) => ({ ...one, ms: begin + one.ms })),
        begin + (own[from] as SoundAhead).ms,
      );
    hearing.sound(
      samples.subarray(at, at + size),
      begin + way + (1000 * Math.min(samples.length, at + size)) / rate,
    );
  }
  hearing.end();
  const { user, system } = process.cpuUsage(before);
  return { strokes, cpuMs: (user + system) / 1000 };
}
