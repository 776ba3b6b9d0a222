import type { Partial, PowerSpectra } from './power-spectra.js';

/** What was heard of a stroke: its power from its attack on every `stepMs`; `floor` is the power of the room's noise. */
interface Heard {
  readonly power: Float64Array;
  readonly stepMs: number;
  readonly floor: number;
}

/** A course that rings on is looked for this long after the attack at the earliest, ms: fingers have damped the others by then. */
const earliest = 130;
/** ... and at the latest, ms: then a course that rings freely is still heard. */
const latest = 160;
/** The stroke and what is left of it are read from this much sound, seconds; the stroke from this soon after its attack. */
const read = 0.06;
const behindAttack = 0.004;
/** What is left is this far below the stroke at most, and this far above the noise at least, dB. */
const lowest = -20;
const aboveNoise = 6;
/** Fundamentals of the stroke that are no weaker than this beside its strongest are looked at, in power. */
const leastPartial = 0.02;
/**
 * A string that rings freely loses this much at most from the one window to the other, dB: fundamentals of steel strings last for seconds, of nylon half
 * a second (Fletcher and Rossing, The Physics of Musical Instruments, 1998, chapter 2: 60 dB in 0.75 s is 12 dB in 150 ms). A finger takes 20 dB in 50 ms.
 */
const mostFree = 12;
/** Those of other courses lose so much more, in the median, dB: then the stroke was damped, and this one was not. */
const damped = 5;
/** ... and are this much weaker by then, each, dB. */
const stronger = 2;
/** Its fundamental is weaker than its strongest partial by this at most, dB. */
const weaker = 15;
/** Its harmonics are this much of what is left: else the instrument itself goes on sounding, as the skin of a banjo does. */
const alone = 0.55;
/** This many of them at least tell that there were others. */
const fewestOthers = 2;

/** The MIDI note of a course that still sounds when the rest of a stroke of several courses was damped; null when none does. */
export function ringingOn(
  spectra: PowerSpectra,
  sound: Float32Array,
  at: number,
  rate: number,
  { power, stepMs, floor }: Heard,
): number | null {
  const lengthMs = power.length * stepMs;
  if (lengthMs < earliest + 1000 * read) return null;
  const startMs = Math.min(lengthMs - 1000 * read, latest);
  const mean = (from: number, to: number): number => {
    const part = power.subarray(from / stepMs, to / stepMs);
    return Math.max(0, part.reduce((sum, value) => sum + value, 0) / part.length - floor);
  };
  const late = mean(startMs, startMs + 1000 * read);
  const below = decibels(late, mean(0, 40));
  if (below < lowest || late < floor * 10 ** (aboveNoise / 10)) return null;
  const length = Math.round(read * rate);
  const struck = spectra.at(sound, at + Math.round(behindAttack * rate), length);
  const left = spectra.at(sound, at + Math.round((startMs / 1000) * rate), length);
  const most = spectra.most(struck, 140, 1300);
  const partials = spectra.partials(struck, most).filter(({ strength }) => strength >= leastPartial * most);
  const found = undamped(partials, ({ hertz }) => spectra.near(left, hertz) / spectra.near(struck, hertz));
  if (!found || spectra.harmonicShare(left, found.hertz) < alone) return null;
  return Math.round(69 + 12 * Math.log2(found.hertz / 440));
}

/**
 * Of the partials of a stroke the one that was not damped while those of other notes were; `rest` is the share of its power that is left. It is the
 * strongest by far of all that is left: two weak partials of one frequency, that cancel each other when they are struck, may seem to last.
 */
function undamped(partials: readonly Partial[], rest: (partial: Partial) => number): Partial | null {
  const all = partials.map((partial) => {
    const share = rest(partial);
    return { partial, lost: -decibels(share, 1), left: share * partial.strength };
  });
  const [first] = [...all].sort((one, other) => other.left - one.left);
  if (!first || first.lost > mostFree) return null;
  const others = all
    .filter(({ partial }) => !isOf(partial.hertz, first.partial.hertz))
    .sort((one, other) => one.lost - other.lost);
  const median = others[others.length >> 1]?.lost ?? 0;
  const isAlone = others.every(({ left }) => decibels(first.left, left) >= stronger);
  if (others.length < fewestOthers || !isAlone || median < first.lost + damped) return null;
  // Its fundamental may be weaker than the partial that is left most of.
  const root = all.find(
    ({ partial, lost, left }) =>
      lost <= mostFree && decibels(first.left, left) <= weaker && isOf(first.partial.hertz, partial.hertz),
  );
  return (root ?? first).partial;
}

/** Whether a frequency is a harmonic of another, as near as windows and stiff strings let that be told. */
function isOf(hertz: number, fundamental: number): boolean {
  const number = Math.round(hertz / fundamental);
  return number >= 1 && Math.abs(hertz / fundamental - number) < 0.04 * number + 0.02;
}

function decibels(power: number, beside: number): number {
  return 10 * Math.log10((power + 1e-15) / (beside + 1e-15));
}
