import { existsSync } from 'node:fs';
import { quoted, safeText } from '../base/safe-text.js';
import { recallCalibration } from '../config/calibrations.js';
import type { Settings } from '../config/settings.js';
import type { EarSpec } from '../ear/messages.js';
import { parseEar } from '../ear/spec.js';
import { outText } from '../player/out-spec.js';
import type { Listening } from '../ui/listener.js';
import { exit, Stop } from './exit.js';
import type { PlayFlags } from './play-options.js';

/** The flags for listening. */
type Flags = Pick<PlayFlags, 'listen' | 'microphone' | 'keep'>;

/** Whether it listens from the start, and how. */
export interface ListeningFlags {
  readonly on: boolean;
  readonly listening: Listening;
}

/**
 * Reads `--listen`, `--no-listen`, `--microphone` and `--keep`: a microphone or a file that is named asks for listening; the settings say
 * what the command line does not. Throws `Stop` for a microphone that cannot be one, and a file that is there.
 */
export function listeningFlags(
  flags: Flags,
  settings: Pick<Settings, 'listen' | 'microphone'>,
): ListeningFlags {
  const { listen, microphone, keep } = flags;
  if (listen === false && keep !== undefined)
    throw new Stop(
      exit.call,
      '--keep records, but --no-listen turns the microphone off',
      'leave out one of them',
    );
  if (keep !== undefined && existsSync(keep))
    throw new Stop(
      exit.call,
      `${safeText(keep)} already exists; a recording never overwrites a file`,
      'name another file: --keep FILE.wav',
    );
  const named = microphone !== undefined || keep !== undefined;
  const listening: Listening = {
    from: microphoneFlag(microphone) ?? settings.microphone ?? { kind: 'microphone', name: null },
    keep: keep ?? null,
    level: settings.listen.level,
    calibrationOf: (out, name) => (out ? recallCalibration(outText(out), name) : null),
  };
  return { on: listen ?? (named || settings.listen.on), listening };
}

/** Refuses what only the stand can do where there is none. `why`: `--plain`, or what the terminal lacks. */
export function refuseListening({ listen, microphone, keep }: Flags, why: string): void {
  const asked =
    keep !== undefined ? 'keep' : microphone !== undefined ? 'microphone' : listen ? 'listen' : null;
  if (asked === null) return;
  throw new Stop(
    exit.call,
    `--${asked} needs the full screen, which shows what is heard; ${why}`,
    'barkline listen FILE.wav judges a recording without the screen',
  );
}

function microphoneFlag(text: string | undefined): EarSpec | null {
  if (text === undefined) return null;
  const read = parseEar(text);
  if (read.ok) return read.value;
  throw new Stop(
    exit.call,
    `--microphone ${quoted(text)}: ${read.fault.message}`,
    'barkline ports lists the microphones',
  );
}
