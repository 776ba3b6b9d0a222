import type { PutSong } from '../band/together.js';
import type { Settings } from '../config/settings.js';
import type { Instrument } from '../hand/instrument.js';
import { readyAt } from '../playback/performance.js';
import { setupOf } from '../playback/setup.js';
import type { PlayFlags } from './play-options.js';
import { standStart } from './stand-start.js';

/** Puts songs of a leader on a stand, with what is its player's own: sounds, hand, and where one was asked for the instrument. */
export function followSong(flags: PlayFlags, settings: Settings, instrument: Instrument | null): PutSong {
  return (session, chart) => {
    const { sight: _, from: __, ...start } = standStart(chart, null, flags, settings);
    const own = { ...start, from: 0, ...(instrument ? { instrument } : {}) };
    return { ...session, performance: readyAt(setupOf(chart, own), 0) };
  };
}
