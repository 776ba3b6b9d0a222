import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { soundFlags } from '../../src/commands/play-sound.js';
import { standStart } from '../../src/commands/stand-start.js';
import { readSettings } from '../../src/config/settings.js';
import { keyName } from '../../src/theory/key.js';
import { midiNote } from '../../src/theory/pitch.js';
import { type MelodyWord, melodyWords } from '../../src/time/melody.js';
import { usualMix } from '../../src/time/sound.js';

const usual = readSettings('/nowhere/at/all').settings;

/** Whether the tune's voice is on, and where it is heard. */
function told(flags: { melody?: MelodyWord; voices?: string }, settings: Partial<typeof usual> = {}) {
  const { mix, melody } = soundFlags({ ...usual, ...settings }, flags);
  return [mix.on.lead, melody];
}

const silent = { ...usualMix, on: { ...usualMix.on, lead: false } };

describe('--melody', () => {
  it('is through the built-in sound only where nothing is said', () => {
    expect(told({})).toStrictEqual([true, 'sound']);
  });

  it.each([
    ['sound', [true, 'sound']],
    ['others', [true, 'others']],
    ['all', [true, 'all']],
    ['none', [false, 'sound']],
  ] as const)('%s goes before the settings, also before a voice that they turn off', (melody, expected) => {
    for (const word of melodyWords)
      expect(told({ melody }, { melody: word, mix: silent })).toStrictEqual(expected);
  });

  it.each([
    ['sound', [true, 'sound']],
    ['others', [true, 'others']],
    ['all', [true, 'all']],
    ['none', [false, 'sound']],
  ] as const)('melody: %s in the settings holds where no flag speaks', (melody, expected) => {
    expect(told({}, { melody })).toStrictEqual(expected);
    expect(told({}, { melody, mix: silent })[0]).toBe(false);
  });

  it('goes before --voices; whoever names the voice wants it on every output', () => {
    expect(told({ voices: 'click,lead' })).toStrictEqual([true, 'others']);
    expect(told({ voices: 'click,lead' }, { melody: 'none' })).toStrictEqual([true, 'others']);
    expect(told({ voices: 'click,lead' }, { melody: 'all' })).toStrictEqual([true, 'all']);
    expect(told({ voices: 'click' })[0]).toBe(false);
    expect(told({ voices: 'click', melody: 'all' })).toStrictEqual([true, 'all']);
    expect(told({ voices: 'click,lead', melody: 'none' })).toStrictEqual([false, 'sound']);
  });
});

const song = `title: Mill Road
key: G
tempo: 120
singers:
  Ansa: Bb
  Orrin: D
sections:
  A: |
    1 4
tune:
  A: |
    G4 B4 | d8 |
`;

function voiceOf(flags: { for?: string; key?: string }): unknown {
  const read = readChart(new TextEncoder().encode(song));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  const singers = new Map([
    ['Ansa', { low: midiNote(57), high: midiNote(74) }],
    ['orrin', { low: midiNote(45), high: midiNote(64) }],
  ]);
  const { key, voice } = standStart(read.value, null, flags, { ...usual, singers });
  return [keyName(key), voice?.low ?? null];
}

describe('--for', () => {
  it('has the singer’s key and voice, by which the tune is put into an octave', () => {
    expect(voiceOf({ for: 'Ansa' })).toStrictEqual(['Bb', 57]);
    expect(voiceOf({ for: 'ORRIN' })).toStrictEqual(['D', 45]);
  });

  it('has the voice in another key too, which --key says', () => {
    expect(voiceOf({ for: 'Ansa', key: 'A' })).toStrictEqual(['A', 57]);
    // The key of another singer does not make that one sing.
    expect(voiceOf({ for: 'Ansa', key: 'D' })).toStrictEqual(['D', 57]);
  });

  it('is not needed where the key is a singer’s; without either nobody is known', () => {
    expect(voiceOf({ key: 'Bb' })).toStrictEqual(['Bb', 57]);
    expect(voiceOf({})).toStrictEqual(['G', null]);
  });
});
