import type { KeyLine, KeyTable } from '../key-line.js';
import { common } from './common.js';

/** Ways through a list. */
const moving = [
  { action: 'list-back', keys: ['up'], group: 'list', help: 'the one before' },
  { action: 'list-on', keys: ['down'], group: 'list', help: 'the next' },
  { action: 'list-page-back', keys: ['pageup'], group: 'list', help: 'back a page' },
  { action: 'list-page-on', keys: ['pagedown'], group: 'list', help: 'forward a page' },
  { action: 'list-start', keys: ['home'], group: 'list', help: 'to the first' },
  { action: 'list-end', keys: ['end'], group: 'list', help: 'to the last' },
] as const satisfies readonly KeyLine[];

/** The keys of what is in front of the stand: lists, voices, help, and a line that is typed. */
export const overlaysKeys = {
  choose: [
    ...moving,
    { action: 'list-open', keys: ['enter'], group: 'list', help: 'choose it; letters search' },
    { action: 'list-erase', keys: ['backspace'], group: 'list', help: 'delete a letter of the search' },
    common.back,
    common.suspend,
    common.leave,
  ],
  panel: [
    ...moving,
    { action: 'list-open', keys: ['enter'], group: 'list', help: 'choose it' },
    common.backToList,
    common.suspend,
    common.leaveByLetter,
  ],
  voices: [
    { action: 'voice-back', keys: ['up'], group: 'list', help: 'voices: the one before' },
    { action: 'voice-on', keys: ['down'], group: 'list', help: 'voices: the next' },
    { action: 'voice-toggle', keys: ['space', 'enter'], group: 'list', help: 'voices: on or off' },
    { action: 'voice-alone', keys: ['a'], group: 'list', help: 'voices: hear it alone' },
    {
      action: 'voice-melody',
      keys: ['m'],
      group: 'list',
      help: 'voices: where the tune is heard',
    },
    { action: 'voice-softer', keys: ['left', '-'], group: 'list', help: 'voices: softer' },
    { action: 'voice-louder', keys: ['right', '+', '='], group: 'list', help: 'voices: louder' },
    common.takeBack,
    common.backToList,
    common.suspend,
    common.leaveByLetter,
  ],
  tuning: [
    {
      action: 'course-tone',
      keys: ['space', 'enter'],
      group: 'key and sound',
      help: 'while it hears the tuning: sound this course',
    },
    {
      action: 'course-back',
      keys: ['up'],
      group: 'key and sound',
      help: 'while it hears the tuning: the course before',
    },
    {
      action: 'course-on',
      keys: ['down'],
      group: 'key and sound',
      help: 'while it hears the tuning: the next course',
    },
    { action: 'tune', keys: ['u'], group: 'key and sound', help: 'the tuning is done' },
    common.listen,
    common.backToList,
    common.suspend,
    common.leaveByLetter,
  ],
  help: [
    {
      action: 'help-page',
      keys: ['?', 'space', 'pagedown', 'down', 'right'],
      group: 'everywhere',
      help: 'the next page of these keys',
    },
    common.backToList,
    common.suspend,
    common.leaveByLetter,
  ],
  line: [
    { action: 'line-done', keys: ['enter'], group: 'the chart', help: 'accept what was typed' },
    { action: 'line-erase', keys: ['backspace'], group: 'the chart', help: 'delete a character' },
    { action: 'line-left', keys: ['left'], group: 'the chart', help: 'in what is typed: left' },
    { action: 'line-right', keys: ['right'], group: 'the chart', help: 'in what is typed: right' },
    { action: 'line-start', keys: ['home'], group: 'the chart', help: 'in what is typed: to the start' },
    { action: 'line-end', keys: ['end'], group: 'the chart', help: 'in what is typed: to the end' },
    common.back,
    common.suspend,
    common.leave,
  ],
} as const satisfies KeyTable;
