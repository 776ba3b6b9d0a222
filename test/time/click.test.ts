import { describe, expect, it } from 'vitest';
import { midiNote } from '../../src/theory/pitch.js';
import { type Click, type ClickKind, clickKinds, clickNotes, clicksIn } from '../../src/time/click.js';
import { begin, type Conducted, retake, type Take } from '../../src/time/conductor.js';
import type { ScoreBar } from '../../src/time/score.js';
import { usualSound } from '../../src/time/sound.js';
import { score } from './scores.js';
import { accents, eventsOf, goOn, take } from './takes.js';

const bar = 3840;
const click = (changes: Partial<Click> = {}): Click => ({
  kind: 'every',
  accents: true,
  gaps: null,
  ...changes,
});
const barOf = (written: string, head = {}, index = 0): ScoreBar =>
  score(written, head).bars[index] as ScoreBar;

/** The clicks of a bar: `0!` accented, `960` a beat, `480.` what divides one. */
function clicks(of: ScoreBar, kind: ClickKind, accented = true): string {
  return clickNotes(of, click({ kind, accents: accented }))
    .map(({ at, note, velocity }) => `${at - of.start}${note === 76 ? '!' : velocity < 60 ? '.' : ''}`)
    .join(' ');
}

describe('clickNotes', () => {
  // A quarter has 960 ticks; 2/2 is felt in halves, 6/8 in dotted quarters. The backbeat is where chops fall (common practice).
  it.each<[ClickKind, string, string]>([
    ['every', '4/4', '0! 960 1920 2880'],
    ['every', '3/4', '0! 960 1920'],
    ['every', '2/2', '0! 1920'],
    ['every', '6/8', '0! 1440'],
    ['backbeat', '4/4', '960 2880'],
    ['backbeat', '3/4', '960 1920'],
    ['backbeat', '2/2', '960 2880'],
    ['backbeat', '6/8', '960 2400'],
    ['first', '4/4', '0!'],
    ['first', '3/4', '0!'],
    ['first', '2/2', '0!'],
    ['first', '6/8', '0!'],
    ['divided', '4/4', '0! 480. 960 1440. 1920 2400. 2880 3360.'],
    ['divided', '3/4', '0! 480. 960 1440. 1920 2400.'],
    ['divided', '2/2', '0! 960. 1920 2880.'],
    ['divided', '6/8', '0! 480. 960. 1440 1920. 2400.'],
    ['off', '4/4', ''],
    ['off', '6/8', ''],
  ])('%s in %s: %s', (kind, meter, expected) => {
    expect(clicks(barOf('1', { meter }), kind)).toBe(expected);
  });

  it.each<[ClickKind, string]>([
    ['every', '0 960 1920 2880'],
    ['backbeat', '960 2880'],
    ['first', '0'],
    ['divided', '0 480. 960 1440. 1920 2400. 2880 3360.'],
  ])('%s without accents: %s', (kind, expected) => {
    expect(clicks(barOf('1'), kind, false)).toBe(expected);
  });

  // Swing 67: the off-beat stands at 0.67 of the beat.
  it('divides the beat where the feel does', () => {
    expect(clicks(barOf('1', { meter: '2/4', feel: 'swing=67' }), 'divided')).toBe('0! 643. 960 1603.');
  });

  it.each<[ClickKind, string]>([
    ['every', '0! 960 1920 2880 3840'],
    ['backbeat', '960 2880'],
    ['divided', '0! 480. 960 1440. 1920 2400. 2880 3360. 3840 4320.'],
  ])('%s in a bar with a beat more: %s', (kind, expected) => {
    expect(clicks(barOf('(1.... 4.)', { crooked: 'yes' }), kind)).toBe(expected);
  });

  it.each<[ClickKind, string]>([
    ['every', '0! 960'],
    ['backbeat', '960'],
    ['divided', '0! 480. 960 1440.'],
  ])('%s in a bar cut in half, nothing beyond its end: %s', (kind, expected) => {
    expect(clicks(barOf('(1. 4.)', { crooked: 'yes' }), kind)).toBe(expected);
  });

  it('counts from the start of the pass', () => {
    const second = barOf('1 4', {}, 1);
    expect(clickNotes(second, click()).map(({ at }) => at)).toStrictEqual([3840, 4800, 5760, 6720]);
  });

  // General MIDI: percussion is on channel 10 (9 on the wire), the high wood block 76, the low one 77.
  it('is the high and the low wood block on channel 10, the accent louder, what divides softer', () => {
    const made = clickNotes(barOf('1', { meter: '2/4' }), click({ kind: 'divided' }));
    expect(made.map(({ note }) => note)).toStrictEqual([76, 77, 77, 77]);
    for (const { voice, channel } of made) expect([voice, channel]).toStrictEqual(['click', 9]);
    const [accent = 0, divided = 0, beat = 0] = made.map(({ velocity }) => velocity);
    expect(accent).toBeGreaterThan(beat);
    expect(beat).toBeGreaterThan(divided);
    expect(made.filter(({ velocity }) => velocity < 1 || velocity > 127)).toStrictEqual([]);
  });

  it('ends each click before the next', () => {
    for (const { length } of clickNotes(barOf('1'), click({ kind: 'divided' }))) {
      expect(length).toBeGreaterThan(0);
      expect(length).toBeLessThan(480);
    }
  });

  it('takes the notes, the strengths and the channel of another sound', () => {
    const sound = {
      ...usualSound,
      channels: { ...usualSound.channels, click: 4 },
      accent: midiNote(33),
      beat: midiNote(37),
      accentLoudness: 101,
      beatLoudness: 55,
      dividedLoudness: 11,
    };
    const made = clickNotes(barOf('1', { meter: '2/4' }), click({ kind: 'divided' }), sound);
    expect(made.map(({ channel, note, velocity }) => [channel, note, velocity])).toStrictEqual([
      [4, 33, 101],
      [4, 37, 11],
      [4, 37, 55],
      [4, 37, 11],
    ]);
  });
});

