/** A payload is at most this long, bytes: a chart of 1 MiB as text in JSON, where each of its characters may take two, and what stands round it. */
export const mostPayload = 2 * 1024 * 1024 + 8192;
/** Beside the payload a packet has its topic and its seal. */
export const mostPacket = mostPayload + 4096;

/**
 * Watches the packets of MQTT go by (3.1.1 section 2.2: a byte, then the length of what follows in up to four bytes of seven bits) without keeping any
 * of them. A packet that says that it is longer than it may be is noticed by its head, before anything of it is kept.
 */
export class FrameWatch {
  /** Packets whose heads have gone by. */
  frames = 0;
  /** Bytes of the present packet that are still to come. */
  private rest = 0;
  /** The length as far as it was read, and how many of its bytes; -1: the head's first byte is next. */
  private lengthBytes = -1;
  private length = 0;

  /** @param most how long a packet may be, bytes; may be changed at any time */
  constructor(public most: number) {}

  /** Looks at what has come; returns whether it may go on. */
  look(bytes: Uint8Array): boolean {
    let at = 0;
    while (at < bytes.length) {
      if (this.rest > 0) {
        const skipped = Math.min(this.rest, bytes.length - at);
        this.rest -= skipped;
        at += skipped;
        continue;
      }
      const byte = bytes[at++] as number;
      if (this.lengthBytes < 0) {
        this.lengthBytes = 0;
        this.length = 0;
        continue;
      }
      this.length += (byte & 0x7f) * 2 ** (7 * this.lengthBytes);
      this.lengthBytes += 1;
      if (this.length > this.most || (this.lengthBytes === 4 && byte >= 0x80)) return false;
      if (byte >= 0x80) continue;
      this.frames += 1;
      this.rest = this.length;
      this.lengthBytes = -1;
    }
    return true;
  }
}
