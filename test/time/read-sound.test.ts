import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { readSettings } from '../../src/config/settings.js';
import { parseMix, readMilliseconds } from '../../src/time/read-sound.js';
import { heardLevels, type Mix, programMessages, usualMix, usualSound } from '../../src/time/sound.js';

const folder = mkdtempSync(join(tmpdir(), 'barkline-sound-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function settings(text: string) {
  writeFileSync(join(folder, 'settings.yaml'), text);
  const { settings: read, faults } = readSettings(folder);
  return { ...read, told: faults.map((fault) => fault.replace(/^.*settings\.yaml:/, '')) };
}

/** A mix that must read, as the levels that are heard. */
function heard(text: string, mix?: Mix): number[] {
  const outcome = parseMix(text, mix);
  if (!outcome.ok) throw new Error(outcome.fault.message);
  return heardLevels(outcome.value);
}

describe('parseMix', () => {
  it.each([
    ['all', [100, 100, 100, 100, 100]],
    ['lead', [0, 0, 0, 0, 100]],
    ['click,lead:80', [100, 0, 0, 0, 80]],
    ['none', [0, 0, 0, 0, 0]],
    ['click', [100, 0, 0, 0, 0]],
    ['chop', [0, 0, 0, 100, 0]],
    ['click,bass', [100, 100, 0, 0, 0]],
    ['bass, low', [0, 100, 100, 0, 0]],
    ['click:60,bass', [60, 100, 0, 0, 0]],
    ['bass:0', [0, 0, 0, 0, 0]],
    ['low:150', [0, 0, 150, 0, 0]],
    ['chop:7,chop:70', [0, 0, 0, 70, 0]],
    ['click,bass,low,chop', [100, 100, 100, 100, 0]],
  ])('%s', (text, expected) => {
    expect(heard(text)).toStrictEqual(expected);
  });

  const mix: Mix = {
    on: { click: false, bass: false, low: true, chop: false, lead: false },
    alone: 'low',
    levels: { click: 40, bass: 50, low: 60, chop: 70, lead: 80 },
  };

  it.each([
    ['all', [40, 50, 60, 70, 80]],
    ['none', [0, 0, 0, 0, 0]],
    ['bass', [0, 50, 0, 0, 0]],
    ['bass:90,chop', [0, 90, 0, 70, 0]],
  ])('%s keeps the levels it says nothing of, and nothing alone', (text, expected) => {
    expect(heard(text, mix)).toStrictEqual(expected);
  });

  it.each([
    ['bas', '“bas” is not a voice; did you mean “bass”?'],
    ['click,chops', '“chops” is not a voice; did you mean “chop”?'],
    ['al', '“al” is not a voice; did you mean “all”?'],
    ['drums', '“drums” is not a voice; write some of click,bass,low,chop,lead, or all, or none'],
    ['', '“” is not a voice'],
    ['click,', '“” is not a voice'],
    ['none,click', '“none” is not a voice'],
    ['Click', '“Click” is not a voice; did you mean “click”?'],
    ['bass:', '“bass:” has no level from 0 to 150 percent'],
    ['bass:151', '“bass:151” has no level from 0 to 150 percent'],
    ['bass:-1', '“bass:-1” has no level'],
    ['bass:70.5', '“bass:70.5” has no level'],
    ['bass:loud', '“bass:loud” has no level'],
    ['click:60,bass:1e2', '“bass:1e2” has no level'],
  ])('%j: %s', (text, expected) => {
    const outcome = parseMix(text);
    expect(outcome.ok ? '' : outcome.fault.message).toContain(expected);
  });

  it('quotes nothing that could steer a terminal', () => {
    const outcome = parseMix('\u001b[2Jbass');
    expect(outcome.ok ? '' : outcome.fault.message).toContain('␛[2Jbass');
  });

  it('answers any text with levels that can be played, or a sentence', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const outcome = parseMix(text);
        const levels = outcome.ok ? heardLevels(outcome.value) : [];
        expect(levels.filter((level) => level < 0 || level > 150)).toStrictEqual([]);
        expect(outcome.ok ? outcome.value.alone : outcome.fault.message.length > 0).toBe(
          outcome.ok ? null : true,
        );
      }),
    );
  });
});

