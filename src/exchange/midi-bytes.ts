/** The longest time between two events of a track, ticks: four bytes of seven bits (MMA RP-001, "variable-length quantity"). */
const mostDelta = 0x0fffffff;

/** Bytes that become more. The room doubles, so that adding costs the same however many there are. */
class GrowingBytes {
  private bytes = new Uint8Array(1024);
  private length = 0;

  add(byte: number): void {
    if (this.length === this.bytes.length) this.grow(this.length + 1);
    this.bytes[this.length] = byte;
    this.length += 1;
  }

  addAll(bytes: ArrayLike<number>): void {
    const length = this.length + bytes.length;
    if (length > this.bytes.length) this.grow(length);
    this.bytes.set(bytes, this.length);
    this.length = length;
  }

  /** A number in `size` bytes, the highest first. */
  addNumber(value: number, size: number): void {
    for (let place = size - 1; place >= 0; place -= 1) this.add(Math.floor(value / 256 ** place) % 256);
  }

  written(): Uint8Array {
    return this.bytes.subarray(0, this.length);
  }

  private grow(least: number): void {
    const more = new Uint8Array(Math.max(least, 2 * this.bytes.length));
    more.set(this.bytes);
    this.bytes = more;
  }
}

/** The meta events of a track, by their numbers in the standard. */
export const meta = {
  text: 0x01,
  trackName: 0x03,
  marker: 0x06,
  cuePoint: 0x07,
  tempo: 0x51,
  meter: 0x58,
  key: 0x59,
} as const;

/** One track of a Standard MIDI File, written event by event in the order of time. */
export class TrackBytes {
  private readonly out = new GrowingBytes();
  private last = 0;

  /** A meta event at a tick: one of `meta`, with its bytes. */
  tell(tick: number, kind: number, data: ArrayLike<number>): void {
    this.wait(tick);
    this.out.add(0xff);
    this.out.add(kind);
    this.quantity(data.length);
    this.out.addAll(data);
  }

  /** A message of a channel at a tick: its status and the one or two bytes after it. No running status. */
  send(tick: number, status: number, first: number, second?: number): void {
    this.wait(tick);
    this.out.add(status);
    this.out.add(first);
    if (second !== undefined) this.out.add(second);
  }

  /** The track with its end at a tick, as a chunk of the file. */
  end(tick: number): Uint8Array {
    this.wait(Math.max(tick, this.last));
    this.out.addAll([0xff, 0x2f, 0]);
    return chunk('MTrk', this.out.written());
  }

  private wait(tick: number): void {
    // A time that is too long for one event is divided by empty text events.
    for (; tick - this.last > mostDelta; this.last += mostDelta) {
      this.quantity(mostDelta);
      this.out.addAll([0xff, meta.text, 0]);
    }
    this.quantity(tick - this.last);
    this.last = tick;
  }

  /** Seven bits a byte, the highest first; all bytes but the last have the eighth. */
  private quantity(value: number): void {
    for (let place = 21; place > 0; place -= 7)
      if (value >= 1 << place) this.out.add(((value >> place) & 0x7f) | 0x80);
    this.out.add(value & 0x7f);
  }
}

/** A file of format 1 with `ticks` ticks a quarter, made of its tracks' chunks. */
export function midiFileOf(tracks: readonly Uint8Array[], ticksPerQuarter: number): Uint8Array {
  const header = new GrowingBytes();
  header.addNumber(1, 2);
  header.addNumber(tracks.length, 2);
  header.addNumber(ticksPerQuarter, 2);
  return joined([chunk('MThd', header.written()), ...tracks]);
}

/** Four letters, how many bytes follow, and those. */
function chunk(name: string, bytes: Uint8Array): Uint8Array {
  const head = new GrowingBytes();
  head.addAll(new TextEncoder().encode(name));
  head.addNumber(bytes.length, 4);
  return joined([head.written(), bytes]);
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
