import type { KeyLine } from '../key-line.js';

/** Keys that are the same in several places. */
export const common = {
  /** The shell takes over for a while. */
  suspend: { action: 'suspend', keys: ['ctrl+z'], group: 'everywhere', help: 'to the shell; fg comes back' },
  /** One step back. */
  back: { action: 'back', keys: ['escape'], group: 'everywhere', help: 'back' },
  /** The program is left, where letters are text or a slip must not leave. */
  leave: { action: 'leave', keys: ['ctrl+c'], group: 'everywhere', help: 'leave' },
  /** The program is left, where letters are keys. */
  leaveByLetter: {
    action: 'leave',
    keys: ['q', 'ctrl+c'],
    group: 'everywhere',
    help: 'leave',
    foot: 'leave',
  },
  /** One step back, to the list in the end. */
  backToList: {
    action: 'back',
    keys: ['escape', 'backspace'],
    group: 'everywhere',
    help: 'back to the list',
    foot: 'list',
  },
  /** The keys. */
  help: { action: 'help', keys: ['?'], group: 'everywhere', help: 'these keys', foot: 'keys' },
  /** Takes back what was chosen last. */
  takeBack: {
    action: 'take-back',
    keys: ['U'],
    group: 'everywhere',
    help: 'take back what you chose last: key, tempo, loop, shape, sound, what is shown',
  },
  /** The microphone. */
  listen: {
    action: 'listen',
    keys: ['L'],
    group: 'the shed',
    help: 'listen to you, or stop listening',
  },
  /** The band. */
  band: {
    action: 'band',
    keys: ['B'],
    group: 'a band',
    help: 'the band: lead it, see who is there, call a word',
  },
  /** The list of MIDI pedals. */
  choosePedals: {
    action: 'choose-pedals',
    keys: ['P'],
    group: 'key and sound',
    help: 'MIDI pedals, learned by pressing',
  },
} as const satisfies Readonly<Record<string, KeyLine>>;
