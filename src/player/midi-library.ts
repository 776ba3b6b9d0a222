import { createRequire } from 'node:module';

/** A MIDI destination of a package, opened or not. Ports have numbers from 0. What cannot be done throws. */
export interface MidiOutput {
  openPort(port: number): void;
  openVirtualPort(name: string): void;
  closePort(): void;
  sendMessage(message: number[]): void;
  /** Releases all it holds; without this method that happens when it is collected. */
  destroy?(): void;
}

/** A MIDI source of a package. `delta`: seconds since the message before. */
export interface MidiInput {
  openPort(port: number): void;
  closePort(): void;
  ignoreTypes(sysex: boolean, timing: boolean, sensing: boolean): void;
  on(event: 'message', listener: (delta: number, message: readonly number[]) => void): void;
  destroy?(): void;
}

/** What knows the ports of one direction. */
interface Counted {
  getPortCount(): number;
  getPortName(port: number): string;
  destroy?(): void;
}

/** The part of the packages that is used: they are two forks of one, and alike in this. */
interface Package {
  readonly Output: new () => MidiOutput & Counted;
  readonly Input: new () => MidiInput & Counted;
}

/** One package through which MIDI ports are reached. */
export interface MidiLibrary {
  /** The package's name, to be shown. */
  readonly name: string;
  /** The names of the destinations, and of the sources, in the order of their numbers. */
  readonly destinations: () => string[];
  readonly sources: () => string[];
  readonly newOutput: () => MidiOutput;
  readonly newInput: () => MidiInput;
}

/** A package that loaded, or why none did: one line with what to do about it. */
export type FoundLibrary =
  | { readonly ok: true; readonly library: MidiLibrary }
  | { readonly ok: false; readonly why: string };

/** In the order they are tried: `midi` is there where it could be compiled, the other brings its programs with it. */
export const midiPackages = ['midi', '@julusian/midi'] as const;

/** The first package that loads. `load` answers a package by its name, or throws. */
export function findMidiLibrary(load: (name: string) => unknown): FoundLibrary {
  const reasons: string[] = [];
  for (const name of midiPackages) {
    try {
      return { ok: true, library: libraryOf(name, load(name) as Package) };
    } catch (error) {
      reasons.push((error as Error).message);
    }
  }
  // The package's programs are there, and the system lacks what they need.
  if (reasons.some((reason) => reason.includes('libasound')))
    return {
      ok: false,
      why: 'no MIDI ports: the ALSA library (libasound.so.2) is not installed; on Debian, apt-get install libasound2 (since Debian 13 libasound2t64)',
    };
  return {
    ok: false,
    why: `no MIDI ports: neither of the packages ${midiPackages.join(' and ')} loads on this machine; run npm install again`,
  };
}

let found: FoundLibrary | null = null;

/** The package that is used on this machine, looked for once. */
export function midiLibrary(): FoundLibrary {
  found ??= findMidiLibrary(createRequire(import.meta.url));
  return found;
}

function libraryOf(name: string, { Output, Input }: Package): MidiLibrary {
  if (typeof Output !== 'function' || typeof Input !== 'function') throw new Error(`${name} has no ports`);
  return {
    name,
    destinations: () => portNames(new Output()),
    sources: () => portNames(new Input()),
    newOutput: () => new Output(),
    newInput: () => new Input(),
  };
}

/** The names one knows; let go of at once where the package can, since it is asked every second while music plays. */
function portNames(one: Counted): string[] {
  const names = Array.from({ length: one.getPortCount() }, (_, port) => one.getPortName(port));
  one.destroy?.();
  return names;
}
