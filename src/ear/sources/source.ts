/** What a source tells whoever listens to it. */
export interface SourceEvents {
  /** The next samples, one channel, −1 to 1; the array is the listener's. `ms`: when they arrived, on the shared clock. */
  readonly onSound: (samples: Float32Array, ms: number) => void;
  /** Sound was lost: right before what comes next (`here`), or somewhere in what comes within the next second. */
  readonly onLost: (where: 'here' | 'about') => void;
  /** It has ended by itself: why, as one sentence with what to do; `null` for the end of a file. Nothing follows. */
  readonly onGone: (sentence: string | null) => void;
}

/** Something that sound comes from until it is closed. */
export interface Source {
  readonly name: string;
  /** Samples a second. */
  readonly rate: number;
  /** By which means: `arecord`, `decibri`, `file`, `pipe`. */
  readonly by: string;
  close(): void;
}

/** Why a source could not be opened. */
export class CannotHear extends Error {
  /**
   * @param sentence what is wrong and what to do
   * @param reason `absent`: no such microphone, or none at all; `means`: the program or package for it is not there; in other cases only the sentence says why
   */
  constructor(
    sentence: string,
    readonly reason: 'absent' | 'busy' | 'denied' | 'means' | 'other',
  ) {
    super(sentence);
  }
}
