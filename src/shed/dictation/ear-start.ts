import type { Chart } from '../../chart/chart.js';
import type { SetupStart } from '../../playback/setup.js';
import type { Voice } from '../../time/event.js';
import { type Mix, usualMix } from '../../time/sound.js';
import { heldChops } from './held-chops.js';

/**
 * How a phrase sounds, whatever the settings say: chops that are held, a bass without runs, which would tell a change ahead, and a tune that
 * is sent to gear as well.
 */
export function earStart(chart: Chart): Pick<SetupStart, 'pattern' | 'bass' | 'melody'> {
  return { pattern: heldChops(chart), bass: 'plain', melody: 'all' };
}

/** No voice that is asked about is softer than this, percent: what cannot be heard cannot be named. */
const leastLevel = 50;

/** The voices of a drill by ear: which of them sound is the drill's; how loud they are is the player's choice, except where a voice would not be heard. */
export function earMix(mix: Mix, on: Partial<Readonly<Record<Voice, boolean>>>): Mix {
  const audible = (voice: Voice): number =>
    mix.levels[voice] < leastLevel ? usualMix.levels[voice] : mix.levels[voice];
  return {
    alone: null,
    on: { ...mix.on, ...on },
    levels: { ...mix.levels, bass: audible('bass'), chop: audible('chop'), lead: audible('lead') },
  };
}
