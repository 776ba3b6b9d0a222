import { describe, expect, it } from 'vitest';
import { type Voice, voices } from '../../src/time/event.js';
import {
  chopLimits,
  heardLevels,
  type Mix,
  mostLevel,
  programMessages,
  type Sound,
  spreadLimits,
  usualMix,
  usualSound,
} from '../../src/time/sound.js';

const hex = (messages: readonly number[]): string[] =>
  messages.map((one) => [one & 0xff, (one >> 8) & 0xff].map((byte) => byte.toString(16)).join(' '));

const sound = (changes: Partial<Sound['programs']>, channels: Partial<Sound['channels']> = {}): Sound => ({
  ...usualSound,
  programs: { ...usualSound.programs, ...changes },
  channels: { ...usualSound.channels, ...channels },
});

describe('the usual sound', () => {
  // General MIDI: channel 10 (9 on the wire) is percussion; 76 and 77 are the high and the low wood block.
  it('has the click alone on channel 10, on its two wood blocks', () => {
    expect(voices.filter((voice) => usualSound.channels[voice] === 9)).toStrictEqual(['click']);
    expect([usualSound.accent, usualSound.beat]).toStrictEqual([76, 77]);
  });

  it('lasts and spreads within its own limits', () => {
    expect(usualSound.chopMs).toBeGreaterThanOrEqual(chopLimits.least);
    expect(usualSound.chopMs).toBeLessThanOrEqual(chopLimits.most);
    expect(usualSound.spreadMs).toBeGreaterThanOrEqual(spreadLimits.least);
    expect(usualSound.spreadMs).toBeLessThanOrEqual(spreadLimits.most);
  });

  it('is loudest on the accent and softest on what divides the beats', () => {
    const { accentLoudness, beatLoudness, dividedLoudness } = usualSound;
    // MIDI 1.0: a velocity is at most 127, and 0 would be a note-off.
    expect(accentLoudness).toBeLessThanOrEqual(127);
    expect(beatLoudness).toBeLessThan(accentLoudness);
    expect(dividedLoudness).toBeLessThan(beatLoudness);
    expect(dividedLoudness).toBeGreaterThan(0);
  });
});

describe('programMessages', () => {
  // MIDI 1.0: a program change is Cn and one byte. General MIDI, counted from 0: acoustic bass 32, steel guitar 25.
  it('sends the bass and the instrument their programs, the click none', () => {
    expect(hex(programMessages(usualSound))).toStrictEqual(['c2 20', 'c0 19', 'c1 19']);
  });

  it.each<[string, Partial<Sound['programs']>, Partial<Sound['channels']>, string[]]>([
    ['a banjo (105 from 0)', { low: 105, chop: 105 }, {}, ['c2 20', 'c0 69', 'c1 69']],
    ['the first and the last there are', { low: 0, chop: 127 }, {}, ['c2 20', 'c0 0', 'c1 7f']],
    ['other channels', {}, { bass: 15, chop: 5 }, ['cf 20', 'c0 19', 'c5 19']],
    ['one for the click', { click: 3 }, {}, ['c9 3', 'c2 20', 'c0 19', 'c1 19']],
    ['none for the bass', { bass: null }, {}, ['c0 19', 'c1 19']],
    ['none at all', { bass: null, low: null, chop: null }, {}, []],
  ])('%s', (_, programs, channels, expected) => {
    expect(hex(programMessages(sound(programs, channels)))).toStrictEqual(expected);
  });
});

describe('heardLevels', () => {
  const levels = { click: 90, bass: 80, low: 70, chop: 60, lead: 50 };
  const mix = (on: readonly Voice[], alone: Voice | null = null): Mix => ({
    on: {
      click: on.includes('click'),
      bass: on.includes('bass'),
      low: on.includes('low'),
      chop: on.includes('chop'),
      lead: on.includes('lead'),
    },
    alone,
    levels,
  });

  it.each<[string, Mix, number[]]>([
    ['all', mix(['click', 'bass', 'low', 'chop', 'lead']), [90, 80, 70, 60, 50]],
    ['none', mix([]), [0, 0, 0, 0, 0]],
    ['some', mix(['click', 'chop']), [90, 0, 0, 60, 0]],
    ['one alone', mix(['click', 'bass', 'low', 'chop'], 'bass'), [0, 80, 0, 0, 0]],
    ['one alone that is off', mix(['click'], 'chop'), [0, 0, 0, 60, 0]],
    [
      'one alone that is made silent',
      { ...mix(['click'], 'low'), levels: { ...levels, low: 0 } },
      [0, 0, 0, 0, 0],
    ],
    [
      'louder than written',
      { ...mix(['low']), levels: { ...levels, low: mostLevel } },
      [0, 0, mostLevel, 0, 0],
    ],
  ])('%s', (_, of, expected) => {
    expect(heardLevels(of)).toStrictEqual(expected);
  });

  it('usually is the company, and not the player’s own part doubled', () => {
    expect(heardLevels(usualMix)).toStrictEqual([100, 100, 0, 0, 100]);
  });
});
