import { accessSync, constants } from 'node:fs';
import { type MidiOutput, midiLibrary } from '../midi-library.js';
import type { OnTrouble, Output } from './output.js';
import { dataBytes } from './raw-wire.js';

const sequencer = '/dev/snd/seq';

/** Why there are no MIDI ports, in one line with what to do about it; `null` when there can be. */
export function whyNoMidi(): string | null {
  const found = midiLibrary();
  if (!found.ok) return found.why;
  if (process.platform !== 'linux') return null;
  try {
    accessSync(sequencer, constants.R_OK | constants.W_OK);
    return null;
  } catch (error) {
    // Without the sequencer the packages open nothing and say so only on stderr.
    return (error as NodeJS.ErrnoException).code === 'EACCES'
      ? `no MIDI ports: ${sequencer} cannot be opened without permission; add yourself to the group audio`
      : 'no MIDI ports: this machine has no ALSA sequencer; load it with modprobe snd-seq';
  }
}

/** The names of the MIDI destinations, in the order of their numbers. */
export function midiPorts(): string[] {
  if (whyNoMidi() !== null) return [];
  const found = midiLibrary();
  return found.ok ? found.library.destinations() : [];
}

/**
 * Opens a MIDI destination by its number (from 1, as listed) or by its name or a part of it.
 * Throws a sentence when there is none or several.
 */
export function openMidi(wanted: string, onTrouble: OnTrouble): Output {
  const reason = whyNoMidi();
  if (reason) throw new Error(reason);
  const names = midiPorts();
  const port = findPort(wanted, names);
  const output = newOutput();
  output.openPort(port);
  return new PortOutput(output, `MIDI ${names[port]}`, names[port] as string, onTrouble);
}

/** Opens a port of our own that other programs can connect to. */
export function openVirtual(name: string): Output {
  const reason = whyNoMidi();
  if (reason) throw new Error(reason);
  if (process.platform === 'win32')
    throw new Error('virtual MIDI ports do not exist on Windows; use midi:NAME');
  const output = newOutput();
  output.openVirtualPort(name);
  return new PortOutput(output, `virtual port ${name}`, null, () => {});
}

/**
 * Where a port is in a list, by its name. ALSA's names end with numbers that are given again at each start
 * (`Box:Box 128:0`): where there is no port of the whole name, one that differs in those alone is it. −1 for none.
 */
export function indexOfPort(name: string, names: readonly string[]): number {
  const exact = names.indexOf(name);
  if (exact >= 0) return exact;
  const plain = (one: string): string => one.replace(/ \d+:\d+$/, '');
  const alike = names.flatMap((one, index) => (plain(one) === plain(name) ? [index] : []));
  return alike.length === 1 ? (alike[0] as number) : -1;
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
  const exact = indexOfPort(wanted, names);
  if (exact >= 0) return exact;
  const matching = names.flatMap((name, index) =>
    name.toLowerCase().includes(wanted.toLowerCase()) ? [index] : [],
  );
  if (matching.length === 1) return matching[0] as number;
  throw new Error(
    matching.length === 0
      ? `there is no MIDI port “${wanted}”; ${listed}`
      : `“${wanted}” matches several MIDI ports; ${listed}`,
  );
}

/** How often to check whether a port is still there, or back, ms. */
const lookMs = 700;
/** Messages that are kept of one instant. */
const mostQueued = 512;

/** A MIDI destination. One that vanishes is waited for, and taken up again under its name. */
class PortOutput implements Output {
  readonly lead = 0;
  /** What leaves with the next flush: packed, so that nothing is allocated. */
  private readonly queue = new Int32Array(mostQueued);
  private queued = 0;
  private readonly messages = [[0], [0, 0], [0, 0, 0]] as const;
  private here = true;
  private readonly looker: NodeJS.Timeout | null;

  constructor(
    private readonly output: MidiOutput,
    readonly label: string,
    private readonly name: string | null,
    private readonly onTrouble: OnTrouble,
    private readonly list: () => string[] = midiPorts,
  ) {
    this.looker = name === null ? null : setInterval(() => this.look(), lookMs);
    this.looker?.unref();
  }

  send(status: number, data1: number, data2: number): void {
    if (this.queued === mostQueued) this.flush();
    this.queue[this.queued] = status | (data1 << 8) | (data2 << 16);
    this.queued += 1;
  }

  flush(): void {
    for (let index = 0; index < this.queued; index += 1) this.pass(this.queue[index] as number);
    this.queued = 0;
  }

  panic(): void {}

  close(): void {
    if (this.looker) clearInterval(this.looker);
    this.flush();
    if (this.here) this.output.closePort();
    this.output.destroy?.();
  }

  private pass(packed: number): void {
    if (!this.here) return;
    const status = packed & 0xff;
    const message: number[] = this.messages[dataBytes(status) as 0 | 1 | 2] as never;
    message[0] = status;
    if (message.length > 1) message[1] = (packed >> 8) & 0x7f;
    if (message.length > 2) message[2] = (packed >> 16) & 0x7f;
    try {
      this.output.sendMessage(message);
    } catch {
      this.lose();
    }
  }

  /** The system says nothing when a port goes: it is seen by its name being gone from the list. */
  private look(): void {
    const port = indexOfPort(this.name as string, this.list());
    if (this.here && port < 0) this.lose();
    else if (!this.here && port >= 0) this.find(port);
  }

  private lose(): void {
    this.here = false;
    this.output.closePort();
    this.onTrouble(`${this.label} has gone; time goes on, and the port is used again when it is back`);
  }

  private find(port: number): void {
    try {
      this.output.openPort(port);
    } catch {
      return;
    }
    this.here = true;
    this.onTrouble(`${this.label} is back`);
  }
}

function newOutput(): MidiOutput {
  const found = midiLibrary();
  if (!found.ok) throw new Error(found.why);
  return found.library.newOutput();
}
