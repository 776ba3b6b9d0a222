import type { KeyTable } from '../key-line.js';
import { common } from './common.js';

/** The keys where the stand asks how a pass was, where the ear has just said it, and where a chord waits for the hand. All others do there what they do on the stand. */
export const drillKeys = {
  asking: [
    {
      action: 'mark-clean',
      keys: ['pagedown', 'down', 'right', 'space', 'enter', 'j'],
      group: 'the shed',
      help: 'when asked: it was clean',
      foot: 'clean',
    },
    {
      action: 'mark-miss',
      keys: ['pageup', 'up', 'left', 'm'],
      group: 'the shed',
      help: 'when asked: it was not',
      foot: 'missed',
    },
    common.suspend,
  ],
  judged: [
    {
      action: 'mark-clean',
      keys: ['pagedown', 'down', 'right', 'j'],
      group: 'the shed',
      help: 'just after the ear has judged: it was clean after all',
      foot: 'clean',
    },
    {
      action: 'mark-miss',
      keys: ['pageup', 'up', 'left', 'm'],
      group: 'the shed',
      help: 'just after the ear has judged: it was not',
      foot: 'missed',
    },
    { action: 'play', keys: ['space'], group: 'the shed', help: 'play, or pause', foot: 'play' },
    common.suspend,
  ],
  waiting: [
    {
      action: 'next-chord',
      keys: ['pagedown', 'right', 'down', 'enter'],
      group: 'the shed',
      help: 'when the chord waits: go on at the next beat',
      foot: 'next chord',
    },
    {
      action: 'bar-back',
      keys: ['pageup', 'left', 'up'],
      group: 'the shed',
      help: 'when the chord waits: back to the one before',
    },
    { action: 'play', keys: ['space'], group: 'the shed', help: 'play, or pause', foot: 'play' },
    common.suspend,
  ],
} as const satisfies KeyTable;
