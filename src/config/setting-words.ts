/** What the reference says about a setting, whose name is its place in `settings.yaml`. */
export interface SettingWords {
  /** What it decides, as a sentence. */
  readonly says: string;
  /** What may be written. */
  readonly values: string;
  /** The default. */
  readonly usual: string;
  /** Lines as they may stand in the file. */
  readonly example: readonly string[];
}

/** Every setting there is, in the order in which they are reported: the file is read by it, and the reference is made from it. */
export const settingWords = {
  hand: {
    says: 'The hand to plan for: how far its fingers reach, and which fingers it does not use.',
    values:
      'usual, small, large; or lines below it: reach (mm along the neck, for pairs of fingers from index-middle to ring-little), without (a finger), left-handed (yes: necks and arrows are mirrored unless neck says otherwise)',
    usual: 'usual',
    example: ['hand:', '  reach:', '    index-little: 90', '  without: little', '  left-handed: yes'],
  },
  home: {
    says: 'Where on the neck to play.',
    values: 'low, high, or frets: 5-9',
    usual: 'low',
    example: ['home: 5-9'],
  },
  known: {
    says: 'Which of the named shapes you know; shapes without a name are always used.',
    values: 'names separated by commas',
    usual: 'all',
    example: ['known: four-finger, three-finger'],
  },
  shapes: {
    says: 'Shapes of your own. Frets are for four courses tuned in fifths, such as G D A E, bass side first.',
    values: 'a list; each entry has name, chord, frets and fingers',
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
    says: 'Numbers of the model that predicts how long a chord change takes; barkline shed speed fits them to your diary.',
    values:
      'lines with a name and a number, as barkline shed speed prints them; slope is ms for each doubling of a distance',
    usual: 'the model’s own numbers',
    example: ['prices:', '  slope: 80'],
  },
  neck: {
    says: 'How the neck is drawn, and what its sides are called.',
    values:
      'left-handed (nut right), right-handed, ceiling up (bass course at the top), ceiling down, say ceiling (sentences say ceiling and floor); separate several with commas',
    usual: 'nut left, bass course at the bottom',
    example: ['neck: left-handed, say ceiling'],
  },
  singers: {
    says: 'What each singer can sing: keys that fit (barkline show --fits), and the octave of the tune.',
    values: 'lines with a name and the lowest and highest note',
    usual: 'none',
    example: ['singers:', '  Ansa: A3-D5'],
  },
  voices: {
    says: 'For each voice (click, low, chop, bass, lead): whether it plays, and with which sound.',
    values: 'on, off, channel N, program N, level N (percent); for click also accent N and beat N (notes)',
    usual:
      'click, bass and lead on; low and chop off; channels and programs as listed in barkline help sound',
    example: [
      'voices:',
      '  bass: channel 3, program 33, level 80',
      '  click: accent 76, beat 77',
      '  chop: on',
      '  lead: program 74',
    ],
  },
  melody: {
    says: 'Where the tune of a chart plays.',
    values:
      'sound (only the built-in sound), others (all outputs), all (all outputs, and in your own breaks, too), none',
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
    says: 'The time between the courses of one stroke.',
    values: 'ms from one course to the next',
    usual: '2',
    example: ['spread: 2'],
  },
  outputs: {
    says: 'For each output, named as for --out: how much earlier to send to it, and whether to send it MIDI clock.',
    values: 'offset N (ms earlier; below 0 later), clock',
    usual: 'what was measured or saved before',
    example: ['outputs:', '  sound: offset 12', '  midi:1: offset -5, clock'],
  },
  pedals: {
    says: 'MIDI pedals, by what they do: play, next, back, again, extend, ending, hold, clean, miss, later, chord.',
    values:
      'control N, note N or program N; also “, channel N”, “, long”; from: the only MIDI source to listen to',
    usual: 'those learned with P',
    example: ['pedals:', '  from: midi:Foot Board', '  extend: control 64', '  ending: control 64, long'],
  },
  keys: {
    says: 'Other keys for an action, by its name in barkline help keys: in every place, or, with the name of a place before it, only there.',
    values: 'keys separated by commas: a character, space, enter, tab, up, pagedown, ctrl+r …',
    usual: 'the keys in barkline help keys',
    example: ['keys:', '  faster: j, +', '  song.play: p'],
  },
  target: {
    says: 'The percentage of a chart’s tempo to aim for in practice.',
    values: '20% to 150%',
    usual: '100%',
    example: ['target: 90%'],
  },
  ladder: {
    says: 'The tempo where practice begins, and after how many clean passes it goes up.',
    values: 'from 20% to 100%, up after 1 to 9',
    usual: 'each drill’s own starting tempo, up after 2',
    example: ['ladder: from 60%, up after 2'],
  },
  rest: {
    says: 'After how many minutes of playing the screen reminds you to rest.',
    values: '1 to 240, or off',
    usual: '25',
    example: ['rest: 25'],
  },
  listen: {
    says: 'Whether to listen with the microphone from the start, and how strictly to judge.',
    values: 'on or off; learning, steady or job',
    usual: 'off, steady',
    example: ['listen: on, steady'],
  },
  microphone: {
    says: 'The microphone, named as for --microphone.',
    values: 'a name, part of it, or its number',
    usual: 'the default microphone of the machine',
    example: ['microphone: Desk Mic'],
  },
  background: {
    says: 'The background of the terminal, if the terminal does not report it.',
    values: 'light, dark',
    usual: 'what the terminal reports',
    example: ['background: light'],
  },
} as const satisfies Readonly<Record<string, SettingWords>>;

/** The names of all settings. */
export const settingNames: readonly string[] = Object.keys(settingWords);
