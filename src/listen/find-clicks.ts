import { likeSound } from './click-place.js';
import type { Wav } from './wav.js';

/** The clocks of two sound cards are apart by this share at most; it is tried in such steps. */
const mostDrift = 1e-4;
const driftSteps = 50;
/** By this power of its likeness a click counts (ours). */
const sharpness = 6;
/** So many onsets that are like a click tell the row. */
const mostLooked = 400;

/** A click of the program that is heard in a recording: its sample, and by its name which sound it is. */
export interface FoundClick {
  readonly sample: number;
  readonly sound: string;
}

/** A place where something is like a click, and how much, 0.5–1. */
interface LikeClick extends FoundClick {
  readonly likeness: number;
}

/** A click is looked for so far to both sides of an onset, or of its place in the row, seconds. */
const aside = 0.004;
/** The fewest clicks that make a row, and the share of those heard that lie in it. */
const fewest = 8;
const leastShare = 0.3;
/** So near to its place a click lies, seconds: clicks are even, hands are not, and a cycle of the block is three times as long. */
const even = 0.0004;

/**
 * Finds the clicks that a recording has beside the playing, when the player heard them by a loudspeaker: sounds that are known, in a row at equal distances
 * of `beat` seconds. None where there is no such row. `onsets` are samples at which something begins.
 */
export function findClicks(
  wav: Wav,
  onsets: readonly number[],
  beat: number,
  sounds: Readonly<Record<string, Float32Array>>,
): FoundClick[] {
  const { rate, frames } = wav.head;
  const length = Math.max(...Object.values(sounds).map((sound) => sound.length));
  const reach = Math.round(aside * rate);
  const likest = (sample: number): LikeClick | null => {
    const from = Math.max(0, Math.round(sample) - reach);
    const heard = wav.samples(from, length + 2 * reach);
    let best: { sound: string; place: number; likeness: number } | null = null;
    for (const [sound, samples] of Object.entries(sounds)) {
      const found = likeSound(heard, samples);
      if (found && (!best || found.likeness > best.likeness)) best = { sound, ...found };
    }
    return best && { sample: from + best.place, sound: best.sound, likeness: best.likeness };
  };
  const alike = onsets.flatMap((sample) => likest(sample) ?? []);
  const common = commonRow(alike, beat * rate, even * rate);
  if (!common) return [];
  const { phase, period } = common;
  const first = alike[0]?.sample ?? 0;
  const last = alike.at(-1)?.sample ?? 0;
  const row: FoundClick[] = [];
  const from = phase + period * Math.round((first - phase) / period);
  let sound = alike[0]?.sound ?? '';
  for (let at = from; at <= Math.min(last + period / 2, frames); at += period) {
    // Where a stroke hides it, it is taken for the sound before: the row goes on.
    sound = likest(at)?.sound ?? sound;
    row.push({ sample: at, sound });
  }
  return row;
}

/** The row that most of the clicks lie in, about a period apart; `null` when too few do. Those that are alike most tell the most: a stroke hides where a click begins. */
function commonRow(
  clicks: readonly LikeClick[],
  beat: number,
  within: number,
): { readonly phase: number; readonly period: number } | null {
  const some = clicks
    .slice(0, mostLooked)
    .map(({ sample, likeness }) => ({ sample, weight: likeness ** sharpness }));
  let best: { phase: number; period: number; count: number; value: number } | null = null;
  for (let step = -driftSteps; step <= driftSteps; step += 1) {
    const period = beat * (1 + (mostDrift * step) / driftSteps);
    for (const { sample: from } of some) {
      let [value, count, sum] = [0, 0, 0];
      for (const { sample, weight } of some) {
        const off = sample - from - period * Math.round((sample - from) / period);
        if (Math.abs(off) > within) continue;
        count += 1;
        value += weight;
        sum += weight * off;
      }
      // Clocks that agree are the likeliest.
      const likely = value * (1 - 0.1 * Math.abs(step / driftSteps));
      if (!best || likely > best.value) best = { phase: from + sum / value, period, count, value: likely };
    }
  }
  return best && best.count >= fewest && best.count >= leastShare * some.length ? best : null;
}
