import { settled } from '../playback/arranging.js';
import { readyAt } from '../playback/performance.js';
import { firstSession, inTurn } from '../playback/session.js';
import type { Setup } from '../playback/setup.js';
import { barWords, headWords, type Told } from '../ui/typed/bar-words.js';
import { exit, print } from './exit.js';
import { type PlainOptions, PlainPlayer } from './plain-player.js';
import { lastWords, writePatiently } from './plain-terminal.js';

/** What is played plainly: a line a bar, no screen. */
export interface PlainSong extends Pick<PlainOptions, 'outputs' | 'follow' | 'stats'> {
  readonly setup: Setup;
  readonly told: Told;
  /** The bar it starts at, from 0. */
  readonly from: number;
}

/** Plays to the end, to a signal, or until nobody reads any more. Answers the exit status. */
export async function playPlain({ setup, told, from, ...how }: PlainSong): Promise<number> {
  writePatiently();
  print(headWords(setup));
  // Without an external clock it begins as soon as an output is open.
  const performance = { ...readyAt(setup, from), eager: how.follow === null };
  const player = new PlainPlayer({
    ...how,
    session: { ...firstSession, performance },
    settle: (played, at) => inTurn(played, (now) => settled(now, at)),
    barText: (playing, pass, bar) => barWords(playing, pass, bar, told),
    onStopped: (ended) => ended.end(exit.done),
  });
  const status = await player.run();
  await lastWords();
  return status;
}
