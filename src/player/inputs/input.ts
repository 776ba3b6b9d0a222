import type { ClockEvent } from '../loop.js';

/** A source of an external clock that is listened to. */
export interface Input {
  /** What the screen calls it. */
  readonly label: string;
  close(): void;
}

/** Takes in what an external clock says. */
export type OnClock = (event: ClockEvent) => void;

/** Reads a stream of MIDI bytes and picks out what concerns the clock. Bytes of other messages are passed over. */
export class ClockReader {
  /** Data bytes of a song position that are still to come, and the first of them. */
  private wanted = 0;
  private low = 0;

  constructor(private readonly onClock: OnClock) {}

  byte(value: number, time: number): void {
    if (value >= 0xf8) {
      const kind = kindOf(value);
      if (kind) this.onClock({ kind, time });
      return;
    }
    if (value >= 0x80) {
      this.wanted = value === 0xf2 ? 2 : 0;
      return;
    }
    if (this.wanted === 0) return;
    this.wanted -= 1;
    if (this.wanted === 1) this.low = value;
    else this.onClock({ kind: 'place', units: this.low | (value << 7), time });
  }
}

function kindOf(status: number): 'pulse' | 'start' | 'continue' | 'stop' | null {
  switch (status) {
    case 0xf8:
      return 'pulse';
    case 0xfa:
      return 'start';
    case 0xfb:
      return 'continue';
    case 0xfc:
      return 'stop';
    default:
      return null;
  }
}
