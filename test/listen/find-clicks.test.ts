import { describe, expect, it } from 'vitest';
import { clickBeat, findClicks } from '../../src/listen/find-clicks.js';
import { type HeardStroke, StrokeHearer } from '../../src/listen/strokes.js';
import { bytesOf, openWav, type Wav } from '../../src/listen/wav.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { woodBlock } from '../../src/player/synth/wood-block.js';
import { mixIn, usualPeak } from './noisy.js';
import { performance } from './performance.js';
import { plucked } from './strings.js';

const rate = 22_050;
const bpm = 150;
const sounds = { accented: woodBlock(rate, true), plain: woodBlock(rate, false) };
const played = performance({ bpm, bars: 8, seed: 4242, jitter: 12 });
const dry = plucked(played, rate);

function wavOf(samples: Float32Array): Wav {
  const sound = wavSamples(samples);
  const opened = openWav(bytesOf(Buffer.concat([wavHeader(rate, sound.length), sound])));
  if (!opened.ok) throw new Error(opened.fault);
  return opened.value;
}

function heard(samples: Float32Array): HeardStroke[] {
  const hearer = new StrokeHearer(rate);
  return [...hearer.push(samples), ...hearer.end()];
}

/** Beats from two before the playing on, as loud as it. */
const places = Array.from({ length: 34 }, (_, beat) =>
  Math.round(((1000 + ((beat - 2) * 60_000) / bpm) * rate) / 1000),
);
const mixed = dry.slice();
places.forEach((place, beat) => {
  mixIn(mixed, beat % 4 === 2 ? sounds.accented : sounds.plain, place, usualPeak(dry, rate));
});

describe('clicks in a recording', () => {
  const onsets = heard(mixed).map(({ sample }) => sample);
  const row = findClicks(wavOf(mixed), onsets, 60 / bpm, sounds);

  it('are found to a quarter of a millisecond', () => {
    for (const place of places.slice(0, 32)) {
      const nearest = Math.min(...row.map(({ sample }) => Math.abs(sample - place)));
      expect(nearest).toBeLessThan(rate / 4000);
    }
  });

  it('are not found where there are none', () => {
    const none = heard(dry).map(({ sample }) => sample);
    expect(findClicks(wavOf(dry), none, 60 / bpm, sounds)).toStrictEqual([]);
  });

  it('tell their distance where nobody knows it', () => {
    expect(clickBeat(wavOf(mixed), onsets, sounds)).toBeCloseTo(60 / bpm, 4);
    const none = heard(dry).map(({ sample }) => sample);
    expect(clickBeat(wavOf(dry), none, sounds)).toBeNull();
  });
});
