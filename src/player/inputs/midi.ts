import { createRequire } from 'node:module';
import { hrtimeMs } from '../host.js';
import { findPort, whyNoMidi } from '../outputs/midi.js';
import { ClockReader, type Input, type OnClock } from './input.js';

/** The part of the `midi` package that is used here. */
interface MidiInput {
  getPortCount(): number;
  getPortName(port: number): string;
  openPort(port: number): void;
  closePort(): void;
  ignoreTypes(sysex: boolean, timing: boolean, sensing: boolean): void;
  on(event: 'message', listener: (delta: number, message: readonly number[]) => void): void;
}

/** Beyond this many ms the driver's own count of time is set right by our clock. */
const astrayMs = 30;

/** The names of the MIDI sources, in the order of their numbers. */
export function midiSources(): string[] {
  if (whyNoMidi() !== null) return [];
  const input = newInput();
  return input ? Array.from({ length: input.getPortCount() }, (_, port) => input.getPortName(port)) : [];
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
  const names = midiSources();
  const port = findPort(wanted, names);
  const input = newInput();
  if (!input) throw new Error('the package midi is not there');
  // The package leaves clock messages out unless it is told otherwise.
  input.ignoreTypes(true, false, true);
  const stamp = new Stamps();
  input.on('message', (delta, message) => {
    const time = stamp.of(delta * 1000, hrtimeMs());
    for (const value of message) onByte(value, time);
  });
  input.openPort(port);
  return { label: `MIDI ${names[port]}`, close: () => input.closePort() };
}

/**
 * Times of arrival. The driver stamps messages in a thread of its own and tells the time since the one before; that is
 * truer than when the message reaches us, which may be while a note is waited for.
 */
export class Stamps {
  private last = Number.NaN;

  of(sinceLast: number, now: number): number {
    const counted = this.last + sinceLast;
    // A message cannot have come after now, and hardly long before.
    const holds = counted <= now && now - counted < astrayMs;
    this.last = holds ? counted : now;
    return this.last;
  }
}

function newInput(): MidiInput | null {
  try {
    const midi: { Input: new () => MidiInput } = createRequire(import.meta.url)('midi');
    return new midi.Input();
  } catch {
    return null;
  }
}
