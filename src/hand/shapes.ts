import type { Chord } from '../theory/chord.js';
import type { Candidate } from './candidate.js';
import { type EffortPart, effortOf, effortParts } from './effort.js';
import { type Fingering, fretsText, sameFingering } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import type { Instrument } from './instrument.js';
import { type PlayerHand, usualHand } from './player-hand.js';
import { isOutOfReach, reducedCandidates } from './reduced-candidates.js';
import { type StockFingering, type StockShape, stockFingerings, stockShapes } from './stock.js';
import { usualHighestFret, type Voicing, voicings } from './voicing.js';
import { leavesOutText } from './voicing-remark.js';

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
  /** Whether the trade plays it by habit, and whether it is the plain shape of its chord, for which no other stands in. */
  readonly stock: boolean;
  readonly plain: boolean;
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
  const reduced = reducedShapes(chord, instrument, { ...options, hand, highestFret }, ranked.length > 0);
  const whole = new Set(ranked.map(({ fingering }) => fretsText(fingering.frets)));
  const fresh = reduced.filter(({ fingering }) => !whole.has(fretsText(fingering.frets)));
  return [...ranked, ...fresh].sort(
    (one, other) => one.effort - other.effort || compareFrets(one.fingering, other.fingering),
  );
}

/** Reduced shapes, for a hand that is too small for a stock shape, or that holds nothing else; each with its best fingers. */
function reducedShapes(
  chord: Chord,
  instrument: Instrument,
  {
    hand,
    highestFret,
    known = stockShapes,
  }: ShapeOptions & { readonly hand: PlayerHand; readonly highestFret: number },
  hasWhole: boolean,
): RankedShape[] {
  const options = {
    hand,
    highestFret,
    lowestFret: 1,
    shapes: known,
    open: false,
    voicings: 'stock',
  } as const;
  if (hasWhole && !isOutOfReach(chord, instrument, options)) return [];
  const byFrets = new Map<string, Candidate[]>();
  for (const one of reducedCandidates(chord, instrument, options)) {
    const frets = fretsText(one.fingering.frets);
    byFrets.set(frets, [...(byFrets.get(frets) ?? []), one]);
  }
  return [...byFrets.values()].flatMap(([first, ...others]) =>
    first
      ? {
          fingering: first.fingering,
          effort: first.own,
          parts: [{ name: 'reduced', ms: first.own }],
          alternatives: others.map(({ fingering, own }) => ({ fingers: fingering.fingers, effort: own })),
          stock: false,
          plain: false,
        }
      : [],
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
      plain: stock.some(({ use }) => use === null),
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