describe('voices in the settings', () => {
  it('are as usual where nothing is said', () => {
    const { sound, mix, told } = settings('singers:\n  Ansa: A3-D5\n');
    expect([sound, mix, told]).toStrictEqual([usualSound, usualMix, []]);
  });

  // MIDI 1.0: channels are counted from 1 by people and from 0 on the wire. General MIDI counts programs from 1.
  it('have channels, programs, levels, whether they sound, and the click its notes', () => {
    const read = settings(`voices:
  click: accent 33, beat 37, level 60
  bass: channel 5, program 34, off
  low: on, program none
  chop: channel 16, program 128, level 150, on
`);
    expect(read.told).toStrictEqual([]);
    expect(read.sound).toStrictEqual({
      ...usualSound,
      channels: { click: 9, bass: 4, low: 0, chop: 15, lead: 3 },
      programs: { click: null, bass: 33, low: null, chop: 127, lead: null },
      accent: 33,
      beat: 37,
    });
    expect(heardLevels(read.mix)).toStrictEqual([60, 0, 100, 150, 100]);
    expect(programMessages(read.sound)).toStrictEqual([0xc4 | (33 << 8), 0xcf | (127 << 8)]);
  });

  it.each([
    ['channel 1', { channels: { ...usualSound.channels, bass: 0 } }],
    ['channel 16', { channels: { ...usualSound.channels, bass: 15 } }],
    ['program 1', { programs: { ...usualSound.programs, bass: 0 } }],
    ['program 128', { programs: { ...usualSound.programs, bass: 127 } }],
  ])('may say %s', (word, expected) => {
    const read = settings(`voices:\n  bass: ${word}\n`);
    expect(read.told).toStrictEqual([]);
    expect(read.sound).toStrictEqual({ ...usualSound, ...expected });
  });

  it.each([
    ['channel 0', 'channel 0'],
    ['channel 17', 'channel 17'],
    ['channel ten', 'channel ten'],
    ['channel', 'channel'],
    ['program 0', 'program 0'],
    ['program 129', 'program 129'],
    ['level 151', 'level 151'],
    ['level -1', 'level -1'],
    ['on now', 'on now'],
    ['accent 60', 'accent 60'],
    ['level 80,', ''],
    ['[on]', ''],
  ])('bass: %s is told', (words, quote) => {
    const read = settings(`voices:\n  bass: ${words}\n  low: on\n`);
    expect(read.told).toHaveLength(1);
    expect(read.told[0]).toContain(`2:9: “${quote}” does not describe a voice${quote === '' ? ';' : ''}`);
    expect(read.told[0]).toContain('write channel 1–16, program 1–128 or none, level 0–150, on or off');
    expect(read.mix.on.low).toBe(true);
  });

  it.each([
    ['voices: loud\n', '1:9: write each voice on a line below it: “  bass: channel 3, level 80”'],
    ['voices:\n  bas: on\n', '2:3: “bas” is not a voice; did you mean “bass”?'],
    ['voices:\n  drums: on\n', '2:3: “drums” is not a voice; voices are click, bass, low, chop'],
    ['voices:\n  bass: chanel 3\n', '2:9: “chanel 3” does not describe a voice; did you mean “channel”?'],
    ['voices:\n  click: acent 76\n', '2:10: “acent 76” does not describe a voice; did you mean “accent”?'],
    ['voices:\n  click: beat 128\n', '2:10: “beat 128” does not describe a voice'],
    ['voices:\n  click: accent 128\n', 'on or off, accent or beat with a note 0–127'],
    ['voices:\n  bass: on\n  bass: off\n', '3:3: “bass” is given twice'],
  ])('%j: %s', (text, expected) => {
    expect(settings(text).told.join('\n')).toContain(expected);
  });

  it('keep what is right beside what is wrong', () => {
    const read = settings('voices:\n  bass: channel 99, program 34\n  drums: on\n  chop: on, loud\n');
    expect(read.told.map((one) => one.slice(0, 4))).toStrictEqual(['2:9:', '3:3:', '4:9:']);
    expect(read.sound).toStrictEqual({
      ...usualSound,
      programs: { ...usualSound.programs, bass: 33 },
    });
    expect(heardLevels(read.mix)).toStrictEqual([100, 100, 0, 100, 100]);
  });
});

