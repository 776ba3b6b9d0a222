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
export function ownSamples(sound: SoundAhead, rate: number): OwnSamples {
  const { voice, velocity, length } = sound;
  const table: Table = tableOf(sound);
  if (table.sustained) return sustainedSamples(sound, table, rate);
  const isClick = voice === 0;
  return {
    name: `table ${table.key}`,
    level: ((isClick ? clickLevel : stringLevel) * velocity) / 127,
    samples: () => table.samples(rate),
    ...(isClick ? {} : { length: (length / 1000) * rate }),
  };
}

/** A sound that lasts as long as its note is known for this many steps of this, ms, and for no longer than this many ms. */
const lengthStep = 250;
const mostLength = 8000;

/** A note whose end goes round until it is ended, played out for as long as it lasts. */
function sustainedSamples({ velocity, length }: SoundAhead, table: Table, rate: number): OwnSamples {
  const ms = Math.min(mostLength, Math.ceil(Math.max(1, length) / lengthStep) * lengthStep);
  return {
    name: `table ${table.key} for ${ms}`,
    level: (stringLevel * velocity) / 127,
    length: (length / 1000) * rate,
    samples: () => {
      const once = table.samples(rate);
      const { from, to } = table.sustained?.(rate) ?? { from: 0, to: once.length };
      return Float32Array.from(
        { length: Math.round((ms / 1000) * rate) },
        (_, index) => once[index < to ? index : from + ((index - from) % (to - from))] as number,
      );
    },
  };
}
