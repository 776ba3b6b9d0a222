import { Hearing } from './hearing.js';

/** This much sound, seconds, with this many strokes in it, is enough for what runs often to be compiled. */
const seconds = 1.5;
const strokes = 6;
const rate = 48_000;

/**
 * Listens to meaningless sound, and reports nothing: code that runs for the first time is several times slower, and a player's
 * first stroke would be reported late. Takes about a fifth of a second.
 */
export function rehearse(): void {
  const hearing = new Hearing(rate, () => {});
  const between = Math.round((seconds / strokes) * rate);
  const sound = Float32Array.from({ length: seconds * rate }, (_, at) => {
    const since = at % between;
    return (
      0.3 * Math.exp(-since / 2000) * (Math.sin(since / 24) + Math.sin(since / 11) + Math.sin(since / 3.7))
    );
  });
  const piece = rate / 100;
  for (let at = 0; at < sound.length; at += piece)
    hearing.sound(sound.subarray(at, at + piece), (1000 * (at + piece)) / rate);
  hearing.end();
}
