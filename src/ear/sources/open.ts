import type { EarSpec } from '../messages.js';
import { openMicrophone } from './microphones.js';
import { openRawSound } from './raw.js';
import type { Source, SourceEvents } from './source.js';
import { openWavFile } from './wav-file.js';

/** Opens where sound is heard. Throws `CannotHear`. */
export async function openSource(from: EarSpec, events: SourceEvents): Promise<Source> {
  switch (from.kind) {
    case 'microphone':
      return openMicrophone(from.name, events);
    case 'file':
      return openWavFile(from.path, events);
    case 'raw':
      return openRawSound(from.path, from.rate, events);
  }
}
