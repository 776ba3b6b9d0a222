import { choppedCourse, ringingCourse } from '../../src/player/synth/course.js';
import type { Stroke } from './rendered.js';

/** How fast damped strings fall, ms to a 1/e of their amplitude. */
const damping = 15;

/** Strokes as the program's own string model sounds them: quick, the same everywhere, and another source than a sound font. Mono. */
export function plucked(strokes: readonly Stroke[], rate: number): Float32Array {
  const end = Math.max(...strokes.map(({ at, length }) => at + length)) + 500;
  const samples = new Float32Array(Math.round((end * rate) / 1000));
  const kept = new Map<string, Float32Array>();
  for (const { at, notes, velocity, length, spread = 4, up = false } of strokes) {
    const order = up ? [...notes].reverse() : notes;
    order.forEach((note, index) => {
      const hertz = 440 * 2 ** ((note - 69) / 12);
      const strength = Math.min(3, velocity >> 5);
      const chopped = notes.length > 1 && length <= 120;
      const key = `${note} ${strength} ${chopped ? length : ''}`;
      const sound =
        kept.get(key) ??
        (chopped ? choppedCourse(rate, hertz, strength, length + 20) : ringingCourse(rate, hertz, strength));
      kept.set(key, sound);
      const start = Math.round(
        ((at + (order.length > 1 ? (index * spread) / (order.length - 1) : 0)) * rate) / 1000,
      );
      const whole = Math.round((length * rate) / 1000);
      for (let offset = 0; offset < sound.length && start + offset < samples.length; offset += 1) {
        const fade = offset < whole ? 1 : Math.exp((-1000 * (offset - whole)) / (damping * rate));
        if (fade < 1e-4) break;
        samples[start + offset] =
          (samples[start + offset] as number) + 0.35 * (velocity / 127) * fade * (sound[offset] as number);
      }
    });
  }
  return samples;
}
