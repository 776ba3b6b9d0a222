import { describe, expect, test } from 'vitest';
import { readChart } from '../../../src/chart/read.js';
import { noteHertz, tableOf } from '../../../src/player/synth/tables.js';
import { earStart } from '../../../src/shed/dictation/ear-start.js';
import { dictationLevels } from '../../../src/shed/dictation/levels.js';
import { phraseChart } from '../../../src/shed/dictation/phrase-chart.js';
import { askedKeys } from '../../../src/shed/dictation/source.js';
import { pitchClass } from '../../../src/theory/pitch.js';
import { quality } from '../../../src/theory/quality.js';
import { arrange } from '../../../src/time/arrange.js';
import { voices } from '../../../src/time/event.js';
import { ticksPerQuarter } from '../../../src/time/units.js';
import { mandolin } from '../../ui/model.js';

/** A third or a seventh is told by ear only where it sounds for so long, ms. */
const leastMs = 150;
const rate = 22_050;

/** How strong a frequency is in a piece of a sound: Goertzel's sum, by its length. */
function strength(samples: Float32Array, hertz: number): number {
  const turn = 2 * Math.cos((2 * Math.PI * hertz) / rate);
  let [one, two] = [0, 0];
  for (const sample of samples) [one, two] = [sample + turn * one - two, one];
  return Math.sqrt(Math.max(0, one * one + two * two - turn * one * two)) / samples.length;
}

/** A phrase with each number of a level for a bar, arranged as the drill has it. */
function heard(place: number, tonic: number, held: boolean) {
  const level = dictationLevels[place] as (typeof dictationLevels)[number];
  const keys = askedKeys[level.mode];
  const key = keys[tonic % keys.length] ?? { tonic: 'G', mode: level.mode };
  const chart = phraseChart(
    level.numbers.map((number) => [number]),
    key,
    level,
    level.bpm,
  );
  const { pattern, bass } = earStart(chart);
  const options = {
    key,
    instrument: mandolin,
    share: 1,
    ...(held && pattern ? { pattern, bass: bass ?? 'plain' } : {}),
  };
  const { bars, score } = arrange(chart, options);
  const perTick = 60_000 / level.bpm / ticksPerQuarter;
  return bars.slice(4).map((bar, at) => {
    const chord = bar.cells[0]?.chord;
    if (!chord) throw new Error('no chord');
    const notes = score.notes[at + 4] ?? [];
    return { chord, notes, start: score.bars[at + 4]?.start ?? 0, perTick };
  });
}

describe('what a chord of a drill by ear sounds like', () => {
  test('each chop has the root, the third and the seventh, in every level and key, and is held for a beat', () => {
    for (const place of dictationLevels.keys())
      for (let tonic = 0; tonic < 8; tonic += 1)
        for (const { chord, notes, perTick } of heard(place, tonic, true)) {
          const chops = notes.filter(({ voice }) => voice === 'chop');
          const steps = new Set(chops.map(({ note }) => (note - pitchClass(chord.root) + 12) % 12));
          for (const step of quality(chord.quality).steps.filter((one) => one !== 7))
            expect([chord, [...steps].sort(), step]).toEqual([chord, expect.arrayContaining([step]), step]);
          for (const { length } of chops) expect(length * perTick).toBeGreaterThan(400);
        }
  });

  test('its notes are there for 150 ms and more, where those of a usual chop are gone', () => {
    const voice = voices.indexOf('chop');
    for (const held of [true, false])
      for (const { notes, perTick } of heard(7, 0, held))
        for (const { note, velocity, length } of notes.filter((one) => one.voice === 'chop')) {
          const samples = tableOf({ voice, note, velocity, length: length * perTick }).samples(rate);
          const piece = (from: number, to: number): Float32Array =>
            samples.subarray((rate * from) / 1000, (rate * to) / 1000);
          const hertz = noteHertz(note);
          const first = strength(piece(0, 40), hertz);
          const later = samples.length < (rate * leastMs) / 1000 ? 0 : strength(piece(110, leastMs), hertz);
          // No more than 12 dB softer than it began, and of a chop nothing.
          if (held) expect(later / first).toBeGreaterThan(0.25);
          else expect(later).toBe(0);
        }
  });

  test('the bass has the root of each chord when it comes', () => {
    for (const place of dictationLevels.keys())
      for (const { chord, notes, start } of heard(place, 2, true)) {
        const first = notes.find(({ voice, at }) => voice === 'bass' && at === start);
        expect((first?.note ?? -1) % 12).toBe(pitchClass(chord.root));
      }
  });

  test('in any meter: chops where they usually are', () => {
    const read = readChart(
      new TextEncoder().encode('title: x\nkey: G\nmeter: 6/8\nsections:\n  V: |\n    1 4 @3/4 5 1\n'),
    );
    if (!read.ok) throw new Error('it does not read');
    const { pattern } = earStart(read.value);
    expect(Object.keys(pattern?.meters ?? {})).toEqual(['6/8', '3/4']);
    expect(pattern?.meters['3/4']?.map(({ at, ending }) => [at, ending])).toEqual([
      [0, 'choke'],
      [1, 'choke'],
      [2, 'choke'],
    ]);
  });
});
