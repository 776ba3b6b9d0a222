// How the prices of a grip are learned: those under which the published fingers are likeliest, near what one would
// expect beforehand, and none below zero.
import { parseFrets } from '../../../dist/hand/fingering.js';
import { fingeringsOf } from '../../../dist/hand/fingerings.js';
import { gripFeatures, noMeasures } from '../../../dist/hand/grip-features.js';
import { measureGrip } from '../../../dist/hand/measure-grip.js';
import { usualHand } from '../../../dist/hand/player-hand.js';

/**
 * What we expect of each price, and how unsure we are of it: ms for a unit of the measure. Learning moves a price as far
 * as the boards ask, the more freely the less sure we are; with so few boards it must not follow each of them. Where no
 * board can tell, or ought to (`unsure` 0), a price stays as expected.
 */
export const expected = {
  stretch: { ms: 0.36, unsure: 0.12 },
  stretchBesideFlat: { ms: 0.3, unsure: 0.12 },
  cramped: { ms: 0.24, unsure: 0.1 },
  nearLimit: { ms: 1, unsure: 0 },
  crowded: { ms: 4, unsure: 2.5 },
  crowdedThird: { ms: 7, unsure: 4 },
  besideFlat: { ms: 5, unsure: 2.5 },
  flatLength: { ms: 0.18, unsure: 0.1 },
  flatCourses: { ms: 2, unsure: 1 },
  flatFinger: { ms: 9, unsure: 2.5 },
  flatOverLower: { ms: 8, unsure: 4 },
  little: { ms: 4.5, unsure: 2 },
  littleAcross: { ms: 0.15, unsure: 0.1 },
  idleIndex: { ms: 5, unsure: 2.5 },
  order: { ms: 10, unsure: 0 },
  offNut: { ms: 0.1, unsure: 0 },
};

/** How much dearer fingers are e times as unlikely to be printed, ms: it sets what the learned prices count in. */
export const msPerFold = 3;

/** A board with all its fingerings, each as measures in the order of `gripFeatures`, and which of them are right. */
export function measured(board) {
  const frets = parseFrets(board.written);
  const found = fingeringsOf(frets, board.instrument, usualHand, 'any').map(({ fingers }) => {
    const text = fingers.map((finger) => finger ?? 'x').join('');
    const measures = measureGrip(frets, fingers, board.instrument, usualHand, noMeasures());
    return { text, features: Array.from(measures), right: board.fingers.includes(text) };
  });
  return { ...board, found };
}

/** What fingers cost under prices, ms. */
function cost(features, prices) {
  let ms = 0;
  for (let index = 0; index < features.length; index += 1) ms += features[index] * prices[index];
  return ms;
}

/** The fingerings of a measured board, the cheapest first; among equals the strong fingers. */
export function ranked({ found }, prices) {
  const weak = (text) => [...text].reduce((sum, digit) => sum + (Number(digit) || 0), 0);
  return found
    .map((one) => ({ ...one, ms: cost(one.features, prices) }))
    .sort((one, other) => one.ms - other.ms || weak(one.text) - weak(other.text));
}

/**
 * What fingers cost before they were priced by lengths: so much for each course beyond the first under a flat finger, by
 * the strings of a course, and nothing else that tells the fingerings of a board apart.
 */
export function formerly({ found, instrument }) {
  const each = instrument.courses[0].strings > 1 ? 45 : 6;
  const weak = (text) => [...text].reduce((sum, digit) => sum + (Number(digit) || 0), 0);
  const under = (text) =>
    [...text].filter((digit) => digit !== 'x').length - new Set(text.replace(/x/g, '')).size;
  return found
    .filter(({ features }) => features[gripFeatures.indexOf('order')] === 0)
    .map((one) => ({ ...one, ms: each * under(one.text) }))
    .sort((one, other) => one.ms - other.ms || weak(one.text) - weak(other.text));
}

/** Of measured boards, how many have the right fingers among theirs, and how many have them first in an `order`. */
export function score(boards, order) {
  let among = 0;
  let first = 0;
  for (const board of boards) {
    if (board.found.some(({ right }) => right)) among += 1;
    if (order(board)[0]?.right) first += 1;
  }
  return { boards: boards.length, among, first };
}

/**
 * The loss of prices on measured boards, and its slope by each price. `doubt`: how many times less sure we are of what we
 * expect than `expected` says.
 */
function loss(boards, prices, doubt) {
  let sum = 0;
  const slope = prices.map(() => 0);
  for (const { found } of boards) {
    const costs = found.map(({ features }) => cost(features, prices));
    const least = Math.min(...costs);
    const weights = costs.map((ms) => Math.exp((least - ms) / msPerFold));
    const all = weights.reduce((total, weight) => total + weight, 0);
    const right = weights.reduce((total, weight, index) => total + (found[index].right ? weight : 0), 0);
    if (right === 0) continue;
    sum += Math.log(all / right);
    for (const [index, { features, right: is }] of found.entries()) {
      const pull = ((is ? weights[index] / right : 0) - weights[index] / all) / msPerFold;
      for (let at = 0; at < features.length; at += 1) slope[at] += pull * features[at];
    }
  }
  for (const [at, name] of gripFeatures.entries()) {
    const { ms, unsure } = expected[name];
    if (unsure === 0) continue;
    sum += ((prices[at] - ms) / (unsure * doubt)) ** 2 / 2;
    slope[at] += (prices[at] - ms) / (unsure * doubt) ** 2;
  }
  return { sum, slope };
}

/** The prices before anything is learned, in the order of `gripFeatures`. */
export const expectedPrices = gripFeatures.map((name) => expected[name].ms);

/**
 * The prices that fit measured boards best. The loss is convex, so there is one best answer: steps down its slope,
 * each price in units of its own unsureness, none below zero, with the step halved until the loss falls.
 */
export function learn(boards, doubt = 1) {
  let prices = expectedPrices;
  let now = loss(boards, prices, doubt);
  let step = 1;
  for (let round = 0; round < 4000; round += 1) {
    const next = prices.map((price, at) =>
      Math.max(0, price - step * now.slope[at] * expected[gripFeatures[at]].unsure ** 2),
    );
    const then = loss(boards, next, doubt);
    if (then.sum < now.sum) {
      const gained = now.sum - then.sum;
      prices = next;
      now = then;
      step *= 1.5;
      if (gained < 1e-12) break;
    } else {
      step /= 2;
      if (step < 1e-12) break;
    }
  }
  return prices;
}

/** A board's quality: what its chord's name has after the root. */
const quality = ({ chord }) => chord.replace(/^[A-G][b#]?/, '');

/**
 * For each board whether its right fingers are first under prices learned from other boards and those in `always`: from
 * all but itself, or with `whole` from all but those of its quality.
 */
export function leftOut(boards, { always = [], doubt = 1, whole = false } = {}) {
  return boards.map((board) => {
    const others = boards.filter((one) => (whole ? quality(one) !== quality(board) : one !== board));
    const [best] = ranked(board, learn([...others, ...always], doubt));
    return { board, got: best?.text ?? '', right: best?.right ?? false };
  });
}
