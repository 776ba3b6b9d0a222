/** Splits a MIDI byte stream into whole messages, running status filled in; messages of the system stand alone (MIDI 1.0). */
export class MidiStream {
  private status = 0;
  private data: number[] = [];

  /** Takes in one byte; answers the message that it completes, if it does. */
  take(byte: number): number[] | null {
    if (byte >= 0xf8) return [byte];
    if (byte >= 0x80) {
      this.status = byte;
      this.data = [];
      return this.complete();
    }
    if (this.status === 0) throw new Error(`a data byte ${byte} without any status`);
    this.data.push(byte);
    return this.complete();
  }

  private complete(): number[] | null {
    if (this.data.length < lengthOf(this.status)) return null;
    const message = [this.status, ...this.data];
    this.data = [];
    // What belongs to the system leaves no running status behind.
    if (this.status >= 0xf0) this.status = 0;
    return message;
  }
}

/** All whole messages of some bytes. */
export function messagesOf(bytes: Iterable<number>): number[][] {
  const stream = new MidiStream();
  const found: number[][] = [];
  for (const byte of bytes) {
    const message = stream.take(byte);
    if (message) found.push(message);
  }
  return found;
}

function lengthOf(status: number): number {
  if (status < 0xc0 || (status >= 0xe0 && status < 0xf0)) return 2;
  if (status < 0xf0) return 1;
  return status === 0xf2 ? 2 : status === 0xf1 || status === 0xf3 ? 1 : 0;
}
