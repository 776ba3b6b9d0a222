/** Takes in a message of a channel: its bytes, and when the last of them arrived. */
export type OnMessage = (status: number, data1: number, data2: number, time: number) => void;

/** Reads a stream of MIDI bytes and picks out the messages of channels, running status filled in. What is exclusive is passed over. */
export class ChannelReader {
  private status = 0;
  private first = -1;

  constructor(private readonly onMessage: OnMessage) {}

  byte(value: number, time: number): void {
    // Real time may stand between any two bytes, and changes nothing (MIDI 1.0).
    if (value >= 0xf8) return;
    if (value >= 0x80) {
      this.status = value < 0xf0 ? value : 0;
      this.first = -1;
      return;
    }
    if (this.status === 0) return;
    const kind = this.status & 0xf0;
    if (kind === 0xc0 || kind === 0xd0) {
      this.onMessage(this.status, value, 0, time);
      return;
    }
    if (this.first < 0) {
      this.first = value;
      return;
    }
    const { first } = this;
    this.first = -1;
    this.onMessage(this.status, first, value, time);
  }
}
