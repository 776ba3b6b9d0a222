import type { KeyTable } from '../key-line.js';
import { common } from './common.js';

/** The keys of the list of charts and sets. Letters search. */
export const libraryKeys = {
  library: [
    { action: 'list-back', keys: ['up'], group: 'list', help: 'the one before' },
    { action: 'list-on', keys: ['down'], group: 'list', help: 'the next' },
    { action: 'list-page-back', keys: ['pageup'], group: 'list', help: 'back a page' },
    { action: 'list-page-on', keys: ['pagedown'], group: 'list', help: 'forward a page' },
    { action: 'list-start', keys: ['home'], group: 'list', help: 'to the first' },
    { action: 'list-end', keys: ['end'], group: 'list', help: 'to the last' },
    { action: 'list-open', keys: ['enter'], group: 'list', help: 'open it; letters search' },
    { action: 'list-erase', keys: ['backspace'], group: 'list', help: 'delete a letter of the search; back' },
    {
      action: 'list-order',
      keys: ['tab'],
      group: 'list',
      help: 'sort it: by title, key, tempo, last played, weakest',
    },
    common.back,
    common.suspend,
    common.leave,
  ],
} as const satisfies KeyTable;
