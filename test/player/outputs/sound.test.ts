import { describe, expect, it } from 'vitest';
import { CardClock } from '../../../src/player/outputs/card-clock.js';
import { type Audio, SoundOutput } from '../../../src/player/outputs/sound.js';
import { clickNotes } from '../../../src/time/click.js';
import { millisecondsPerTick } from '../../../src/time/units.js';
import { score, together } from '../../time/scores.js';

const rate = 44_100;

/** The part of the package that renders without a card. */
interface Offline extends Audio {
  startRendering(): Promise<{ getChannelData(channel: number): Float32Array }>;
}
type OfflineMaker = new (channels: number, length: number, rate: number) => Offline;

async function offlineMaker(): Promise<OfflineMaker | null> {
  try {
    const name: string = 'node-web-audio-api';
    return ((await import(name)) as { OfflineAudioContext: OfflineMaker }).OfflineAudioContext;
  } catch {
    return null;
  }
}

const maker = await offlineMaker();
if (!maker) console.log('left out: the sound is not rendered where node-web-audio-api is not installed');

/** Renders messages `[status, note, velocity, ms]`; the card's clock and ours stand together. */
async function rendered(messages: readonly number[][], seconds: number): Promise<Float32Array> {
  if (!maker) throw new Error('no package');
  const context = new maker(1, Math.round(seconds * rate), rate);
  const clock = new CardClock();
  clock.look(0, 0);
  const sound = new SoundOutput(context, clock);
  for (const [status = 0, note = 0, velocity = 0, ms = 0] of messages) sound.send(status, note, velocity, ms);
  const buffer = await context.startRendering();
  return buffer.getChannelData(0);
}

/** Where the sound begins anew after silence, in ms. */
function onsets(samples: Float32Array): number[] {
  const found: number[] = [];
  let silent = 1e9;
  samples.forEach((sample, index) => {
    if (Math.abs(sample) > 0.002) {
      if (silent > rate * 0.02) found.push((index / rate) * 1000);
      silent = 0;
    } else silent += 1;
  });
  return found;
}

describe.runIf(maker)('the built-in sound, rendered offline', () => {
  it('has its clicks where the timeline has them, within 1 ms', async () => {
    const bars = score('1 4 @3/4 1 5 @tempo=90 4', {}, { sound: together }).bars;
    let ms = 0;
    const due: number[] = [];
    const messages = bars.flatMap((bar) => {
      const perTick = millisecondsPerTick(bar.tempo);
      const start = ms;
      ms += bar.length * perTick;
      return clickNotes(bar).map((note) => {
        const at = 20 + start + (note.at - bar.start) * perTick;
        due.push(at);
        return [0x99, note.note, note.velocity, at];
      });
    });
    const found = onsets(await rendered(messages, ms / 1000 + 0.5));
    expect(found).toHaveLength(due.length);
    found.forEach((at, index) => {
      expect(Math.abs(at - (due[index] as number))).toBeLessThan(1);
    });
  });

  it('chokes a course within 20 ms of its end, and lets one ring that is not ended', async () => {
    const loudest = (samples: Float32Array, from: number, to: number): number =>
      samples
        .subarray(Math.round((from * rate) / 1000), Math.round((to * rate) / 1000))
        .reduce((most, one) => Math.max(most, Math.abs(one)), 0);
    const choked = await rendered(
      [
        [0x91, 62, 96, 50],
        [0x81, 62, 0, 110],
      ],
      1,
    );
    expect(loudest(choked, 50, 110)).toBeGreaterThan(0.02);
    expect(loudest(choked, 130, 1000)).toBeLessThan(0.0005);
    const ringing = await rendered([[0x91, 62, 96, 50]], 1);
    expect(loudest(ringing, 400, 600)).toBeGreaterThan(0.003);
  });

  it('has two clicks that differ, and never reaches full scale with everything at once', async () => {
    const accent = await rendered([[0x99, 76, 96, 10]], 0.1);
    const beat = await rendered([[0x99, 77, 96, 10]], 0.1);
    const crossings = (samples: Float32Array): number => {
      let count = 0;
      for (let index = 1; index < samples.length; index += 1)
        if ((samples[index - 1] as number) < 0 !== (samples[index] as number) < 0) count += 1;
      return count;
    };
    expect(crossings(accent)).toBeGreaterThan(crossings(beat) * 1.2);
    const all = await rendered(
      [[0x99, 76, 127, 10], [0x92, 31, 127, 10], ...[62, 67, 71, 79].map((note) => [0x91, note, 127, 10])],
      0.6,
    );
    expect(all.reduce((most, one) => Math.max(most, Math.abs(one)), 0)).toBeLessThan(1);
  });
});
