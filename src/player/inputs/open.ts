import type { InSpec } from '../messages.js';
import type { Input, OnClock } from './input.js';
import { openMidiInput } from './midi.js';
import { openRawInput } from './raw.js';

/** Listens to a source. Throws a sentence when that fails. */
export function openInput(to: InSpec, onClock: OnClock, onTrouble: (message: string) => void): Input {
  return to.kind === 'midi' ? openMidiInput(to.port, onClock) : openRawInput(to.path, onClock, onTrouble);
}
