import { keepCalibration } from '../config/calibrations.js';
import { parseEar } from '../ear/spec.js';
import { outText } from '../player/out-spec.js';
import { measure } from './calibrate/run.js';
import { toldOf } from './calibrate/tell.js';
import { exit, print, Stop, say } from './exit.js';
import { outputsFor } from './outputs.js';
import { lastWords, writePatiently } from './plain-terminal.js';
import { settingsOf } from './settings.js';

/** The options of `listen --calibrate`, as commander gives them. */
export interface CalibrateFlags {
  readonly out?: string;
  readonly microphone?: string;
  readonly headphones?: boolean;
}

/**
 * Measures how long sound takes from the output in use to the microphone, says it with its spread, and keeps it for that pair. Throws `Stop`
 * with what is wrong and what to do where it cannot be heard.
 */
export async function calibrate(flags: CalibrateFlags): Promise<number> {
  const read = parseEar(flags.microphone ?? 'default');
  if (!read.ok) throw new Stop(exit.call, `--microphone ${read.fault.message}`);
  const { outs } = outputsFor(flags.out === undefined ? {} : { out: flags.out }, settingsOf());
  const headphones = flags.headphones ?? false;
  writePatiently();
  say(
    headphones
      ? 'Put on the headphones with the volume low. After four clicks, chop on the beat with sixteen more.'
      : 'Start with the volume low: a loudspeaker next to a microphone may howl. Be quiet for half a minute.',
  );
  const { trip, out, label, microphone } = await measure(outs, read.value, headphones);
  await lastWords();
  print(...toldOf(trip, label, microphone, headphones));
  // Kept as it would be without the output's offset, which may be set again.
  const ms = trip.ms + (out.offset ?? 0);
  const kept = keepCalibration(outText(out), microphone, { ms, spreadMs: trip.spreadMs, headphones });
  print(kept === null ? 'It is saved for this output and this microphone.' : `It was not saved: ${kept}`);
  return exit.done;
}
