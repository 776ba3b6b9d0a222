import { hrtimeMs } from '../host.js';
import { midiLibrary } from '../midi-library.js';
import { findPort, whyNoMidi } from '../outputs/midi.js';
import { ClockReader, type Input, type OnClock } from './input.js';

/** Beyond this many ms the driver's own count of time is set right by our clock. */
const astrayMs = 30;

/** The names of the MIDI sources, in the order of their numbers. */
export function midiSources(): string[] {
  if (whyNoMidi() !== null) return [];
  const found = midiLibrary();
  return found.ok ? found.library.sources() : [];
}

/** Listens for the clock of a MIDI source by its number (from 1) or its name. Throws a sentence when there is none or several. */
export function openMidiInput(wanted: string, onClock: OnClock): Input {
  const reader = new ClockReader(onClock);
  return openMidiBytes(wanted, (value, time) => reader.byte(value, time));
}

/** Listens to a MIDI source byte by byte, each with the time of its arrival. Throws as `openMidiInput` does. */
export function openMidiBytes(wanted: string, onByte: (value: number, time: number) => void): Input {
  const reason = whyNoMidi();
  if (reason) throw new Error(reason);
  const found = midiLibrary();
  if (!found.ok) throw new Error(found.why);
  const names = midiSources();
  const port = findPort(wanted, names);
  const input = found.library.newInput();
  // The packages leave clock messages out unless told otherwise.
  input.ignoreTypes(true, false, true);
  const stamp = new Stamps();
  input.on('message', (delta, message) => {
    const time = stamp.of(delta * 1000, hrtimeMs());
    for (const value of message) onByte(value, time);
  });
  input.openPort(port);
  const close = (): void => {
    input.closePort();
    input.destroy?.();
  };
  return { label: `MIDI ${names[port]}`, close };
}

/**
 * Times of arrival. The driver stamps messages in a thread of its own and tells the time since the one before; that is
 * truer than when the message reaches us, which may be while a note is waited for.
 */
export class Stamps {
  private last = Number.NaN;

  of(sinceLast: number, now: number): number {
    const counted = this.last + sinceLast;
    // A message cannot have come after now, nor long before.
    const holds = counted <= now && now - counted < astrayMs;
    this.last = holds ? counted : now;
    return this.last;
  }
}
