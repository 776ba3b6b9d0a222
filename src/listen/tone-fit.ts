import type { Partial } from './partial.js';

/** Strings of a pair are looked for up to so far apart, and from one distance to the next that is tried, cents. */
const mostApart = 30;
const apartStep = 0.5;
/** How fast a partial may fade, nepers a second: from a low string's to a choked or high one's. */
const falls = [0.7, 1.5, 3, 6, 12];

/** A partial and its number, from 1. */
export interface Numbered {
  readonly number: number;
  readonly partial: Partial;
}

/**
 * Where the tones of a course stand against the rough pitch, how far apart, how far their first partial is stretched, all in
 * cents; and what that leaves of the partials: the sum of the logarithms of its shares.
 */
export interface Fit {
  readonly cents: number;
  readonly apart: number;
  readonly stretch: number;
  readonly left: number;
}

/** A tone may be stretched by this many cents at its first partial: a stiffness of 7 · 10⁻⁴. */
const mostStretch = 0.6;
/** How far from its rough place a partial is looked for, cents: half of a pair's distance, and what stretching makes of the sixth. */
const roundPlace = 35;

/** The best fit of one tone: from the places where two of the partials are strongest follow pitch and stretching; the two that leave least hold. */
export function singleTone(heard: readonly Numbered[], near: number): Fit {
  const places = heard.map(({ number, partial }) => {
    const hertz = number * near;
    const reachHertz = Math.min(40, hertz * (2 ** (roundPlace / 1200) - 1));
    return {
      square: number * number - 1,
      cents: 1200 * Math.log2(1 + partial.strongest(reachHertz, 1.5) / hertz),
    };
  });
  let best: Fit = nothing;
  const take = (cents: number, stretch: number): void => {
    const held = Math.max(0, Math.min(mostStretch, stretch));
    const fit = fitted(heard, { cents, apart: 0, stretch: held }, near);
    if (fit.left < best.left) best = fit;
  };
  places.forEach((one, index) => {
    take(one.cents, 0);
    for (const other of places.slice(index + 1)) {
      const stretch = (other.cents - one.cents) / (other.square - one.square);
      take(one.cents - Math.max(0, Math.min(mostStretch, stretch)) * one.square, stretch);
    }
  });
  return refined(heard, best, near, false);
}

/** The best fit of two tones near one, which may be at either of them or between. */
export function twoTones(heard: readonly Numbered[], { cents, stretch }: Fit, near: number): Fit {
  let best: Fit = nothing;
  for (let apart = apartStep; apart <= mostApart; apart += apartStep)
    for (const share of [-0.5, -0.25, 0, 0.25, 0.5]) {
      const fit = fitted(heard, { cents: cents + share * apart, apart, stretch }, near);
      if (fit.left < best.left) best = fit;
    }
  return refined(heard, best, near, true);
}

const nothing: Fit = { cents: 0, apart: 0, stretch: 0, left: Number.POSITIVE_INFINITY };

function fitted(heard: readonly Numbered[], fit: Omit<Fit, 'left'>, near: number): Fit {
  return { ...fit, left: leftOf(heard, fit, near) };
}

/** A fit made better by steps that halve, down to a fiftieth of a cent. */
function refined(heard: readonly Numbered[], from: Fit, near: number, isPair: boolean): Fit {
  let best = from;
  for (let step = 0.4; step > 0.02; ) {
    const { cents, apart, stretch } = best;
    const moves = [
      { cents: cents + step, apart, stretch },
      { cents: cents - step, apart, stretch },
      { cents, apart, stretch: stretch + step / 16 },
      { cents, apart, stretch: stretch - step / 16 },
      ...(isPair
        ? [
            { cents, apart: apart + step, stretch },
            { cents, apart: apart - step, stretch },
          ]
        : []),
    ].filter((move) => move.apart >= 0 && move.stretch >= 0 && move.stretch <= mostStretch);
    const next = moves
      .map((move) => fitted(heard, move, near))
      .reduce((one, other) => (other.left < one.left ? other : one));
    if (next.left < best.left) best = next;
    else step /= 2;
  }
  return best;
}

/** What a fit leaves of all partials: the mean logarithm of what is left of each, as noise of unknown strength weighs them. */
function leftOf(heard: readonly Numbered[], fit: Omit<Fit, 'left'>, near: number): number {
  let sum = 0;
  for (const { number, partial } of heard) {
    // A stiff string's partial is sharp by its number squared: `stretch` is cents for the first.
    const at = (cents: number): number =>
      number * near * (2 ** ((cents + fit.stretch * (number * number - 1)) / 1200) - 1);
    const one = at(fit.cents - fit.apart / 2);
    const other = fit.apart === 0 ? one : at(fit.cents + fit.apart / 2);
    let least = 1;
    for (const fall of falls) least = Math.min(least, partial.left(one, other, fall));
    sum += Math.log(least + 1e-5);
  }
  return sum;
}
