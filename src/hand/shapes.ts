import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { type EffortPart, effortOf, effortParts } from './effort.js';
import { type Fingering, fretsText, soundingNotes } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import type { Instrument } from './instrument.js';
import { type PlayerHand, usualHand } from './player-hand.js';
import { type StockShape, stockFingerings } from './stock.js';
import { toneName } from './tones.js';
import { type Voicing, voicings } from './voicing.js';

/** A fingering with its effort: what `shapes` lists. */
export interface RankedShape {
  readonly fingering: Fingering;
  readonly effort: number;
  readonly parts: readonly EffortPart[];
  /** Whether the trade plays it by habit. */
  readonly stock: boolean;
}

/** What shapes are looked for. */
export interface ShapeOptions {
  readonly hand?: PlayerHand;
  readonly highestFret?: number;
  readonly open?: boolean;
  readonly rootless?: boolean;
  /** The table of stock shapes: the trade's unless the hand has its own. */
  readonly known?: readonly StockShape[];
}

/** The highest fret that is looked at unless told otherwise: beyond it short strings lose their bark (our limit). */
export const usualHighestFret = 12;

/**
 * Every voicing of a chord that the hand can finger, each with its best fingering, the least effort first. Ties go
 * to the lower frets on the bass side.
 */
export function rankedShapes(
  chord: Chord,
  instrument: Instrument,
  options: ShapeOptions = {},
): readonly RankedShape[] {
  const hand = options.hand ?? usualHand;
  const found = voicings(chord, instrument, {
    reach: hand.spans['14'],
    highestFret: options.highestFret ?? usualHighestFret,
    open: options.open ?? false,
    rootless: options.rootless ?? false,
  });
  const stock = new Set(
    stockFingerings(chord, instrument, options.known, options.open ? 0 : 1).map((one) =>
      fretsText(one.frets),
    ),
  );
  const ranked = found.flatMap((voicing) => best(voicing, chord, instrument, hand, stock));
  return ranked.sort(
    (one, other) => one.effort - other.effort || compareFrets(one.fingering, other.fingering),
  );
}

function best(
  voicing: Voicing,
  chord: Chord,
  instrument: Instrument,
  hand: PlayerHand,
  stock: ReadonlySet<string>,
): RankedShape[] {
  const ranked = fingeringsOf(voicing.frets, instrument, hand).map((fingering): RankedShape => {
    const parts = effortParts(fingering, chord, instrument, voicing.leavesOut);
    return {
      fingering: { ...fingering, remark: leavesOutText(voicing.leavesOut) },
      effort: effortOf(parts),
      parts,
      stock: stock.has(fretsText(voicing.frets)),
    };
  });
  ranked.sort((one, other) => one.effort - other.effort || fingersUsed(one) - fingersUsed(other));
  return ranked.slice(0, 1);
}

/** The sum of the finger numbers: among equals the strong fingers serve. */
function fingersUsed({ fingering }: RankedShape): number {
  return fingering.fingers.reduce((sum: number, finger) => sum + (finger ?? 0), 0);
}

function compareFrets(one: Fingering, other: Fingering): number {
  for (const [course, at] of one.frets.entries()) {
    const difference = (at ?? 99) - (other.frets[course] ?? 99);
    if (difference !== 0) return difference;
  }
  return 0;
}

/** `without the fifth`, or the empty text. */
export function leavesOutText(leavesOut: readonly number[]): string {
  return leavesOut.length === 0 ? '' : `without the ${leavesOut.map(toneName).join(' and ')}`;
}

/** What a reduced voicing is, in words: `reduced to three courses: root and third`. */
export function reducedText({ frets }: Voicing, chord: Chord, instrument: Instrument): string {
  const root = pitchClass(chord.root);
  const notes = soundingNotes(instrument, frets).filter((note) => note !== null);
  const steps = [...new Set(notes.map((note) => (note - root + 120) % 12))].sort((one, other) => one - other);
  const count = ['no', 'one course', 'two courses', 'three courses'][notes.length];
  return `reduced to ${count}: ${steps.map(toneName).join(' and ')}`;
}
