import { expect, it } from 'vitest';
import { OnsetDetector } from '../../src/listen/onsets.js';
import { OwnSounds } from '../../src/listen/own-sounds.js';
import { bassString } from '../../src/player/synth/bass.js';
import { woodBlock } from '../../src/player/synth/wood-block.js';
import { mixIn, normals, smallRoom, through, usualPeak, withNoise } from './noisy.js';
import { performance } from './performance.js';
import { pieces, scored } from './scored.js';
import { plucked } from './strings.js';

const rate = 44_100;
const sounds = { click: woodBlock(rate, false), bass: bassString(rate, 98, 2) };
const room = smallRoom(rate, 17);

interface Due {
  readonly at: number;
  readonly sound: keyof typeof sounds;
  readonly alone?: boolean;
}

/** Own sounds mixed into what is heard, and announced; `level` as they are heard. */
function mixed(
  heard: Float32Array,
  due: readonly Due[],
  level: number,
): { samples: Float32Array; own: OwnSounds } {
  const own = new OwnSounds(rate, sounds);
  const samples = heard.slice();
  for (const { at, sound, alone = false } of due) {
    const wet = through(sounds[sound], room);
    const peak = wet.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    const sample = Math.round((at * rate) / 1000);
    mixIn(samples, wet, sample, level / peak);
    own.expect({ sample, sound, level: 1, alone });
  }
  return { samples, own };
}

function onsets(samples: Float32Array, own?: OwnSounds): number[] {
  const detector = new OnsetDetector(rate, own ? { own } : {});
  return [...pieces(samples)]
    .flatMap((piece) => detector.push(piece))
    .map(({ sample }) => (1000 * sample) / rate);
}

const beats = (count: number, from: number, every: number): number[] =>
  Array.from({ length: count }, (_, beat) => from + beat * every);

it('takes clicks that sound alone for no strokes, when it is told of them', () => {
  const normal = normals(2);
  const noise = Float32Array.from({ length: 9 * rate }, () => 0.002 * normal());
  const due = beats(16, 500, 500).map((at, beat): Due => ({ at, sound: 'click', alone: beat < 4 }));
  const { samples, own } = mixed(noise, due, 0.3);
  expect(onsets(samples).length).toBeGreaterThanOrEqual(16);
  expect(onsets(samples, own)).toEqual([]);
});

it('hears chops that fall on clicks as loud as they are', () => {
  const played = performance({ bpm: 160, bars: 6, seed: 23, jitter: 8, offset: 2000 });
  const clean = withNoise(plucked(played, rate), 20, 6);
  const due = beats(28, 500, 375).map((at): Due => ({ at, sound: 'click', alone: at < 1900 }));
  const { samples, own } = mixed(clean, due, usualPeak(clean, rate));
  const times = played.map(({ at }) => at);
  const score = scored(times, onsets(samples, own));
  expect(score.f).toBeGreaterThanOrEqual(0.97);
  expect(score.p95).toBeLessThanOrEqual(3);
  expect(scored(times, onsets(samples)).p95).toBeGreaterThan(score.p95);
});

it('takes most of a click and of a bass away once it has heard some', () => {
  const normal = normals(5);
  const noise = Float32Array.from({ length: 12 * rate }, () => 1e-4 * normal());
  for (const sound of ['click', 'bass'] as const) {
    const due = beats(10, 500, 1000).map((at): Due => ({ at, sound, alone: at < 3000 }));
    const { samples, own } = mixed(noise, due, 0.3);
    const left = Float32Array.from([...pieces(samples)].flatMap((piece) => [...own.taken(piece).left]));
    const energy = (of: Float32Array): number =>
      of.subarray(9 * rate, 10 * rate).reduce((sum, sample) => sum + sample * sample, 0);
    expect(10 * Math.log10(energy(samples) / energy(left)), sound).toBeGreaterThan(20);
  }
});

it('ignores a sound whose samples nobody gave it', () => {
  const own = new OwnSounds(rate, {});
  own.expect({ sample: 100, sound: 'bell', level: 1 });
  const piece = new Float32Array(1000).fill(0.1);
  expect(own.taken(piece)).toEqual({ left: piece, rest: null });
});
