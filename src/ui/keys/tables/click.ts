import type { Action } from '../actions.js';
import type { KeyLine, KeyTable } from '../key-line.js';
import { common } from './common.js';
import { standKeys } from './stand.js';

/** A key that does what it does on the stand. */
function asOnStand(action: Action): KeyLine {
  return standKeys.stand.find((line) => line.action === action) as KeyLine;
}

/** The keys of a click without a song. */
export const clickKeys = {
  click: [
    asOnStand('play'),
    asOnStand('count-in'),
    asOnStand('slower'),
    asOnStand('faster'),
    { ...asOnStand('tap'), foot: 'tap' },
    {
      action: 'next-meter',
      keys: ['m'],
      group: 'tempo',
      help: 'the next meter of a click without a song',
      foot: 'meter',
    },
    { ...asOnStand('choose-click'), foot: 'click' },
    asOnStand('choose-voices'),
    asOnStand('choose-output'),
    asOnStand('lateness'),
    common.takeBack,
    common.choosePedals,
    common.help,
    { ...common.leaveByLetter, keys: ['q', 'ctrl+c', 'escape'] },
    common.suspend,
  ],
} as const satisfies KeyTable;
