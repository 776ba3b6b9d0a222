import { likeSound } from './click-place.js';
import type { Wav } from './wav.js';

/** The clocks of two sound cards differ by this share at most; it is tried in `driftSteps` steps to each side. */
const mostDrift = 1e-4;
const driftSteps = 50;
/** A click is weighted by this power of its likeness (ours). */
const sharpness = 6;
/** This many onsets that are like a click tell the row. */
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

/** A click is looked for this far to both sides of an onset, or of its place in the row, seconds. */
const aside = 0.004;
/** The fewest clicks that make a row, and the share of those heard that lie in it. */
const fewest = 8;
const leastShare = 0.3;
/** Where the beat is not known only what is this much like a click counts: strokes of dry instruments come to 0.61. So many of those lie in the row, as a share. */
const leastLike = 0.65;
const leastInRow = 0.5;
/** Clicks are this far apart, seconds: from 240 eighths to 40 beats a minute. */
const [nearest, furthest] = [0.12, 1.5];
/** The row is laid through the clicks that lie in it, then through the nearer ones: shares of how far one may lie. */
const fitsWithin = [1, 0.5, 0.25];
/** A row that is looked for goes from a click to one of the next so many; the distances that are met most, this many of them, are tried. */
const nextOnes = 4;
const mostTried = 6;
/** A click is this close to its place, seconds: clicks are even, hands are not, and a cycle of the block is three times as long. */
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
  const likest = likeClicks(wav, sounds);
  const alike = onsets.flatMap((sample) => likest(sample) ?? []);
  const common = commonRow(alike, beat * rate, even * rate);
  if (!common || common.count < leastShare * common.of) return [];
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

/** How far apart the clicks of a recording are, seconds, when their tempo is not known; `null` if it has none. */
export function clickBeat(
  wav: Wav,
  onsets: readonly number[],
  sounds: Readonly<Record<string, Float32Array>>,
): number | null {
  const { rate } = wav.head;
  const likest = likeClicks(wav, sounds);
  const alike = onsets.slice(0, mostLooked).flatMap((sample) => {
    const one = likest(sample);
    return one && one.likeness >= leastLike ? [one] : [];
  });
  let best: { period: number; count: number } | null = null;
  for (const distance of usualDistances(alike, rate)) {
    const row = commonRow(alike, distance, even * rate);
    if (!row || row.count < leastInRow * row.of) continue;
    // A row of half the distance has the same clicks; of double the distance, fewer.
    const isMore = !best || row.count > best.count || (row.count === best.count && row.period > best.period);
    if (isMore) best = row;
  }
  return best && best.period / rate;
}

/** The distances that are met most from a click to the next ones, in samples. */
function usualDistances(clicks: readonly LikeClick[], rate: number): number[] {
  const met = new Map<number, number[]>();
  clicks.forEach(({ sample }, index) => {
    for (const next of clicks.slice(index + 1, index + 1 + nextOnes)) {
      const distance = next.sample - sample;
      if (distance < nearest * rate || distance > furthest * rate) continue;
      const place = Math.round(distance / (even * rate));
      met.set(place, [...(met.get(place) ?? []), distance]);
    }
  });
  return [...met.values()]
    .sort((one, other) => other.length - one.length)
    .slice(0, mostTried)
    .map((all) => all.reduce((sum, one) => sum + one, 0) / all.length);
}

/** What tells which of the sounds is like what begins about a sample, and where; `null` where none is. */
function likeClicks(
  wav: Wav,
  sounds: Readonly<Record<string, Float32Array>>,
): (sample: number) => LikeClick | null {
  const { rate } = wav.head;
  const length = Math.max(...Object.values(sounds).map((sound) => sound.length));
  const reach = Math.round(aside * rate);
  return (sample) => {
    const from = Math.max(0, Math.round(sample) - reach);
    const heard = wav.samples(from, length + 2 * reach);
    let best: { sound: string; place: number; likeness: number } | null = null;
    for (const [sound, samples] of Object.entries(sounds)) {
      const found = likeSound(heard, samples);
      if (found && (!best || found.likeness > best.likeness)) best = { sound, ...found };
    }
    return best && { sample: from + best.place, sound: best.sound, likeness: best.likeness };
  };
}

/** The row that most of the clicks lie in, about a period apart, with how many of those that were looked at do; `null` when too few do. Those that are alike most tell the most: a stroke hides where a click begins. */
function commonRow(
  clicks: readonly LikeClick[],
  beat: number,
  within: number,
): { readonly phase: number; readonly period: number; readonly count: number; readonly of: number } | null {
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
  return best && best.count >= fewest ? { ...best, ...fittedRow(best, some, within), of: some.length } : null;
}

/** The row of least squares through the clicks that lie in a row, those that are alike most the most: what takes them out wants their places to a sample over minutes. */
function fittedRow(
  row: { readonly phase: number; readonly period: number },
  clicks: readonly { readonly sample: number; readonly weight: number }[],
  within: number,
): { readonly phase: number; readonly period: number } {
  let { phase, period } = row;
  for (const near of fitsWithin) {
    const own = clicks.flatMap(({ sample, weight }) => {
      const nth = Math.round((sample - phase) / period);
      return Math.abs(sample - phase - nth * period) > near * within ? [] : [{ nth, sample, weight }];
    });
    const sum = (value: (one: (typeof own)[number]) => number): number =>
      own.reduce((all, one) => all + one.weight * value(one), 0);
    const all = sum(() => 1);
    const [middle, mean] = [sum(({ nth }) => nth) / all, sum(({ sample }) => sample) / all];
    const squares = sum(({ nth }) => (nth - middle) ** 2);
    if (own.length < fewest || squares === 0) break;
    period = sum(({ nth, sample }) => (nth - middle) * (sample - mean)) / squares;
    phase = mean - period * middle;
  }
  return { phase, period };
}
