import { exit, Stop } from './exit.js';
import type { PlayFlags } from './play-options.js';
import { openStand } from './stand.js';
import { canBeTyped } from './typed-input.js';

/** The list of charts with typed commands. Answers the exit status. */
export async function listPlainly(folder: string | undefined, flags: PlayFlags): Promise<number> {
  if (!(await canBeTyped()))
    throw new Stop(
      exit.call,
      'the list of charts needs commands, and there is nothing they could be typed on',
      'barkline play FILE --plain plays a chart',
    );
  return openStand({ ...(folder === undefined ? {} : { folder }), flags, plain: { begins: false } });
}
