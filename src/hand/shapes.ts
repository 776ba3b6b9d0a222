import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { type EffortPart, effortOf, effortParts } from './effort.js';
import { type Fingering, fretsText, sameFingering, soundingNotes } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import type { Instrument } from './instrument.js';
import { type PlayerHand, usualHand } from './player-hand.js';
import { type StockFingering, type StockShape, stockFingerings } from './stock.js';
import { toneName } from './tones.js';
import { type Voicing, voicings } from './voicing.js';

/** Fingers of a voicing with the effort they take, whole ms. */
export interface OtherFingers {
  readonly fingers: Fingering['fingers'];
  readonly effort: number;
}

/** A voicing with its first choice of fingers and their effort: what `shapes` lists. */
export interface RankedShape {
  readonly fingering: Fingering;
  /** Whole ms, the sum of `parts`. */
  readonly effort: number;
  readonly parts: readonly EffortPart[];
  /** Every other way to finger it, the least effort first. */
  readonly alternatives: readonly OtherFingers[];
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
 * to the lower frets on the bass side. Fingers that a player's own shape gives are the first choice of their voicing,
 * whatever the model would take, and never cost more than the model's own first choice.
 */
export function rankedShapes(
  chord: Chord,
  instrument: Instrument,
  options: ShapeOptions = {},
): readonly RankedShape[] {
  const hand = options.hand ?? usualHand;
  const highestFret = options.highestFret ?? usualHighestFret;
  const found = voicings(chord, instrument, {
    reach: hand.spans['14'],
    highestFret,
    open: options.open ?? false,
    rootless: options.rootless ?? false,
  });
  const stock = new Map<string, StockFingering[]>();
  for (const one of stockFingerings(chord, instrument, options.known, options.open ? 0 : 1)) {
    const frets = fretsText(one.frets);
    stock.set(frets, [...(stock.get(frets) ?? []), one]);
  }
  const enumerated = new Set(found.map(({ frets }) => fretsText(frets)));
  // What a player holds counts as held, though no hand of ours would reach it.
  const held = [...stock.values()].flatMap((ways): Voicing[] => {
    const own = ways.find(({ source }) => source === 'own');
    if (!own || enumerated.has(fretsText(own.frets))) return [];
    return own.frets.some((at) => at !== null && at > highestFret)
      ? []
      : [{ frets: own.frets, leavesOut: [] }];
  });
  const ranked = [...found, ...held].flatMap((voicing) => {
    const ways = stock.get(fretsText(voicing.frets)) ?? [];
    return shapeOf(voicing, chord, instrument, { ...options, hand }, ways);
  });
  return ranked.sort(
    (one, other) => one.effort - other.effort || compareFrets(one.fingering, other.fingering),
  );
}

/** A voicing with all its fingers; none where the hand can hold it in no way. */
function shapeOf(
  voicing: Voicing,
  chord: Chord,
  instrument: Instrument,
  options: ShapeOptions & { readonly hand: PlayerHand },
  stock: readonly StockFingering[],
): RankedShape[] {
  const stroke = options.open ? 'ring' : 'chop';
  const priced = (fingering: Fingering): PricedFingering => {
    const parts = effortParts(fingering, chord, instrument, {
      leavesOut: voicing.leavesOut,
      stroke,
      hand: options.hand,
    });
    return { fingering, parts, effort: effortOf(parts) };
  };
  const enumerated = fingeringsOf(voicing.frets, instrument, options.hand, 'any').map(priced);
  enumerated.sort((one, other) => one.effort - other.effort || fingersUsed(one) - fingersUsed(other));
  const own = stock.find(({ source }) => source === 'own');
  const cheapest = enumerated[0];
  const first = own ? unsurcharged(priced(own), cheapest) : cheapest;
  if (!first) return [];
  return [
    {
      fingering: { ...first.fingering, shape: null, remark: leavesOutText(voicing.leavesOut) },
      effort: first.effort,
      parts: first.parts,
      alternatives: enumerated
        .filter(({ fingering }) => !sameFingering(fingering, first.fingering))
        .map(({ fingering, effort }) => ({ fingers: fingering.fingers, effort })),
      stock: stock.length > 0,
    },
  ];
}

interface PricedFingering {
  readonly fingering: Fingering;
  readonly effort: number;
  readonly parts: readonly EffortPart[];
}

/** A player's own fingers at no more than the effort of those that the model would take. */
function unsurcharged(own: PricedFingering, cheapest: PricedFingering | undefined): PricedFingering {
  return cheapest && cheapest.effort < own.effort ? { ...cheapest, fingering: own.fingering } : own;
}

/** The sum of the finger numbers: among equals the strong fingers serve. */
function fingersUsed({ fingering }: PricedFingering): number {
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
