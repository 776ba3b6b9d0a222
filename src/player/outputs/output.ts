/**
 * A MIDI destination. All outputs behave alike: what is sent sounds at `atTime`, or at once when that has
 * passed. None of the methods blocks or throws; what goes wrong is reported through `onTrouble` of the opener.
 */
export interface Output {
  /** What the screen calls it. */
  readonly label: string;
  /** How many ms before its time a message should be sent; 0 for whatever sends at once. */
  readonly lead: number;
  /** It makes its own sound: what is sent is for nobody's gear. */
  readonly own?: boolean;
  /**
   * Sends one message of three bytes. What is known of a note that begins: its `voice`, a number in `voices`, and how
   * many ms it will last as things stand; an output that makes its own sound chooses by them.
   */
  send(status: number, data1: number, data2: number, atTime: number, voice?: number, lengthMs?: number): void;
  /** Marks the end of what belongs to one instant. */
  flush(): void;
  /** Silences whatever was sent ahead and still sounds. */
  panic(): void;
  close(): void;
}

/** Says in one sentence that an output has trouble. */
export type OnTrouble = (message: string) => void;

/** The output that swallows everything. */
export function openNone(): Output {
  return { label: 'silent', lead: 0, send: () => {}, flush: () => {}, panic: () => {}, close: () => {} };
}