describe('clickKinds', () => {
  it('lists every kind once, in words of its own', () => {
    expect(clickKinds.map(({ kind }) => kind)).toStrictEqual([
      'every',
      'backbeat',
      'first',
      'divided',
      'off',
    ]);
    expect(new Set(clickKinds.map(({ says }) => says)).size).toBe(5);
  });
});

describe('clicksIn', () => {
  const heard = (of: Click): string =>
    Array.from({ length: 10 }, (_, before) => (clicksIn(of, before) ? 'x' : '-')).join('');

  it.each([
    ['no gaps', null, 'xxxxxxxxxx'],
    ['one and one', { heard: 1, silent: 1 }, 'x-x-x-x-x-'],
    ['three and one', { heard: 3, silent: 1 }, 'xxx-xxx-xx'],
    ['two and two', { heard: 2, silent: 2 }, 'xx--xx--xx'],
    ['one and four', { heard: 1, silent: 4 }, 'x----x----'],
  ])('%s: %s', (_, gaps, expected) => {
    expect(heard(click({ gaps }))).toBe(expected);
  });

  it('is silent throughout when the click is off', () => {
    expect(heard(click({ kind: 'off' }))).toBe('----------');
    expect(heard(click({ kind: 'off', gaps: { heard: 3, silent: 1 } }))).toBe('----------');
  });
});

describe('a take with gaps', () => {
  const gaps = { heard: 3, silent: 1 };
  const loop = (changes: Partial<Take> = {}): Take =>
    take('1 4', { passes: null, countIn: 0, click: click({ gaps }), ...changes });

  /** Which of the first bars click, from tick `from` on. */
  function heard(of: Conducted, from = 0, count = 10): string {
    const all = new Set(goOn(of, from + count * bar).segments.flatMap(accents));
    return Array.from({ length: count }, (_, index) => (all.has(from + index * bar) ? 'x' : '-')).join('');
  }

  it('counts its bars on over the passes of a loop', () => {
    expect(heard(begin(loop(), 0, 0))).toBe('xxx-xxx-xx');
    expect(heard(begin(loop({ click: click({ gaps: { heard: 2, silent: 1 } }) }), 0, 0))).toBe('xx-xx-xx-x');
  });

  it('counts from the bar it begins at, and a loop’s own bars only', () => {
    expect(heard(begin(loop(), 1, 0))).toBe('xxx-xxx-xx');
    const range = { from: 1, to: 4 };
    const made = { ...loop(), score: score('1 4 5 1 4'), range };
    expect(heard(begin(made, 1, 0))).toBe('xxx-xxx-xx');
  });

  it('never leaves to repeat itself what is not the same each time', () => {
    const { segments } = goOn(begin(loop(), 0, 0), 20 * bar);
    expect(segments.map((one) => one.onEnd)).not.toContain('repeat');
  });

  it('plays on in the bars that are silent', () => {
    const { segments } = goOn(begin(loop(), 0, 0), 8 * bar);
    const fourth = segments.flatMap(eventsOf).filter(({ tick }) => tick >= 3 * bar && tick < 4 * bar);
    expect(fourth.filter(({ channel }) => channel === 9)).toStrictEqual([]);
    expect(fourth.length).toBeGreaterThan(0);
  });

  it('keeps its count when the tempo changes in flight', () => {
    const begun = goOn(begin(loop(), 0, 0), 5000);
    const changed = retake(begun.conductor, loop({ share: 0.8 }), 5000);
    expect(heard(changed, 2 * bar, 8)).toBe('x-xxx-xx');
  });

  it('does not count the bars of the count-in', () => {
    expect(heard(begin(loop({ countIn: 2 }), 0, 0), 2 * bar)).toBe('xxx-xxx-xx');
  });
});

describe('the count-in', () => {
  const kinds = clickKinds.map(({ kind }) => kind);

  it.each(kinds)('clicks every beat whatever the click does: %s', (kind) => {
    const made = take('1 4', { countIn: 2, click: click({ kind, gaps: { heard: 1, silent: 7 } }) });
    const [count] = begin(made, 0, 0).segments;
    expect(count && eventsOf(count).map(({ tick }) => tick)).toStrictEqual(
      [0, 1, 2, 3, 4, 5, 6, 7].map((beat) => beat * 960),
    );
  });

  it('is followed by silence where the click is off', () => {
    const [, music] = begin(take('1 4', { click: click({ kind: 'off' }) }), 0, 0).segments;
    const played = music ? eventsOf(music) : [];
    expect(played.filter(({ channel }) => channel === 9)).toStrictEqual([]);
    expect(played.length).toBeGreaterThan(0);
  });

  it('is followed by the click that is asked for', () => {
    const [, music] = begin(take('1', { click: click({ kind: 'backbeat' }) }), 0, 0).segments;
    const clicked = music ? eventsOf(music).filter(({ channel }) => channel === 9) : [];
    expect(clicked.map(({ tick, note }) => [tick - bar, note])).toStrictEqual([
      [960, 77],
      [2880, 77],
    ]);
  });
});
