import type { Instrument } from '../../src/hand/instrument.js';
import type { Voicing, VoicingOptions } from '../../src/hand/voicing.js';
import type { ChordCandidate } from '../../src/listen/chord-odds.js';
import type { Chord } from '../../src/theory/chord.js';
import type { Key } from '../../src/theory/key.js';
import type { NumberChord } from '../../src/theory/number.js';

/** What a pass needs of the program: the bench gives the built one. */
export interface Theory {
  readonly parseNumber: (text: string) => { ok: true; value: NumberChord } | { ok: false };
  readonly toChord: (number: NumberChord, key: Key) => Chord;
  readonly chordTones: (chord: Chord) => readonly number[];
  readonly chordName: (chord: Chord) => string;
  readonly voicings: (chord: Chord, instrument: Instrument, options: VoicingOptions) => readonly Voicing[];
}
export interface TakenStroke {
  /** ms from the start. */
  readonly at: number;
  readonly notes: readonly number[];
  readonly velocity: number;
  readonly length: number;
  readonly spread: number;
}
export interface JudgedStroke extends TakenStroke {
  readonly kind: 'low' | 'chop';
  readonly late: boolean;
  readonly expected: string;
  readonly played: string;
  readonly candidates: readonly ChordCandidate[];
}
export interface Sound {
  readonly samples: Float32Array;
  readonly rate: number;
}
export interface Plucked {
  readonly pluck: number;
  readonly tilt: number;
  readonly decay: number;
  readonly damping: number;
  readonly stiffness: number;
  readonly choke: number;
  readonly noise: number;
  readonly strings: number;
  readonly detune: number;
  readonly body: readonly { readonly hertz: number; readonly width: number; readonly gain: number }[];
}
export function seeded(seed: number): () => number;
export function chordPass(
  theory: Theory,
  options: { seed: number; bpm: number; bars?: number; instrument: Instrument; faults?: number },
): { strokes: JudgedStroke[]; cents: number };
export const programs: Readonly<Record<string, readonly [bank: number, program: number]>>;
export function fluidsynth(
  strokes: readonly TakenStroke[],
  program: readonly [number, number],
  cents?: number,
): Sound;
export function pluckedInstrument(seed: number): Plucked;
export function plucked(
  strokes: readonly TakenStroke[],
  instrument: Plucked,
  options?: { rate?: number; cents?: number; seed?: number },
): Sound;
export function withNoise(sound: Sound, decibels: number, seed: number): Sound;
