import type { KeyTable } from '../key-line.js';
import { common } from './common.js';

/** The keys of a stand that follows, where they do something different from the stand; and those of the band. */
export const bandKeys = {
  follow: [
    {
      action: 'bar-back',
      keys: ['left'],
      group: 'a band',
      help: 'while somebody leads: look back a bar; the music goes on',
      foot: 'look',
    },
    { action: 'bar-on', keys: ['right'], group: 'a band', help: 'while somebody leads: look ahead a bar' },
    {
      action: 'section-back',
      keys: ['up', 'pageup'],
      group: 'a band',
      help: 'while somebody leads: look at the section before',
    },
    {
      action: 'section-on',
      keys: ['down', 'pagedown'],
      group: 'a band',
      help: 'while somebody leads: look at the next section',
    },
    { action: 'to-start', keys: ['home'], group: 'a band', help: 'back to where the music is' },
    { ...common.band, foot: 'band' },
    common.listen,
    common.help,
    {
      action: 'back',
      keys: ['escape', 'backspace'],
      group: 'a band',
      help: 'back to the music; leave the band',
    },
    common.suspend,
    common.leaveByLetter,
  ],
  band: [
    { action: 'call-once-more', keys: ['1'], group: 'a band', help: 'say to all: once more' },
    { action: 'call-last-time', keys: ['2'], group: 'a band', help: 'say to all: last time' },
    { action: 'call-softer', keys: ['3'], group: 'a band', help: 'say to all: softer' },
    { action: 'call-key-up', keys: ['4'], group: 'a band', help: 'say to all: key up' },
    { action: 'call-break', keys: ['5'], group: 'a band', help: 'say to all: break, and then whose' },
    { action: 'call-hold', keys: ['6'], group: 'a band', help: 'say to all: hold' },
    { action: 'call-end', keys: ['7'], group: 'a band', help: 'say to all: end' },
    { action: 'band-lead', keys: ['l'], group: 'a band', help: 'lead, or take the lead', foot: 'lead' },
    { action: 'band-lay-down', keys: ['d'], group: 'a band', help: 'give up the lead' },
    { action: 'band-request', keys: ['r'], group: 'a band', help: 'ask the leader for a song' },
    {
      action: 'band-keep-chart',
      keys: ['k'],
      group: 'a band',
      help: 'keep the leader’s chart among your own',
    },
    { action: 'band-back', keys: ['up'], group: 'a band', help: 'the request or stand before' },
    { action: 'band-on', keys: ['down'], group: 'a band', help: 'the next request or stand' },
    {
      action: 'band-take',
      keys: ['enter'],
      group: 'a band',
      help: 'leader: find the song that was asked for',
    },
    {
      action: 'band-out',
      keys: ['x'],
      group: 'a band',
      help: 'leader: drop the request; turn the stand away (also whoever runs the broker)',
    },
    { action: 'band-leave', keys: ['o'], group: 'a band', help: 'leave the band', foot: 'leave the band' },
    { action: 'band', keys: ['B'], group: 'a band', help: 'back to the chart' },
    common.backToList,
    common.suspend,
    common.leaveByLetter,
  ],
} as const satisfies KeyTable;
