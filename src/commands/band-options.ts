import { partNames } from '../band/parts.js';
import { choice, whole } from './declare.js';

/** `--part` as both commands declare it. */
export const partOption = () =>
  choice('--part <part>', 'the part that this stand shows (default: mandolin)', 'part', partNames);

/** The port option of a leader. */
export const portOption = () =>
  whole('--port <number>', 'the port where others join (default: 18830, or another free one)', [1, 65_535]);

/** How `--word` is explained. */
export const wordHelp =
  'the word that others join with; - reads it from stdin, and BARKLINE_WORD is used without this option: everybody on this machine can read the words of a command line';
