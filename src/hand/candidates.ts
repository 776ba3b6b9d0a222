import type { Chord } from '../theory/chord.js';
import { effortOf, effortParts, effortPrices, type StrokeEnd } from './effort.js';
import { type Fingering, type Frets, fretsText } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import { begins, type HandPlace, isTooHigh, placePrices } from './home.js';
import { fret, type Instrument } from './instrument.js';
import type { PlayerHand } from './player-hand.js';
import { leavesOutText, reducedText, usualHighestFret } from './shapes.js';
import { openRemark, type StockFingering, type StockShape, stockFingerings } from './stock.js';
import { reducedVoicings, type Voicing, voicings } from './voicing.js';

/** A way to play a chord that a plan may choose, with its own effort in whole ms. */
export interface Candidate {
  readonly fingering: Fingering;
  readonly own: number;
  /** Shown among the alternatives, never chosen by the plan: a form with an open course where closed ones are wanted. */
  readonly onlyOffered: boolean;
  /** Whether courses are left out because the hand does not reach the whole. */
  readonly reduced: boolean;
}

/** What a plan may choose from. */
export interface CandidateOptions {
  readonly hand: PlayerHand;
  /** `stock`: the shapes the trade plays, the enumeration where a quality has none; `any`: everything. */
  readonly voicings: 'stock' | 'any';
  readonly lowestFret: number;
  readonly highestFret: number;
  /** The table of stock shapes: the trade's, or those this hand knows, with its own. */
  readonly shapes: readonly StockShape[];
  /** Whether open courses may sound, for songs that let strings ring. */
  readonly open: boolean;
  /** Where on the neck the hand is wanted; low, no key being known, when absent. */
  readonly place?: HandPlace;
}

/** The most candidates that are kept of an enumeration, the least effort first. */
const mostCandidates = 40;
const mostFallback = 12;

/**
 * The candidates for a chord, the least effort first. Where stock shapes that begin low enough are wider than this hand
 * reaches, reduced ones of two or three courses come in; there are none at all only where even the root is out of range.
 */
export function candidatesFor(
  chord: Chord,
  instrument: Instrument,
  options: CandidateOptions,
): readonly Candidate[] {
  const plain: Chord = { ...chord, bass: null };
  const stock = options.voicings === 'stock' ? stockCandidates(plain, instrument, options) : [];
  const has = stock.some((one) => !one.onlyOffered);
  const found = has && !options.open ? [] : enumeratedCandidates(plain, instrument, options);
  const known = new Set(stock.map(({ fingering }) => fretsText(fingering.frets)));
  const fresh = found.filter(({ fingering }) => !known.has(fretsText(fingering.frets)));
  const added = has
    ? fresh.filter(({ fingering }) => fingering.frets.some((at) => at === 0)).slice(0, mostFallback)
    : fresh.slice(0, options.voicings === 'any' ? mostCandidates : mostFallback);
  const whole = [...stock, ...added];
  const serves = whole.some((one) => !one.onlyOffered && !isTooHigh(one.fingering.frets, options.place));
  const isEnough = serves || (has && !isOutOfReach(plain, instrument, options));
  return sorted(isEnough ? whole : [...whole, ...reducedCandidates(plain, instrument, options)]);
}

/** Whether a stock shape lies low enough, but wider than this hand reaches. */
function isOutOfReach(chord: Chord, instrument: Instrument, options: CandidateOptions): boolean {
  return stockFingerings(chord, instrument, options.shapes).some(
    (one) =>
      inRange(one, options) &&
      !isTooHigh(one.frets, options.place) &&
      fingeringsOf(one.frets, instrument, options.hand).length === 0,
  );
}

function inRange(
  fingering: Pick<Fingering, 'frets'>,
  { lowestFret, highestFret }: CandidateOptions,
): boolean {
  return fingering.frets.every((at) => at === null || at === 0 || (at >= lowestFret && at <= highestFret));
}

/**
 * Stock voicings with the fingers they are usually played with, the player's own before the trade's; with any that the
 * hand can do where it cannot do those, at a margin, and where the usual ones are only computed. Shapes that are not the plainest of their chord cost a margin too.
 */
