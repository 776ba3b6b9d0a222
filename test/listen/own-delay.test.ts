import { expect, it } from 'vitest';
import { OwnDelay } from '../../src/listen/own-delay.js';
import { woodBlock } from '../../src/player/synth/wood-block.js';
import { mixIn, normals, smallRoom, through } from './noisy.js';

const rate = 44_100;
const late = 92;
/** Ms of silence before the first click, and from one to the next. */
const [first, apart] = [500, 375];

/** Where the delay of four clicks is found against where their sound begins, by way of a room, ms; `null`: nowhere. */
function found(room: Float32Array, seed: number): number | null {
  const clicks = [true, false, false, false].map((accented) => woodBlock(rate, accented));
  const normal = normals(seed);
  const sound = Float32Array.from({ length: 3 * rate }, () => 5e-4 * normal());
  const finder = new OwnDelay(rate);
  clicks.forEach((click, index) => {
    const due = Math.round(((first + index * apart) * rate) / 1000);
    finder.due(due, click);
    mixIn(sound, through(click, room), due + Math.round((late * rate) / 1000), 0.08);
  });
  const begins = room.findIndex((value) => value !== 0);
  for (let at = 0; at < sound.length; at += 441) {
    const delay = finder.push(sound.subarray(at, at + 441));
    if (delay !== null) return ((delay - begins) * 1000) / rate - late;
  }
  return null;
}

it('is never found far behind where the sound begins, whatever a room throws back, and not far before it', () => {
  // In several of these rooms what walls throw back is stronger than what comes straight.
  for (let seed = 11; seed < 31; seed += 1) {
    const off = found(smallRoom(rate, seed), seed);
    expect(off).not.toBeNull();
    // What takes sounds out allows for 4 ms too late and 20 too soon.
    expect(off).toBeLessThan(3);
    expect(off).toBeGreaterThan(-15);
  }
}, 60_000);

it('is not found where the clicks are not heard', () => {
  expect(found(new Float32Array(100), 3)).toBeNull();
});
