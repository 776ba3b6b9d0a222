import { type MidiNote, midiNote } from '../theory/pitch.js';
import { type Voice, voices } from './event.js';

/** How the voices reach an instrument: channels, programs, the click's notes, and what is given in milliseconds. */
export interface Sound {
  /** MIDI channels, 0–15. */
  readonly channels: Readonly<Record<Voice, number>>;
  /** Programs sent before a chart begins, 0–127; `null` leaves what the instrument has. The tune's is sent with its notes. */
  readonly programs: Readonly<Record<Voice, number | null>>;
  /** Whether the tune has the program of whoever leads (`lead-program.ts`), and not one for all. */
  readonly byLeader: boolean;
  /** The click's notes and how loud they are: the accented first beat, the other beats, what divides them. */
  readonly accent: MidiNote;
  readonly beat: MidiNote;
  readonly accentLoudness: number;
  readonly beatLoudness: number;
  readonly dividedLoudness: number;
  /** How long a chop lasts, ms; 40 to 90 is usual. */
  readonly chopMs: number;
  /** From one course of a stroke to the next, ms. */
  readonly spreadMs: number;
}

/** What a chop may last, ms: shorter is a click, longer a chord (common practice). */
export const chopLimits = { least: 40, most: 90 } as const;
/** What a stroke may take from one course to the next, ms. At 2 the four courses of a chop sound within 6 ms: one stroke, not four notes. */
export const spreadLimits = { least: 0, most: 20 } as const;

/**
 * The sound that holds unless settings say otherwise: the click on channel 10 with General MIDI's high and low wood
 * block (76, 77), the instrument on 1 and 2, an acoustic bass (program 33 as counted from 1) on 3, the tune on 4.
 */
export const usualSound: Sound = {
  channels: { click: 9, bass: 2, low: 0, chop: 1, lead: 3 },
  programs: { click: null, bass: 32, low: 25, chop: 25, lead: null },
  byLeader: true,
  accent: midiNote(76),
  beat: midiNote(77),
  accentLoudness: 96,
  beatLoudness: 72,
  dividedLoudness: 44,
  chopMs: 60,
  spreadMs: 2,
};

/**
 * The program changes of a sound, packed as events pack their messages: `status | data1 << 8`. The tune has its own with its notes: gear
 * that gets no tune gets no program for it.
 */
export function programMessages({ channels, programs }: Sound): number[] {
  return voices.flatMap((voice) => {
    const program = programs[voice];
    return program === null || voice === 'lead' ? [] : [0xc0 | channels[voice] | (program << 8)];
  });
}

/** How loud each voice is, in percent; 0 is silent. */
export type Levels = Readonly<Record<Voice, number>>;

/** What sounds of the voices: which are on, which one is heard alone, and how loud each is. */
export interface Mix {
  readonly on: Readonly<Record<Voice, boolean>>;
  readonly alone: Voice | null;
  /** Percent; 100 is as written. */
  readonly levels: Levels;
}

/** The loudest a voice can be made, percent. */
export const mostLevel = 150;

/** What sounds unless told otherwise: the company, not the player's own part doubled. */
export const usualMix: Mix = {
  on: { click: true, bass: true, low: false, chop: false, lead: true },
  alone: null,
  levels: { click: 100, bass: 100, low: 100, chop: 100, lead: 100 },
};

/** The level of each voice as it is heard, in the order of their numbers. */
export function heardLevels({ on, alone, levels }: Mix): number[] {
  return voices.map((voice) => ((alone === null ? on[voice] : voice === alone) ? levels[voice] : 0));
}
