/** Pulses a quarter (MIDI 1.0, System Real Time: Timing Clock). */
export const pulsesPerQuarter = 24;

/** Ticks a pulse: 960 ticks a quarter over 24 pulses. */
export const ticksPerPulse = 40;

/** Pulses a unit of the song position (MIDI 1.0, Song Position Pointer: one unit is six clocks). */
export const pulsesPerUnit = 6;

/** The greatest song position, in units: 14 bits (MIDI 1.0, Song Position Pointer). */
const mostUnits = 0x3fff;

/**
 * Where the song stands among the pulses of a clock, by MIDI 1.0's start, continue, stop and song position. Pulses are
 * known by their labels: whole numbers, one more for each.
 */
export class SongPosition {
  private started = false;
  /** Started, but the pulse from which it counts has not come, and its label is not known. */
  private armed = false;
  /** The label at position 0, while it runs, and the label from which it was counted on. */
  private origin = 0;
  private firstLabel = 0;
  /** The position of the next pulse, in pulses, while it is stopped or armed. */
  private next = 0;
  /** The label that follows the stop, as long as `next` comes from labels. */
  private stopLabel = Number.POSITIVE_INFINITY;

  /** Between a start (or continue) and a stop. */
  get running(): boolean {
    return this.started;
  }

  /** Whether the song moves with the pulses: it runs, and the pulse from which it counts is known. */
  get counting(): boolean {
    return this.started && !this.armed;
  }

  /** The position at a label, in pulses; while it does not count, the position of the next pulse. */
  at(label: number): number {
    return this.counting ? label - this.origin : this.next;
  }

  /** A pulse came: where one was awaited, it is the one from which is counted. */
  pulse(label: number): void {
    if (!this.armed) return;
    this.armed = false;
    this.countFrom(label);
  }

  /** The song goes to its beginning. */
  rewind(): void {
    this.next = 0;
  }

  /** The song runs from the pulse of a label on; `null` where that pulse must be awaited. */
  run(label: number | null): void {
    this.started = true;
    this.stopLabel = Number.POSITIVE_INFINITY;
    this.armed = label === null;
    if (label !== null) this.countFrom(label);
  }

  /** The song stops before the pulse of a label. */
  stop(label: number): void {
    if (this.counting) {
      this.next = Math.max(label - this.origin, 0);
      this.stopLabel = label;
    }
    this.started = false;
    this.armed = false;
  }

  /** The song is put to a place, in units of six pulses. Heeded only while it is stopped. */
  put(units: number): void {
    if (this.started || !(units >= 0 && units <= mostUnits)) return;
    this.next = Math.floor(units) * pulsesPerUnit;
    this.stopLabel = Number.POSITIVE_INFINITY;
  }

  /** Labels that come have nothing to do with those before. */
  breakLabels(): void {
    this.stopLabel = Number.POSITIVE_INFINITY;
  }

  /** The labels from `first` on were wrong by this much: what was counted from them is put right. */
  relabel(first: number, by: number): void {
    if (this.started) {
      // Pulses that went wrong before the song was started or continued do not concern its position.
      if (!this.armed && this.firstLabel >= first) {
        this.firstLabel += by;
        this.origin += by;
      }
    } else if (this.stopLabel > first && this.stopLabel < Number.POSITIVE_INFINITY) {
      this.next = Math.max(this.next + by, 0);
      this.stopLabel += by;
    }
  }

  private countFrom(label: number): void {
    this.firstLabel = label;
    this.origin = label - this.next;
  }
}
