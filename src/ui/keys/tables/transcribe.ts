import type { KeyTable } from '../key-line.js';
import { common } from './common.js';

/** The keys while a chart is written down as it is called. */
export const transcribeKeys = {
  transcribe: [
    {
      action: 'play',
      keys: ['space'],
      group: 'writing down',
      help: 'start or stop the count',
      foot: 'count',
    },
    { action: 'slower', keys: ['-', '_'], group: 'tempo', help: 'slower', foot: 'tempo' },
    { action: 'faster', keys: ['+', '='], group: 'tempo', help: 'faster' },
    { action: 'tap', keys: ['t'], group: 'tempo', help: 'tap the tempo, once a beat' },
    { action: 'key-down', keys: ['<', ','], group: 'key and sound', help: 'key a half step down' },
    { action: 'key-up', keys: ['>', '.'], group: 'key and sound', help: 'key a half step up' },
    { action: 'degree-1', keys: ['1'], group: 'writing down', help: 'the bar is 1' },
    { action: 'degree-2', keys: ['2'], group: 'writing down', help: 'the bar is 2' },
    { action: 'degree-3', keys: ['3'], group: 'writing down', help: 'the bar is 3' },
    { action: 'degree-4', keys: ['4'], group: 'writing down', help: 'the bar is 4' },
    { action: 'degree-5', keys: ['5'], group: 'writing down', help: 'the bar is 5' },
    { action: 'degree-6', keys: ['6'], group: 'writing down', help: 'the bar is 6' },
    { action: 'degree-7', keys: ['7'], group: 'writing down', help: 'the bar is 7' },
    { action: 'write-minor', keys: ['m'], group: 'writing down', help: 'the last one is minor' },
    { action: 'write-seventh', keys: ['v'], group: 'writing down', help: 'the last one has a seventh' },
    { action: 'write-flat', keys: ['b'], group: 'writing down', help: 'the last one is flat' },
    { action: 'write-sharp', keys: ['#'], group: 'writing down', help: 'the last one is sharp' },
    { action: 'write-split', keys: ['s', '/'], group: 'writing down', help: 'the next one shares the bar' },
    { action: 'write-erase', keys: ['backspace', 'x'], group: 'writing down', help: 'delete the last one' },
    { action: 'write-meter', keys: ['w'], group: 'writing down', help: 'the meter: 4/4, 3/4, 2/2, 6/8' },
    {
      action: 'write-done',
      keys: ['enter'],
      group: 'writing down',
      help: 'done: name it and keep it',
      foot: 'name and keep',
    },
    common.help,
    { ...common.back, foot: 'back' },
    common.suspend,
    common.leave,
  ],
} as const satisfies KeyTable;
