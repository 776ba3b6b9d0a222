import type { Settings } from '../config/settings.js';
import type { StandStart } from '../ui/state/modes.js';
import { instrumentFlag } from './instrument-flag.js';
import type { PlayFlags } from './play-options.js';
import { soundFlags } from './play-sound.js';
import { planOf } from './settings.js';

/** How charts start that come from a leader, but for their key and tempo: with what flags and settings say of instrument, hand, sound and click. */
export function followStart(
  flags: PlayFlags & { readonly instrument?: string },
  settings: Settings,
): Omit<StandStart, 'key' | 'bpm'> {
  return {
    ...soundFlags(settings, flags),
    instrument: instrumentFlag(flags.instrument),
    plan: planOf(settings),
    countIn: 1,
    ramp: null,
    passes: null,
    range: null,
    from: 0,
  };
}
