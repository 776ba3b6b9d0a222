/** A sound that the program is going to make with its own instrument. */
export interface SoundAhead {
  /** When it is due, ms of the shared clock. */
  readonly ms: number;
  /** Number of its voice, MIDI note and velocity. */
  readonly voice: number;
  readonly note: number;
  readonly velocity: number;
  /** How long until it is stopped, ms. */
  readonly length: number;
  /** The program that its channel has, 0–127, where one was sent with it. */
  readonly program?: number;
  /** Nobody plays while it sounds, as in a count-in. */
  readonly alone?: boolean;
}
