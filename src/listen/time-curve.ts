import { median } from './estimate.js';

/** A place of the music, ms at its written tempo, and when it was played, ms. */
export interface Timed {
  readonly place: number;
  readonly at: number;
}

/** When places of the music are played: a smooth curve that follows a player's tempo, not single strokes. */
export interface TimeCurve {
  /** When a place is played, ms. Before the first place it was made from, and after the last, tempo stays. */
  at(place: number): number;
  /** How much slower than written it goes there: 2 is half the tempo. */
  slowness(place: number): number;
}

/** The highest degree: it follows a tempo that rises and falls twice. */
const mostDegree = 5;
/** For each degree more there are this many more times at least. */
const perDegree = 8;
/** This much smaller, as the F statistic of one parameter more, the errors must be for a degree more (a chance of 1 in 2000 with many strokes; ours). */
const worth = 12;
/** What lies this many spreads beside the curve is left out. */
const far = 3.5;

/** A line at a known slowness through the times: the middle of what they say of its beginning. */
export function steadyCurve(times: readonly Timed[], slowness: number): TimeCurve {
  const start = median(times.map(({ place, at }) => at - slowness * place)) || 0;
  return { at: (place) => start + slowness * place, slowness: () => slowness };
}

/**
 * The curve of least squares through the times, of the lowest degree that does (a line where the tempo is even); single times far
 * beside it are left out. Two times at least.
 */
export function timeCurve(times: readonly Timed[]): TimeCurve {
  const first = times[0]?.place ?? 0;
  const last = times.at(-1)?.place ?? 1;
  const half = Math.max(1, (last - first) / 2);
  const middle = (first + last) / 2;
  const scaled = (place: number): number => (place - middle) / half;
  const fitted = (degree: number): Fit => robust(times, scaled, degree);
  let fit = fitted(1);
  // A tempo that bends once to the other side shows only two degrees further on.
  for (let degree = 2; degree <= mostDegree && times.length > perDegree * degree; degree += 1) {
    const more = fitted(degree);
    const added = degree - fit.degree;
    const free = more.count - degree - 1;
    if ((fit.meanSquare / (more.meanSquare + 1e-9) - 1) * (free / added) > worth) fit = more;
  }
  const { weights } = fit;
  const value = (x: number): number => weights.reduce((sum, weight, power) => sum + weight * x ** power, 0);
  const slope = (x: number): number =>
    weights.reduce((sum, weight, power) => sum + (power > 0 ? power * weight * x ** (power - 1) : 0), 0);
  const within = (x: number): number => Math.max(-1, Math.min(1, x));
  return {
    at: (place) => {
      const x = scaled(place);
      const near = within(x);
      return value(near) + (x - near) * slope(near);
    },
    slowness: (place) => slope(within(scaled(place))) / half,
  };
}

interface Fit {
  readonly degree: number;
  readonly weights: readonly number[];
  readonly meanSquare: number;
  readonly count: number;
}

function robust(times: readonly Timed[], scaled: (place: number) => number, degree: number): Fit {
  const xs = times.map(({ place }) => scaled(place));
  const ys = times.map(({ at }) => at);
  const once = leastSquares(xs, ys, degree);
  const off = errorsOf(once, xs, ys).map(Math.abs);
  const limit = far * 1.4826 * median(off) + 1;
  const kept = xs.flatMap((_, index) => ((off[index] as number) <= limit ? [index] : []));
  const [x, y] = [kept.map((index) => xs[index] as number), kept.map((index) => ys[index] as number)];
  const weights = leastSquares(x, y, degree);
  // All degrees are compared on the same errors, those far off cut short.
  const errors = errorsOf(weights, xs, ys).map((error) => Math.max(-limit, Math.min(limit, error)));
  return {
    degree,
    weights,
    meanSquare: errors.reduce((sum, error) => sum + error * error, 0) / errors.length,
    count: errors.length,
  };
}

function errorsOf(weights: readonly number[], xs: readonly number[], ys: readonly number[]): number[] {
  return xs.map(
    (x, index) =>
      (ys[index] as number) - weights.reduce((sum, weight, power) => sum + weight * x ** power, 0),
  );
}

/** The weights of the powers from 0 up, by the normal equations; where they say nothing of a power its weight is 0. */
function leastSquares(xs: readonly number[], ys: readonly number[], degree: number): number[] {
  const size = degree + 1;
  const rows = Array.from({ length: size }, () => new Array<number>(size + 1).fill(0));
  xs.forEach((x, index) => {
    for (let row = 0; row < size; row += 1) {
      const one = rows[row] as number[];
      for (let column = 0; column < size; column += 1)
        one[column] = (one[column] as number) + x ** (row + column);
      one[size] = (one[size] as number) + x ** row * (ys[index] as number);
    }
  });
  for (let at = 0; at < size; at += 1) {
    const best = rows
      .slice(at)
      .reduce((a, b) => (Math.abs(b[at] as number) > Math.abs(a[at] as number) ? b : a));
    rows.splice(rows.indexOf(best), 1);
    rows.splice(at, 0, best);
    const pivot = best[at] as number;
    if (Math.abs(pivot) < 1e-9) continue;
    for (const row of rows) {
      if (row === best) continue;
      const share = (row[at] as number) / pivot;
      for (let column = at; column <= size; column += 1)
        row[column] = (row[column] as number) - share * (best[column] as number);
    }
  }
  return rows.map((row, index) => {
    const pivot = row[index] as number;
    return Math.abs(pivot) < 1e-9 ? 0 : (row[size] as number) / pivot;
  });
}
