import type { InSpec } from '../messages.js';
import { ChannelReader, type OnMessage } from './channel-reader.js';
import type { Input } from './input.js';
import { midiSources, openMidiBytes } from './midi.js';
import { openRawBytes } from './raw.js';

/** How often to check whether sources have come or gone, ms. */
const lookMs = 1000;

/** Listens for pedals: on every MIDI source there is and those that come, or on named ones. */
export class PedalInputs {
  private open = new Map<string, Input>();
  private timer: NodeJS.Timeout | null = null;
  private told = '';

  constructor(
    private readonly onMessage: OnMessage,
    private readonly onTrouble: (message: string) => void,
    /** Sources on which we would hear ourselves. */
    private readonly isOurs: (name: string) => boolean,
  ) {}

  /** Listens there from now on, and nowhere else. */
  listen(from: readonly InSpec[] | 'all' | null): void {
    this.close();
    if (from === null) return;
    const look = (): void => {
      if (from === 'all') this.follow(midiSources().filter((name) => !this.isOurs(name)));
      else for (const spec of from) this.openNamed(spec);
    };
    look();
    this.timer = setInterval(look, lookMs);
    this.timer.unref();
  }

  close(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    for (const input of this.open.values()) input.close();
    this.open.clear();
  }

  /** Opens the sources that have come, and closes those that have gone. */
  private follow(names: readonly string[]): void {
    for (const [name, input] of this.open) {
      if (names.includes(name)) continue;
      input.close();
      this.open.delete(name);
    }
    for (const name of new Set(names)) {
      if (this.open.has(name)) continue;
      const reader = new ChannelReader(this.onMessage);
      this.tryOpen(name, () => openMidiBytes(name, (value, time) => reader.byte(value, time)));
    }
  }

  private openNamed(spec: InSpec): void {
    const name = spec.kind === 'midi' ? spec.port : spec.path;
    if (this.open.has(name)) return;
    const reader = new ChannelReader(this.onMessage);
    const onByte = (value: number, time: number): void => reader.byte(value, time);
    this.tryOpen(name, () =>
      spec.kind === 'midi'
        ? openMidiBytes(spec.port, onByte)
        : openRawBytes(spec.path, onByte, this.onTrouble),
    );
  }

  /** What cannot be opened is reported once, and tried again: a pedal may be plugged in later. */
  private tryOpen(name: string, open: () => Input): void {
    try {
      this.open.set(name, open());
    } catch (error) {
      const { message } = error as Error;
      if (message === this.told) return;
      this.told = message;
      this.onTrouble(`pedals cannot be used: ${message}`);
    }
  }
}
