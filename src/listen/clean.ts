import type { Fault, Verdict } from './verdict.js';

/** With less than this share of the strokes, or fewer than this many, a pass does not count as heard. */
const heardShare = 2 / 3;
const fewestHeard = 8;
/** If more than this share of the strokes that were heard do not belong to the music, somebody else is playing. */
const elseShare = 0.5;
/** The ear takes one stroke in a hundred for another chord, where it is right. */
const earErrs = 0.01;

/** Whether a pass is clean, by its limits, and what it is not. */
export function faultsOf(verdict: Omit<Verdict, 'result' | 'faults'>): Pick<Verdict, 'result' | 'faults'> {
  const { strokes, extra, timing, changes, wrong, limits, chopsHeard, rang, absolute, runsOff, silences } =
    verdict;
  const heard = strokes.filter((one) => one.heard !== null).length;
  if (heard < fewestHeard || heard < heardShare * strokes.length)
    return { result: 'not heard', faults: ['few heard'] };
  if (extra.length > elseShare * heard) return { result: 'not heard', faults: ['somebody else'] };
  // A long silence may be a rest of the player or of the microphone: neither clean nor missed.
  const silent = silences.reduce((sum, one) => sum + one.strokes, 0);
  if (silent > limits.leftOut * strokes.length) return { result: 'not heard', faults: ['silence'] };
  const faults: Fault[] = [];
  const main = timing.chop ?? timing.low;
  if (runsOff) faults.push('ran off');
  if (main) {
    if (absolute && main.mean < -limits.ahead) faults.push('ahead');
    if (absolute && main.mean > limits.behind) faults.push('behind');
    if (main.spread > limits.spread || main.outside > limits.leftOut * main.count + 1) faults.push('uneven');
  }
  const made = changes.reduce((sum, one) => sum + one.heard, 0);
  const late = changes.reduce((sum, one) => sum + one.late, 0);
  if (late > Math.max(limits.late * made, mostByChance(made, earErrs / 2))) faults.push('late changes');
  // A single stroke is never surely another chord, since the ear may be wrong. A chord that is held has several.
  const held = wrong.filter((one) => one.whole && one.strokes > 1);
  const single = wrong.filter((one) => !held.includes(one)).reduce((sum, one) => sum + one.strokes, 0);
  const entries = new Set(strokes.map(({ expected }) => expected.entry)).size;
  if (held.length > limits.wrong * entries || single > limits.wrong * heard + mostByChance(heard, earErrs))
    faults.push('wrong chords');
  if (rang.length > Math.max(limits.rang * chopsHeard, 1)) faults.push('rang on');
  if (strokes.length - heard > limits.leftOut * strokes.length) faults.push('left out');
  return { result: faults.length === 0 ? 'clean' : 'not clean', faults };
}

/** How many of `count` the ear gets wrong at most in 19 of 20 passes (Poisson). */
export function mostByChance(count: number, share: number): number {
  const mean = count * share;
  let term = Math.exp(-mean);
  let sum = term;
  let most = 0;
  while (sum < 0.95) {
    most += 1;
    term *= mean / most;
    sum += term;
  }
  return most;
}

/** What a pass counts as: the player's word where there is one, else what was heard; a pass that was not heard is `unmarked`. */
export function resultOf(
  verdict: Pick<Verdict, 'result'>,
  said: 'clean' | 'miss' | null,
): 'clean' | 'miss' | 'unmarked' {
  if (said) return said;
  if (verdict.result === 'not heard') return 'unmarked';
  return verdict.result === 'clean' ? 'clean' : 'miss';
}
