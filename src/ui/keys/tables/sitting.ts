import type { KeyTable } from '../key-line.js';
import { common } from './common.js';

/** The keys of a sitting, between what is played. */
export const sittingKeys = {
  sitting: [
    {
      action: 'go-on',
      keys: ['space', 'enter', 'pagedown', 'right'],
      group: 'the shed',
      help: 'in a sitting: go on',
      foot: 'on',
    },
    {
      action: 'mark-clean',
      keys: ['j'],
      group: 'the shed',
      help: 'on the card: the pass just over was clean',
    },
    { action: 'mark-miss', keys: ['m'], group: 'the shed', help: 'on the card: it was not' },
    common.listen,
    common.back,
    common.suspend,
    common.leaveByLetter,
  ],
} as const satisfies KeyTable;