describe('what is given in milliseconds', () => {
  // Common practice: a chop lasts 40 to 90 ms.
  it.each([
    ['chop: 40\n', 40, 2],
    ['chop: 90\n', 90, 2],
    ['chop: 62.5\n', 62.5, 2],
    ['spread: 0\n', 60, 0],
    ['spread: 20\n', 60, 20],
    ['chop: 50\nspread: 1.5\n', 50, 1.5],
  ])('%j', (text, chopMs, spreadMs) => {
    const read = settings(text);
    expect(read.told).toStrictEqual([]);
    expect(read.sound).toStrictEqual({ ...usualSound, chopMs, spreadMs });
  });

  it.each([
    ['chop: 39\n', '1:7: chop “39” is not a number of ms from 40 to 90'],
    ['chop: 90.1\n', '1:7: chop “90.1” is not a number of ms from 40 to 90'],
    ['chop: short\n', '1:7: chop “short” is not a number of ms from 40 to 90'],
    ['spread: 21\n', '1:9: spread “21” is not a number of ms from 0 to 20'],
    ['spread: -1\n', '1:9: spread “-1” is not a number of ms'],
    ['spread: 3 ms\n', '1:9: spread “3 ms” is not a number of ms'],
    ['chop: [60]\n', 'chop “” is not a number of ms'],
  ])('%j: %s', (text, expected) => {
    const read = settings(text);
    expect(read.told).toHaveLength(1);
    expect(read.told[0]).toContain(expected);
    expect(read.sound).toStrictEqual(usualSound);
  });

  it('is taken from a plain number only', () => {
    for (const text of ['', ' ', '1e1', '0x10', 'Infinity', 'NaN', '+3', '.5', '5.'])
      expect([text, readMilliseconds(usualSound, 'spread', text).ok]).toStrictEqual([text, false]);
  });
});

describe('outputs in the settings', () => {
  it('have an offset and the clock, by their names on the command line', () => {
    const read = settings(`outputs:
  sound: offset 12
  midi:Osier Synth: offset -7.5, clock
  virtual: clock
  "raw:/dev/snd/midiC1D0": offset 0
`);
    expect(read.told).toStrictEqual([]);
    expect([...read.outputs]).toStrictEqual([
      ['sound', { offset: 12, clock: false }],
      ['midi:Osier Synth', { offset: -7.5, clock: true }],
      ['virtual:barkline', { offset: 0, clock: true }],
      ['raw:/dev/snd/midiC1D0', { offset: 0, clock: false }],
    ]);
  });

  it.each([
    ['outputs: sound\n', '1:10: write each output on a line below it: “  sound: offset 12”'],
    ['outputs:\n  sounds: clock\n', '“sounds” is not an output; did you mean “sound”?'],
    ['outputs:\n  sound: offset 501\n', '2:10: “offset 501” does not describe an output'],
    ['outputs:\n  sound: clocks\n', '2:10: “clocks” does not describe an output'],
    ['outputs:\n  sound: [clock]\n', '2:10: “” does not describe an output'],
  ])('%j: %s, and the rest holds', (text, expected) => {
    expect(settings(text).told.join('\n')).toContain(expected);
    const rest = settings(`${text}chop: 50\n`);
    expect([rest.sound.chopMs, rest.outputs.size]).toStrictEqual([50, 0]);
  });
});
