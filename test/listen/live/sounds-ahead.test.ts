import { describe, expect, it } from 'vitest';
import { SoundsAhead } from '../../../src/listen/live/sounds-ahead.js';
import type { SoundAhead } from '../../../src/listen/sound-ahead.js';
import type { OutSpec } from '../../../src/player/messages.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { Evening, songsOf } from '../../ui/evening.js';

const lead = 150;

/** An evening at which somebody is told what is about to sound, and keeps what was not withdrawn. */
class Told {
  readonly evening: Evening;
  readonly ahead = new SoundsAhead();
  /** What holds, by what was told. */
  sounds: SoundAhead[] = [];
  /** Sounds told, again and again where so; and how long before it was due the latest was told, ms. */
  count = 0;
  least = Number.POSITIVE_INFINITY;

  constructor(out: OutSpec, song: Parameters<typeof songsOf>[0][number] = { name: 'weir-hands' }) {
    this.evening = new Evening(songsOf([song], 1), [], { out, lead });
    this.evening.watch(() => this.look());
    // The listener's own timer.
    const again = () => {
      this.look();
      this.evening.host.setTimer(again, 500);
    };
    again();
    this.evening.untilSong('');
  }

  private look(): void {
    const at = this.evening.host.now();
    const told = this.ahead.look(this.evening.model.session, at);
    if (!told) return;
    this.count += told.sounds.length;
    for (const { ms } of told.sounds) this.least = Math.min(this.least, ms - at);
    this.sounds = [...this.sounds.filter(({ ms }) => ms < told.from), ...told.sounds];
  }
}

/** What sounded; what was sent ahead to the sound card and is taken back by a pause never does. */
const played = ({ evening: { output } }: Told, to: number): string[] =>
  output.ons
    .filter(({ time, sentAt }) => time < to && !output.panicked.some((at) => sentAt <= at && at < time))
    .map(({ time, note, velocity }) => `${time.toFixed(1)} ${note} ${velocity}`);
const told = ({ sounds }: Told, to: number): string[] =>
  sounds.filter(({ ms }) => ms < to).map(({ ms, note, velocity }) => `${ms.toFixed(1)} ${note} ${velocity}`);

/** Of some sounds those that are not among others: what lies within half a millisecond is not told again. */
function without(sounds: readonly string[], others: readonly string[]): readonly string[] {
  const near = (one: string, other: string): boolean => {
    const [[time, ...sound], [otherTime, ...otherSound]] = [one.split(' '), other.split(' ')];
    return sound.join() === otherSound.join() && Math.abs(Number(time) - Number(otherTime)) <= 0.6;
  };
  return sounds.filter((one) => !others.some((other) => near(one, other)));
}

describe('what is about to sound', () => {
  it('is told once while nothing changes, in time, with its end, and the count as heard alone', () => {
    const one = new Told({ kind: 'sound' });
    one.evening.wait(20);
    const now = one.evening.host.now();
    expect(played(one, now).length).toBeGreaterThan(60);
    expect(told(one, now).sort()).toStrictEqual(played(one, now).sort());
    expect(one.count).toBe(one.sounds.length);
    expect(one.least).toBeGreaterThan(20);
    const counted = one.sounds.filter(({ alone }) => alone);
    expect(counted.length).toBeGreaterThanOrEqual(2);
    expect(counted.every(({ voice }) => voice === 0)).toBe(true);
    expect(one.sounds.find(({ alone }) => !alone)?.ms).toBeGreaterThan(counted.at(-1)?.ms ?? Infinity);
    const bass = one.sounds.filter(({ voice, ms }) => voice === 1 && ms < now - 2000);
    for (const { ms, note, length } of bass) {
      const end = one.evening.output.offs.find((off) => off.note === note && off.time > ms + 1);
      expect(end?.time).toBeCloseTo(ms + length, 0);
    }
  });

  it.each<[string, readonly (readonly [number, Action])[]]>([
    [
      'through jumps',
      [
        [3, 'section-on'],
        [5.3, 'extend'],
        [9.1, 'section-back'],
        [14, 'ending'],
      ],
    ],
    [
      'through changes of tempo',
      [
        [3, 'faster'],
        [3.1, 'faster'],
        [6.4, 'slower'],
        [8, 'share-down'],
      ],
    ],
    [
      'through pauses',
      [
        [4.2, 'play'],
        [6, 'play'],
        [7, 'play'],
        [7.2, 'play'],
        [12, 'play'],
        [13, 'play'],
      ],
    ],
    [
      'through loops',
      [
        [4, 'loop-from'],
        [9, 'loop-to'],
        [16, 'loop-off'],
      ],
    ],
    [
      'through held chords',
      [
        [4, 'hold'],
        [9, 'hold'],
      ],
    ],
  ])('is what sounds, no more and no less, %s', (_, acts) => {
    const one = new Told({ kind: 'sound' });
    const begin = one.evening.seconds;
    for (const [at, action] of acts) {
      one.evening.wait(begin + at - one.evening.seconds);
      one.evening.press(action);
    }
    one.evening.wait(8);
    const now = one.evening.host.now();
    const [heard, known] = [played(one, now), told(one, now)];
    expect(heard.length).toBeGreaterThan(50);
    expect(without(heard, known)).toStrictEqual([]);
    expect(without(known, heard)).toStrictEqual([]);
  });

  it.each<OutSpec>([{ kind: 'none' }, { kind: 'midi', port: 'x' }, { kind: 'raw', path: 'x' }])(
    'is nothing that is known where the program does not make it itself: %o',
    (out) => {
      const one = new Told(out);
      one.evening.wait(10);
      expect(one.evening.output.ons.length).toBeGreaterThan(10);
      expect(one.sounds).toStrictEqual([]);
    },
  );
});
