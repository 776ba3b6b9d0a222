import { partNames } from '../band/parts.js';
import { choice, whole } from './declare.js';

/** `--part` as both commands declare it. */
export const partOption = () =>
  choice('--part <part>', 'the part that this stand shows; mandolin when absent', 'part', partNames);

/** The port option of a leader. */
export const portOption = () =>
  whole(
    '--port <number>',
    'the port that others join at; 18830 or another free one when absent',
    [1, 65_535],
  );

/** How `--word` is explained. */
export const wordHelp =
  'the word that others join by; - reads it from stdin, and BARKLINE_WORD has it when absent: words in a call can be read by everybody on this machine';
