import { didYouMean } from '../base/nearest.js';
import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import type { Faults } from '../chart/fault.js';
import type { Entry } from '../chart/yaml-source.js';
import { midiNote } from '../theory/pitch.js';
import { type Voice, voices } from './event.js';
import { chopLimits, type Mix, mostLevel, type Sound, spreadLimits, usualMix, usualSound } from './sound.js';

/** A sound and a mix that belong together. */
export interface SoundAndMix {
  readonly sound: Sound;
  readonly mix: Mix;
}

/**
 * Reads `voices:` of the settings: below it a voice a line, `bass: channel 3, program 33, level 80`. Channels count
 * from 1 to 16, programs from 1 to 128, levels in percent; `program none` sends none; `on` and `off` say whether it
 * sounds by itself; the click has `accent 76` and `beat 77` too.
 */
export function readVoices(entries: readonly Entry[], faults: Faults): SoundAndMix {
  let made: SoundAndMix = { sound: usualSound, mix: usualMix };
  for (const { name, place, value } of entries) {
    const voice = voices.find((one) => one === name);
    if (!voice) {
      faults.error(
        place,
        `${quoted(name)} is not a voice${didYouMean(name, voices)}; voices are ${voices.join(', ')}`,
      );
      continue;
    }
    const words = value.kind === 'text' ? value.text.split(',').map((word) => word.trim()) : [''];
    for (const word of words) {
      const next = withWord(made, voice, word);
      if (next.ok) made = next.value;
      else faults.error(value.place, next.fault.message);
    }
  }
  return made;
}

function withWord({ sound, mix }: SoundAndMix, voice: Voice, text: string): Outcome<SoundAndMix> {
  const [word = '', argument = '', ...more] = text.split(/\s+/);
  const number = more.length === 0 && /^\d+$/.test(argument) ? Number(argument) : Number.NaN;
  const within = (least: number, most: number): boolean => number >= least && number <= most;
  if (text === 'on' || text === 'off')
    return good({ sound, mix: { ...mix, on: { ...mix.on, [voice]: text === 'on' } } });
  if (word === 'level' && within(0, mostLevel))
    return good({ sound, mix: { ...mix, levels: { ...mix.levels, [voice]: number } } });
  if (word === 'channel' && within(1, 16))
    return good({ mix, sound: { ...sound, channels: { ...sound.channels, [voice]: number - 1 } } });
  if (word === 'program' && (argument === 'none' || within(1, 128))) {
    const program = argument === 'none' ? null : number - 1;
    const programs = { ...sound.programs, [voice]: program };
    // One for all of the tune, whoever leads.
    return good({ mix, sound: { ...sound, programs, ...(voice === 'lead' ? { byLeader: false } : {}) } });
  }
  if (voice === 'click' && (word === 'accent' || word === 'beat') && within(0, 127))
    return good({ mix, sound: { ...sound, [word]: midiNote(number) } });
  const words = [
    'on',
    'off',
    'level',
    'channel',
    'program',
    ...(voice === 'click' ? ['accent', 'beat'] : []),
  ];
  return misread(
    `${quoted(text)} does not describe a voice${didYouMean(word, words)}; write channel 1–16, program 1–128 or none, level 0–${mostLevel}, on or off${voice === 'click' ? ', accent or beat with a note 0–127' : ''}`,
  );
}

/** Reads what is given in milliseconds: how long a chop lasts, and a stroke's spread a course. */
export function readMilliseconds(sound: Sound, name: 'chop' | 'spread', text: string): Outcome<Sound> {
  const limits = name === 'chop' ? chopLimits : spreadLimits;
  const number = Number(text);
  if (!/^\d+(\.\d+)?$/.test(text) || number < limits.least || number > limits.most)
    return misread(`${name} ${quoted(text)} is not a number of ms from ${limits.least} to ${limits.most}`);
  return good({ ...sound, [name === 'chop' ? 'chopMs' : 'spreadMs']: number });
}

/** Reads which voices sound: `click,bass`, `bass:70`, `all`, `none`. Voices that are not named are off. */
export function parseMix(text: string, mix: Mix = usualMix): Outcome<Mix> {
  const none: Mix = {
    ...mix,
    on: { click: false, bass: false, low: false, chop: false, lead: false },
    alone: null,
  };
  if (text === 'none') return good(none);
  if (text === 'all')
    return good({ ...none, on: { click: true, bass: true, low: true, chop: true, lead: true } });
  let made = none;
  for (const part of text.split(',').map((one) => one.trim())) {
    const [name = '', level, more] = part.split(':');
    const voice = voices.find((one) => one === name);
    const percent = level === undefined ? null : Number(level);
    if (!voice)
      return misread(
        `${quoted(name)} is not a voice${didYouMean(name, [...voices, 'all'])}; write some of ${voices.join(',')}, or all, or none`,
      );
    if (percent !== null && !(more === undefined && /^\d+$/.test(level ?? '') && percent <= mostLevel))
      return misread(`${quoted(part)} has no level from 0 to ${mostLevel} percent`);
    made = {
      ...made,
      on: { ...made.on, [voice]: true },
      levels: percent === null ? made.levels : { ...made.levels, [voice]: percent },
    };
  }
  return good(made);
}
