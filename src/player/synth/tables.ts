import { type Voice, voices } from '../../time/event.js';
import { bassString } from './bass.js';
import { choppedCourse, ringingCourse } from './course.js';
import { bowedLoop, bowedNote, isPlucked, pluckedNote, type Sustained } from './lead.js';
import { woodBlock } from './wood-block.js';

/** A note as it is asked for. */
export interface StruckNote {
  /** Number in `voices`. */
  readonly voice: number;
  /** MIDI note. */
  readonly note: number;
  /** MIDI velocity, 1–127. */
  readonly velocity: number;
  /** How long it will last, ms; 0 where that is not known. */
  readonly length: number;
  /** The program that its channel has, 0–127; absent where none was sent. */
  readonly program?: number;
}

/** A sound that can be made once and used again: notes with the same `key` have it in common. */
export interface Table {
  readonly key: number;
  /** Its samples, one channel, peak at most 1. */
  readonly samples: (rate: number) => Float32Array<ArrayBuffer>;
  /** Of a note that lasts until it is ended: which of its samples go round. */
  readonly sustained?: (rate: number) => Sustained;
  /** Seconds it takes to fall silent when it is ended; `dampSeconds` when absent. */
  readonly fall?: number;
}

/** Seconds that a string takes to fall silent when its note ends: long enough not to crack. */
export const dampSeconds = 0.004;
/** A bow that leaves the string lets it ring a moment, into the next note. */
const bowFall = 0.03;

/** The accented click, as General MIDI has it: the high wood block. */
const accentNote = 76;
/** A chop's length is taken to this many ms: where the tempo rises bar by bar, each has its own. */
const lengthStep = 5;
/** A chop lasts 90 ms at most; a stroke of its voice that lasts longer than this, ms, is held. */
const longestChop = 95;

/** Frequency of a MIDI note in hertz, A4 = 440. */
export function noteHertz(note: number): number {
  return 440 * 2 ** ((note - 69) / 12);
}

/** The sound of a note. How strong it is chooses one of four colours; how loud it is made is left to whoever plays it. */
export function tableOf({ voice, note, velocity, length, program }: StruckNote): Table {
  const hertz = noteHertz(note);
  const strength = Math.max(0, Math.min(3, velocity >> 5));
  const key = (kind: Voice, chopMs = 0): number =>
    ((voices.indexOf(kind) * 128 + note) * 4 + strength) * 128 + chopMs;
  switch (voices[voice]) {
    case 'click': {
      const accented = note === accentNote;
      return { key: accented ? -1 : -2, samples: (rate) => woodBlock(rate, accented) };
    }
    case 'bass':
      return { key: key('bass'), samples: (rate) => bassString(rate, hertz, strength) };
    case 'lead':
      if (program !== undefined && isPlucked(program))
        return { key: key('lead', 1), samples: (rate) => pluckedNote(rate, hertz, strength), fall: 0.01 };
      return {
        key: key('lead'),
        samples: (rate) => bowedNote(rate, hertz, strength),
        sustained: (rate) => bowedLoop(rate, hertz),
        fall: bowFall,
      };
    case 'chop': {
      const ms = Math.max(1, Math.round(length / lengthStep)) * lengthStep;
      if (length > 0 && ms <= longestChop)
        return { key: key('chop', ms), samples: (rate) => choppedCourse(rate, hertz, strength, ms) };
    }
  }
  return { key: key('low'), samples: (rate) => ringingCourse(rate, hertz, strength) };
}
