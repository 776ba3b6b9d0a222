import { describe, expect, it } from 'vitest';
import { Hearing } from '../../src/ear/hearing.js';
import type { FromEar } from '../../src/ear/messages.js';
import type { SoundAhead } from '../../src/listen/sound-ahead.js';
import { woodBlock } from '../../src/player/synth/wood-block.js';
import { seeded } from '../listen/seeded.js';
import { chop, plucked } from './plucks.js';

const rate = 44_100;
const times = [500, 1000, 1480, 2020, 2500];
const sound = plucked(times, 3.5, rate, chop);
/** The sound card's first sample sounded then, and pieces take so long at least, ms. */
const begin = 70_000;
const way = 12;

type Of<K extends FromEar['kind']> = Extract<FromEar, { kind: K }>;

function hear(
  samples: Float32Array,
  pieces: () => number,
  act: (hearing: Hearing, at: number) => void = () => {},
): FromEar[] {
  const told: FromEar[] = [];
  const hearing = new Hearing(rate, (message) => told.push(message));
  const late = seeded(3);
  for (let at = 0; at < samples.length; ) {
    act(hearing, at);
    const piece = samples.subarray(at, at + pieces());
    at += piece.length;
    hearing.sound(piece, begin + way + (1000 * at) / rate + 3 * late());
  }
  hearing.end();
  return told;
}

const of = <K extends FromEar['kind']>(told: readonly FromEar[], kind: K): Of<K>[] =>
  told.filter((one): one is Of<K> => one.kind === kind);

/** How far from the truth strokes are when what is constant is taken away, ms. */
function spread(ms: readonly number[], truth: readonly number[]): number {
  const off = ms.map((one, at) => one - (truth[at] as number)).sort((one, other) => one - other);
  return Math.max(...off.map((one) => Math.abs(one - (off[off.length >> 1] as number))));
}

const clicks = (due: readonly number[]): SoundAhead[] =>
  due.map((ms) => ({ ms: begin + ms, voice: 0, note: 77, velocity: 64, length: 50, alone: true }));

describe('Hearing', () => {
  const random = seeded(9);
  it.each([
    ['10 ms', () => 441],
    ['any length', () => 1 + Math.floor(3000 * random())],
    ['all at once', () => sound.length],
  ])('tells each stroke once, at its time on the shared clock, from pieces of %s', (_, pieces) => {
    const told = hear(sound, pieces);
    const strokes = of(told, 'stroke');
    expect(strokes).toHaveLength(times.length);
    expect(of(told, 'onset')).toHaveLength(times.length);
    expect(
      spread(
        strokes.map(({ ms }) => ms),
        times,
      ),
    ).toBeLessThan(3);
    for (const [at, stroke] of strokes.entries()) {
      // The way of the sound into the machine is in it, and no more than a few ms beside.
      expect(stroke.ms - begin - (times[at] as number)).toBeGreaterThan(way - 3);
      expect(stroke.ms - begin - (times[at] as number)).toBeLessThan(way + 10);
      expect(stroke.clip).toHaveLength(Math.round(0.22 * rate));
      // Silence before the attack, sound after it.
      expect(
        Math.max(...stroke.clip.subarray(stroke.attack - 0.005 * rate, stroke.attack - 0.003 * rate)),
      ).toBeLessThan(0.02);
      expect(Math.max(...stroke.clip.subarray(stroke.attack, stroke.attack + 0.025 * rate))).toBeGreaterThan(
        0.1,
      );
    }
  });

  it('tells levels ten times a second, and once that it hears nothing', () => {
    const told = hear(new Float32Array(8 * rate), () => 441);
    expect(of(told, 'level')).toHaveLength(80);
    expect(of(told, 'condition')).toStrictEqual([
      {
        kind: 'condition',
        condition: 'silent',
        sentence: expect.stringMatching(/hears nothing at all; check whether it is muted/),
      },
    ]);
    expect(of(told, 'stroke')).toStrictEqual([]);
  });

  it('tells where sound was lost, and takes the jump of the wave there for no stroke', () => {
    const at = Math.round(1.2 * rate);
    const tone = Float32Array.from(
      { length: 2 * rate },
      (_, index) => 0.3 * Math.sin(index / 20) * (index < at ? 0 : 1),
    );
    const here = hear(
      tone,
      () => 441,
      (hearing, sample) => {
        if (Math.abs(sample - at) < 220) hearing.lost('here');
      },
    );
    expect(of(here, 'gap').map(({ sample }) => Math.round(sample / 441))).toStrictEqual([
      Math.round(at / 441),
    ]);
    expect(of(here, 'stroke')).toStrictEqual([]);
    // The same without the word of the source is a stroke.
    expect(
      of(
        hear(tone, () => 441),
        'stroke',
      ),
    ).toHaveLength(1);
  });

  it('takes own sounds out that were announced, and no others', () => {
    // A wood block: gone within 50 ms.
    const click = woodBlock(rate, false);
    const due = Array.from({ length: 12 }, (_, at) => 1500 + 250 * at);
    // The faint noise of a room.
    const noise = seeded(4);
    const both = Float32Array.from({ length: Math.round(4.8 * rate) }, () => 0.01 * (noise() - 0.5));
    for (const ms of due)
      click.forEach((value, at) => {
        const place = Math.round((ms / 1000) * rate) + at;
        both[place] = (both[place] ?? 0) + 0.5 * value;
      });
    const announced = hear(
      both,
      () => 441,
      (hearing, sample) => {
        if (sample > 0) return;
        hearing.setDelay(way);
        hearing.announce(clicks(due), 0);
      },
    );
    // How the room sounds is learnt from the first: what is left of them is faint.
    const left = of(announced, 'stroke');
    expect(left.filter(({ strength }) => strength > 0.06)).toStrictEqual([]);
    expect(left.filter(({ ms }) => ms > begin + (due[3] ?? 0))).toStrictEqual([]);
    expect(
      of(
        hear(both, () => 441),
        'stroke',
      ).length,
    ).toBeGreaterThan(10);
  });
});
