import { recallCalibration } from '../config/calibrations.js';
import type { EarSpec } from '../ear/messages.js';
import { parseEar } from '../ear/spec.js';
import { outText } from '../player/out-spec.js';
import type { Listening } from '../ui/listener.js';
import { exit, Stop } from './exit.js';
import type { PlayFlags } from './play-options.js';

/** How the command line says that it is listened to; any of these words asks for it. */
export interface ListeningFlags {
  readonly on: boolean;
  readonly listening: Listening;
}

/** Reads `--listen`, `--microphone` and `--keep`. Throws `Stop` for a microphone that cannot be one. */
export function listeningFlags(flags: Pick<PlayFlags, 'listen' | 'microphone' | 'keep'>): ListeningFlags {
  const on = flags.listen ?? (flags.microphone !== undefined || flags.keep !== undefined);
  const listening: Listening = {
    from: microphoneFlag(flags.microphone),
    keep: flags.keep ?? null,
    level: 'steady',
    calibrationOf: (out, microphone) => (out ? recallCalibration(outText(out), microphone) : null),
  };
  return { on, listening };
}

function microphoneFlag(text = 'default'): EarSpec {
  const read = parseEar(text);
  if (read.ok) return read.value;
  throw new Stop(exit.call, `--microphone ${read.fault.message}`, 'barkline ports lists the microphones');
}
