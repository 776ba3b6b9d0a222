import type { KeyLine, KeyTable } from '../key-line.js';
import { common } from './common.js';

/** The keys while changes are named by ear. Nothing that would show the chart is among them. */
export const dictationKeys = {
  dictation: [
    {
      action: 'go-on',
      keys: ['space', 'enter', 'pagedown', 'down'],
      group: 'by ear',
      help: 'begin, stop, next phrase',
      foot: 'on',
    },
    {
      action: 'hear-again',
      keys: ['r', 'pageup', 'up'],
      group: 'by ear',
      help: 'after a phrase: hear the change again',
      foot: 'hear again',
    },
    {
      action: 'bar-back',
      keys: ['left'],
      group: 'by ear',
      help: 'after a phrase: the change before',
      foot: 'which',
    },
    { action: 'bar-on', keys: ['right'], group: 'by ear', help: 'after a phrase: the change after it' },
    ...[1, 2, 3, 4, 5, 6, 7].map(
      (degree): KeyLine => ({
        action: `degree-${degree}` as KeyLine['action'],
        keys: [String(degree)],
        group: 'by ear',
        help: `it went to ${degree}; pressed again: to the other chord on ${degree}`,
      }),
    ),
    {
      action: 'answer-unknown',
      keys: ['0', '.'],
      group: 'by ear',
      help: 'you do not know',
      foot: 'not known',
    },
    { action: 'write-minor', keys: ['m', '-'], group: 'by ear', help: 'the answer is minor' },
    { action: 'write-seventh', keys: ['v', '+'], group: 'by ear', help: 'the answer is a seventh' },
    {
      action: 'write-erase',
      keys: ['backspace', 'x'],
      group: 'by ear',
      help: 'take the answer back',
      foot: 'take back',
    },
    { action: 'choose-output', keys: ['o'], group: 'key and sound', help: 'choose where it sounds' },
    common.listen,
    common.help,
    common.back,
    common.suspend,
    common.leaveByLetter,
  ],
} as const satisfies KeyTable;
