import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import { plucked, pluckedInstrument } from '../listen/chord-takes.mjs';
import { demo, noteOns, pause } from './harness.js';
import { SoundPipe } from './sound-pipe.js';
import { Stage } from './stage.js';

const rate = 48_000;
const stage = new Stage();
let sound: SoundPipe;
beforeAll(() => {
  stage.begin();
  sound = new SoundPipe(stage.folder, rate);
});
afterEach(() => stage.clear());
afterAll(() => {
  sound.close();
  stage.end();
});

/** A course of a mandolin that is struck and rings: so many cents off, its strings so many apart. */
function course(note: number, cents: number, apart = 0): Float32Array {
  const instrument = { ...pluckedInstrument(3), decay: 1.5, stiffness: 0, strings: 2, detune: apart };
  return plucked([{ at: 100, notes: [note], velocity: 90, length: 2000, spread: 0 }], instrument, {
    rate,
    cents,
  }).samples;
}

it('hears how each course is tuned, and is silent', async () => {
  const courses = [course(55, -14), course(62, 1), course(69, 2, 6), course(78, 0)];
  const screen = stage.open(100, 30, `play ${demo('weir-hands')} --microphone ${sound.spec}`);
  await screen.shows(/Space or four chops/, 15_000);
  const heard = stage.fromNow();
  await screen.press('u');
  await screen.shows('strike each course');
  await pause(1500);
  for (const [index, wanted] of [
    /G +14 cents flat/,
    /D +in tune/,
    /A +in tune, its strings 6 cents apart/,
    /heard F#5, 2 half steps above E/,
  ].entries()) {
    sound.play(courses[index] as Float32Array);
    await screen.shows(wanted);
    await pause(2200);
  }
  stage.capture('tuning', screen.text());
  expect(noteOns(heard())).toEqual([]);
  // The tone that it sounds when asked to is not judged.
  await screen.press('Down', 'Space');
  sound.play(course(76, 30));
  await pause(2600);
  expect(noteOns(heard()).map(({ bytes }) => bytes[1])).toEqual([76]);
  expect(screen.text()).toMatch(/E +not heard yet/);
  await screen.press('u');
  await screen.shows(/Space or four chops/);
}, 90_000);
