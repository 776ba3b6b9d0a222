import { accessSync, constants } from 'node:fs';
import { createRequire } from 'node:module';
import type { Output } from './output.js';

/** The part of the `midi` package that is used here. */
interface MidiOutput {
  getPortCount(): number;
  getPortName(port: number): string;
  openPort(port: number): void;
  openVirtualPort(name: string): void;
  closePort(): void;
  sendMessage(message: number[]): void;
}

const sequencer = '/dev/snd/seq';

/** Why there are no MIDI ports, in one line with what to do about it; `null` when there can be. */
export function whyNoMidi(): string | null {
  if (!loadMidi()) {
    return 'no MIDI ports: the optional package midi is not built; install a compiler and, on Linux, the ALSA headers (libasound2-dev), then run npm install again';
  }
  if (process.platform !== 'linux') return null;
  try {
    accessSync(sequencer, constants.R_OK | constants.W_OK);
    return null;
  } catch (error) {
    // Without the sequencer the package opens nothing and says so only on stderr.
    return (error as NodeJS.ErrnoException).code === 'EACCES'
      ? `no MIDI ports: ${sequencer} may not be opened; add yourself to the group audio`
      : 'no MIDI ports: this machine has no ALSA sequencer; load it with modprobe snd-seq';
  }
}

/** The names of the MIDI destinations, in the order of their numbers. */
export function midiPorts(): string[] {
  if (whyNoMidi() !== null) return [];
  const output = newOutput();
  const names = Array.from({ length: output.getPortCount() }, (_, port) => output.getPortName(port));
  return names;
}

/**
 * Opens a MIDI destination by its number (from 1, as listed) or by its name or a part of it.
 * Throws a sentence when there is none or several.
 */
export function openMidi(wanted: string): Output {
  const reason = whyNoMidi();
  if (reason) throw new Error(reason);
  const names = midiPorts();
  const port = findPort(wanted, names);
  const output = newOutput();
  output.openPort(port);
  return new PortOutput(output, `MIDI ${names[port]}`);
}

/** Opens a port of our own that other programs can connect to. */
export function openVirtual(name: string): Output {
  const reason = whyNoMidi();
  if (reason) throw new Error(reason);
  if (process.platform === 'win32')
    throw new Error('virtual MIDI ports do not exist on Windows; use midi:NAME');
  const output = newOutput();
  output.openVirtualPort(name);
  return new PortOutput(output, `virtual port ${name}`);
}

/** The index of the port that is meant. Throws a sentence when there is none or several. */
export function findPort(wanted: string, names: readonly string[]): number {
  const listed =
    names.length === 0
      ? 'there are none now'
      : `there are: ${names.map((name, index) => `${index + 1} ${name}`).join(', ')}`;
  if (/^\d+$/.test(wanted)) {
    const port = Number(wanted) - 1;
    if (names[port] === undefined) throw new Error(`there is no MIDI port ${wanted}; ${listed}`);
    return port;
  }
  const exact = names.indexOf(wanted);
  if (exact >= 0) return exact;
  const matching = names.flatMap((name, index) =>
    name.toLowerCase().includes(wanted.toLowerCase()) ? [index] : [],
  );
  if (matching.length === 1) return matching[0] as number;
  throw new Error(
    matching.length === 0
      ? `there is no MIDI port “${wanted}”; ${listed}`
      : `“${wanted}” fits several MIDI ports; ${listed}`,
  );
}

class PortOutput implements Output {
  readonly lead = 0;
  private readonly message = [0, 0, 0];

  constructor(
    private readonly output: MidiOutput,
    readonly label: string,
  ) {}

  send(status: number, data1: number, data2: number): void {
    this.message[0] = status;
    this.message[1] = data1;
    this.message[2] = data2;
    this.output.sendMessage(this.message);
  }

  flush(): void {}

  panic(): void {}

  close(): void {
    this.output.closePort();
  }
}

function newOutput(): MidiOutput {
  const midi = loadMidi();
  if (!midi) throw new Error('the package midi is not there');
  return new midi.Output();
}

function loadMidi(): { Output: new () => MidiOutput } | null {
  try {
    return createRequire(import.meta.url)('midi');
  } catch {
    return null;
  }
}
