/** What is told of a setting: its name is its place in `settings.yaml`. */
export interface SettingWords {
  /** What it decides, as a sentence. */
  readonly says: string;
  /** What may be written. */
  readonly values: string;
  /** What holds where nothing is written. */
  readonly usual: string;
  /** Lines as they may stand in the file. */
  readonly example: readonly string[];
}

/** Every setting there is, in the order in which they are told: the file is read by it, and the reference is made from it. */
export const settingWords = {
  hand: {
    says: 'The hand that plans are made for: how far its fingers reach, and which it goes without.',
    values:
      'usual, small, large; or lines of its own: reach (mm along the neck, for pairs of fingers from index-middle to ring-little), without (a finger), left-handed (yes: necks and arrows the other way round unless neck says otherwise)',
    usual: 'usual',
    example: ['hand:', '  reach:', '    index-little: 90', '  without: little', '  left-handed: yes'],
  },
  home: {
    says: 'Where on the neck the hand is wanted.',
    values: 'low, high, or frets: 5-9',
    usual: 'low',
    example: ['home: 5-9'],
  },
  known: {
    says: 'Of the shapes that have names, those that this hand knows; shapes without a name are always there.',
    values: 'names with commas between them',
    usual: 'all',
    example: ['known: four-finger, three-finger'],
  },
  shapes: {
    says: 'Shapes of your own. Frets are those of courses in fifths, bass side first, as for G D A E.',
    values: 'a list; each has name, chord, frets and fingers',
    usual: 'none',
    example: [
      'shapes:',
      '  - name: high three',
      '    chord: G',
      '    frets: x-9-10-7',
      "    fingers: '- middle ring index'",
    ],
  },
  prices: {
    says: 'Numbers of the model that says how long a change takes; barkline shed speed fits them to your diary.',
    values: 'lines of name and number, as shed speed prints them; slope is ms for each doubling of a way',
    usual: 'those of the model',
    example: ['prices:', '  slope: 80'],
  },
  neck: {
    says: 'How the neck is drawn, and what its sides are called.',
    values:
      'left-handed (nut right), right-handed, ceiling up (bass course at the top), ceiling down, say ceiling (in sentences, too); several with commas',
    usual: 'nut left, bass course at the bottom',
    example: ['neck: left-handed, say ceiling'],
  },
  singers: {
    says: 'What each singer can sing: keys that fit (barkline show --fits), and the octave of the tune.',
    values: 'lines of name, lowest and highest note',
    usual: 'none',
    example: ['singers:', '  Ansa: A3-D5'],
  },
  voices: {
    says: 'For each voice (click, low, chop, bass, lead) whether it sounds, and as what.',
    values: 'on, off, channel N, program N, level N (percent); for click also accent N and beat N (notes)',
    usual: 'click, bass and lead on; low and chop off; channels and programs as barkline help sound has them',
    example: [
      'voices:',
      '  bass: channel 3, program 33, level 80',
      '  click: accent 76, beat 77',
      '  chop: on',
      '  lead: program 74',
    ],
  },
  melody: {
    says: 'Where the tune of a chart is heard.',
    values: 'sound (the built-in sound alone), others (all outputs), all (in your own breaks, too), none',
    usual: 'sound',
    example: ['melody: others'],
  },
  chop: {
    says: 'How long a chop lasts.',
    values: '40 to 90 ms',
    usual: '60',
    example: ['chop: 60'],
  },
  spread: {
    says: 'How far the courses of a stroke are apart in time.',
    values: 'ms from one course to the next',
    usual: '2',
    example: ['spread: 2'],
  },
  outputs: {
    says: 'For each output, as --out names it: how much earlier it is sent to, and whether it is sent a clock.',
    values: 'offset N (ms earlier; below 0 later), clock',
    usual: 'what was measured or remembered',
    example: ['outputs:', '  sound: offset 12', '  midi:1: offset -5, clock'],
  },
  pedals: {
    says: 'MIDI pedals, by what they are for: play, next, back, again, extend, ending, hold, clean, miss, later, chord.',
    values:
      'control N, note N or program N; also “, channel N”, “, long”; from: the only source that is listened to',
    usual: 'those learned with P',
    example: ['pedals:', '  from: midi:Foot Board', '  extend: control 64', '  ending: control 64, long'],
  },
  keys: {
    says: 'Other keys for an action, named as barkline help keys has it: everywhere where it has the usual keys, or with a place before it only there.',
    values: 'keys with commas: a character, space, enter, tab, up, pagedown, ctrl+r …',
    usual: 'those of barkline help keys',
    example: ['keys:', '  faster: j, +', '  song.play: p'],
  },
  target: {
    says: 'The share of a chart’s tempo that practice aims at.',
    values: '20% to 150%',
    usual: '100%',
    example: ['target: 90%'],
  },
  ladder: {
    says: 'Where tempo ladders begin, and after how many clean passes they go up.',
    values: 'from 20% to 100%, up after 1 to 9',
    usual: 'each drill’s own beginning, up after 2',
    example: ['ladder: from 60%, up after 2'],
  },
  rest: {
    says: 'After how many minutes of playing the stand says that a rest is due.',
    values: '1 to 240, or off',
    usual: '25',
    example: ['rest: 25'],
  },
  listen: {
    says: 'Whether the stand listens from the start, and how strictly it judges.',
    values: 'on or off; learning, steady or job',
    usual: 'off, steady',
    example: ['listen: on, steady'],
  },
  microphone: {
    says: 'The microphone, as --microphone names it.',
    values: 'a name, part of it, or its number',
    usual: 'the usual one of the machine',
    example: ['microphone: Desk Mic'],
  },
  background: {
    says: 'The background of the terminal, where the terminal does not tell it.',
    values: 'light, dark',
    usual: 'what the terminal says',
    example: ['background: light'],
  },
} as const satisfies Readonly<Record<string, SettingWords>>;

/** The names of all settings. */
export const settingNames: readonly string[] = Object.keys(settingWords);
