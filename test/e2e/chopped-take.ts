import { execFileSync } from 'node:child_process';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { arrange } from '../../src/time/arrange.js';
import type { Voice } from '../../src/time/event.js';
import type { Score } from '../../src/time/score.js';
import { ticksPerQuarter } from '../../src/time/units.js';
import { normals } from '../listen/noisy.js';
import { rendered, type Stroke } from '../listen/rendered.js';
import { program } from './harness.js';

/** How a take is played: quarters a minute, bars of count-in between the chops and the music, standard deviation of the strokes (ms). */
export interface HowPlayed {
  readonly bpm: number;
  readonly countIn: number;
  readonly jitter: number;
  readonly seed: number;
}

/** When the first chop falls in a take, ms. */
const first = 300;
/** How long a chop and, at most, a low note ring, ms. */
const rings = { chop: 60, low: 350 };

/**
 * What a player plays of a drill in 4/4 to whom the program listens, from a file: four chops, nothing while the count-in is counted, and then one pass of
 * the drill's own low notes and chops, as the program's arrangement has them.
 *
 * @param words the drill, as `barkline shed drill` has it on the command line
 * @returns its sound, and how many low notes and chops of the pass are in it
 */
export function choppedTake(
  words: readonly string[],
  how: HowPlayed,
): { samples: Float32Array; strokes: number } {
  const text = execFileSync(process.execPath, [program, 'shed', 'drill', ...words]);
  const reading = readChart(text);
  if (!reading.ok) throw new Error('the drill does not read as a chart');
  const { score } = arrange(reading.value, { key: reading.value.key, share: 1, instrument: mandolin });
  const beat = 60_000 / how.bpm;
  const normal = normals(how.seed);
  const uneven = (): number => how.jitter * Math.max(-2, Math.min(2, normal()));
  const begin = first + 4 * (1 + how.countIn) * beat;
  const hand = strokesOf(score).map(
    ({ tick, voice, notes }): Stroke => ({
      at: begin + (tick / ticksPerQuarter) * beat + uneven(),
      notes,
      velocity: 90,
      length: voice === 'chop' ? rings.chop : Math.min(rings.low, 0.8 * beat),
    }),
  );
  const chord = hand.find(({ notes }) => notes.length > 1)?.notes ?? [];
  const count = [0, 1, 2, 3].map(
    (index): Stroke => ({
      at: first + index * beat,
      notes: chord,
      velocity: 92,
      length: rings.chop,
      spread: 0,
    }),
  );
  return { samples: rendered([...count, ...hand]), strokes: hand.length };
}

/** Courses of one stroke are struck within so many ticks. */
const together = ticksPerQuarter / 16;

interface Struck {
  readonly tick: number;
  readonly voice: Voice;
  readonly notes: readonly number[];
}

/** The low notes and chops of a pass: the notes of each, and when its first sounds, ticks from the pass's start. */
function strokesOf({ notes }: Score): Struck[] {
  const found: Struck[] = [];
  const hand = notes.flat().filter(({ voice }) => voice === 'low' || voice === 'chop');
  for (const { at, voice, note } of hand.sort((one, other) => one.at - other.at)) {
    const last = found.at(-1);
    if (last && last.voice === voice && at - last.tick <= together)
      found[found.length - 1] = { ...last, notes: [...last.notes, note] };
    else found.push({ tick: at, voice, notes: [note] });
  }
  return found;
}
