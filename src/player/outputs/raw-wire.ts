/** Data bytes that follow a status (MIDI 1.0). */
export function dataBytes(status: number): number {
  const kind = status & 0xf0;
  if (kind === 0xc0 || kind === 0xd0) return 1;
  if (kind < 0xf0) return 2;
  if (status === 0xf2) return 2;
  return status === 0xf1 || status === 0xf3 ? 1 : 0;
}

/** The bytes that go over a wire, made of messages of three bytes each. */
export class RawWire {
  private readonly bytes: Buffer;
  /** The status that the reader still has in mind: it need not be sent again (running status). */
  private status = 0;

  /**
   * Takes up to `most` messages at once. `running`: whether a status that is the one before is left out. A cable is slow enough
   * to want that; into a pipe others may write as well, and a message without its status would be taken for one of theirs.
   */
  constructor(
    most: number,
    public running: boolean,
  ) {
    this.bytes = Buffer.alloc(3 * most);
  }

  /** The reader may have nothing in mind: what comes next brings its status. */
  forget(): void {
    this.status = 0;
  }

  encode(messages: Buffer): Buffer {
    let length = 0;
    for (let at = 0; at < messages.length; at += 3) {
      const status = messages[at] as number;
      if (status !== this.status || !this.running) this.bytes[length++] = status;
      // Clock and start leave the running status as it is; song position ends it (MIDI 1.0).
      if (status < 0xf0) this.status = status;
      else if (status < 0xf8) this.status = 0;
      for (let data = 1; data <= dataBytes(status); data += 1)
        this.bytes[length++] = messages[at + data] as number;
    }
    return this.bytes.subarray(0, length);
  }
}
