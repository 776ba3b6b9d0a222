import type { SoundAhead } from '../listen/sound-ahead.js';
import { type Table, tableOf } from '../player/synth/tables.js';

/** Loudness of a voice's samples at velocity 127, as the built-in sound has it: the click by number 0, the strings. */
const clickLevel = 1;
const stringLevel = 127 / 180;

/** A sound of the built-in instrument: its name, how strong it is, and the samples that go by the name. */
export interface OwnSamples {
  readonly name: string;
  readonly level: number;
  /** Samples until it is damped; absent for a click, which is not. */
  readonly length?: number;
  readonly samples: () => Float32Array;
}

/** What the built-in sound makes of a note, at a rate; all it makes is alike louder or softer than this. */
export function ownSamples({ voice, note, velocity, length }: SoundAhead, rate: number): OwnSamples {
  const table: Table = tableOf({ voice, note, velocity, length });
  const isClick = voice === 0;
  return {
    name: `table ${table.key}`,
    level: ((isClick ? clickLevel : stringLevel) * velocity) / 127,
    samples: () => table.samples(rate),
    ...(isClick ? {} : { length: (length / 1000) * rate }),
  };
}
