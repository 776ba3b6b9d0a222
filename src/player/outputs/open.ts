import { midiSources } from '../inputs/midi.js';
import type { Destinations, OutSpec } from '../messages.js';
import { midiLibrary } from '../midi-library.js';
import { midiPorts, openMidi, openVirtual, whyNoMidi } from './midi.js';
import { type OnTrouble, type Output, openNone } from './output.js';
import { openRaw } from './raw.js';
import { openSound } from './sound.js';

/** Opens one output. Throws a sentence when that fails. */
export async function openOutput(out: OutSpec, onTrouble: OnTrouble): Promise<Output> {
  switch (out.kind) {
    case 'midi':
      return openMidi(out.port, onTrouble);
    case 'virtual':
      return openVirtual(out.name);
    case 'raw':
      return openRaw(out.path, onTrouble);
    case 'sound':
      return openSound();
    case 'none':
      return openNone();
  }
}

/** The outputs that work now, and why the others do not; MIDI alone where `withSound` is `false`. */
export async function destinations(withSound = true): Promise<Destinations> {
  let sound: string | null = null;
  try {
    if (withSound) (await openSound()).close();
  } catch (error) {
    sound = (error as Error).message;
  }
  const found = midiLibrary();
  const library = found.ok ? found.library.name : null;
  return { ports: midiPorts(), sources: midiSources(), midi: whyNoMidi(), library, sound };
}