function stockCandidates(chord: Chord, instrument: Instrument, options: CandidateOptions): Candidate[] {
  const byFrets = new Map<string, StockFingering[]>();
  for (const one of stockFingerings(chord, instrument, options.shapes, 0)) {
    const isLow = begins(one.frets) <= lowForms;
    if (inRange(one, options) && (one.use !== 'low' || isLow))
      byFrets.set(fretsText(one.frets), [...(byFrets.get(fretsText(one.frets)) ?? []), one]);
  }
  // A form that stands in for the family's own never displaces it: not for G, whose own lies low, but for F.
  const hasPlain = [...byFrets.values()].some(
    ([one]) => one?.use === null && !one.frets.includes(fret(0)) && begins(one.frets) <= lowEnough,
  );
  const candidates = [...byFrets.values()].flatMap((known) => {
    const own = known.filter(({ source }) => source === 'own');
    const models = own.length > 0 ? own : known;
    const model = models[0] as StockFingering;
    const isOpen = model.frets.some((at) => at === 0);
    const possible = fingeringsOf(model.frets, instrument, options.hand);
    const usual = isOpen || model.source === 'computed' ? possible : possible.filter(isOneOf(models));
    const margin = (usual.length > 0 ? 0 : effortPrices.unusualFingers) + usePrice(model);
    return (usual.length > 0 ? usual : possible).map(
      (fingering): Candidate => ({
        fingering: { ...fingering, shape: model.shape, remark: model.remark },
        reduced: false,
        onlyOffered:
          (isOpen && !options.open) || model.use === 'offered' || (model.use === 'stand-in' && hasPlain),
        own:
          effortOf(effortParts(fingering, chord, instrument, [], strokeOf(options), options.place)) + margin,
      }),
    );
  });
  return sorted(candidates);
}

/** The highest fret at which a form for the low frets begins, and the highest at which a plain shape makes a stand-in needless. */
const lowForms = 6;
const lowEnough = placePrices.freeUpTo;

function usePrice({ use, frets }: StockFingering): number {
  if (use === null) return 0;
  const above = use === 'low' ? Math.max(0, begins(frets) - 2) * effortPrices.lowFormPerFret : 0;
  return effortPrices.shapeUse[use] + above;
}

function isOneOf(known: readonly StockFingering[]): (fingering: Fingering) => boolean {
  return ({ fingers }) =>
    known.some((one) => one.fingers.every((finger, course) => finger === fingers[course]));
}

function enumeratedCandidates(chord: Chord, instrument: Instrument, options: CandidateOptions): Candidate[] {
  const found = voicings(chord, instrument, {
    reach: options.hand.spans['14'],
    highestFret: Math.min(options.highestFret, instrument.frets),
    open: options.open,
  });
  const candidates = found
    .filter((voicing) => inRange(voicing, options))
    .flatMap((voicing) =>
      fingeringsOf(voicing.frets, instrument, options.hand).map(
        (fingering): Candidate => ({
          fingering: { ...fingering, remark: remarkOf(voicing) },
          reduced: false,
          onlyOffered: false,
          own: effortOf(
            effortParts(fingering, chord, instrument, voicing.leavesOut, strokeOf(options), options.place),
          ),
        }),
      ),
    );
  return sorted(candidates);
}

/** Reduced voicings; those that are part of a stock shape come before others. */
function reducedCandidates(chord: Chord, instrument: Instrument, options: CandidateOptions): Candidate[] {
  const shapes = stockFingerings(chord, instrument, options.shapes).map(({ frets }) => frets);
  const isPart = (frets: Frets): boolean =>
    shapes.some((shape) => frets.every((at, course) => at === null || at === shape[course]));
  const candidates = reducedVoicings(chord, instrument, {
    reach: options.hand.spans['14'],
    highestFret: Math.min(options.highestFret, instrument.frets),
    open: false,
  })
    .filter((voicing) => inRange(voicing, options))
    .flatMap((voicing) => {
      const margin = effortPrices.reducedShape + (isPart(voicing.frets) ? 0 : effortPrices.unusualFingers);
      return fingeringsOf(voicing.frets, instrument, options.hand).map(
        (fingering): Candidate => ({
          fingering: { ...fingering, remark: reducedText(voicing, chord, instrument) },
          reduced: true,
          onlyOffered: false,
          own:
            margin +
            effortOf(effortParts(fingering, chord, instrument, [], strokeOf(options), options.place)),
        }),
      );
    });
  return sorted(candidates).slice(0, mostFallback);
}

function strokeOf({ open }: CandidateOptions): StrokeEnd {
  return open ? 'ring' : 'chop';
}

function remarkOf({ frets, leavesOut }: Voicing): string {
  const parts = [frets.some((at) => at === 0) ? openRemark : '', leavesOutText(leavesOut)];
  return parts.filter((part) => part !== '').join(', ');
}

/** By effort; among equals the strong fingers, so that the order is the same in every key. */
function sorted(candidates: Candidate[]): Candidate[] {
  const weak = ({ fingering }: Candidate): number =>
    fingering.fingers.reduce((sum: number, finger) => sum + (finger ?? 0), 0);
  return candidates.sort((one, other) => one.own - other.own || weak(one) - weak(other));
}

/** The frets a plan keeps within unless told otherwise: closed shapes, below where short strings lose their bark. */
export const usualRange = { lowestFret: 1, highestFret: usualHighestFret } as const;
