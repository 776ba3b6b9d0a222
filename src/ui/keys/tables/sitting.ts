import type { KeyTable } from '../key-line.js';

/** The keys of a sitting, between what is played. */
export const sittingKeys = {
  sitting: [
    {
      action: 'go-on',
      keys: ['space', 'enter', 'pagedown', 'right'],
      group: 'the shed',
      help: 'in a sitting: on with it',
      foot: 'on',
    },
    { action: 'back', keys: ['escape'], group: 'everywhere', help: 'back' },
    { action: 'suspend', keys: ['ctrl+z'], group: 'everywhere', help: 'to the shell; fg comes back' },
    { action: 'leave', keys: ['q', 'ctrl+c'], group: 'everywhere', help: 'leave', foot: 'leave' },
  ],
} as const satisfies KeyTable;
