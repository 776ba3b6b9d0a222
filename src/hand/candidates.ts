import type { Chord } from '../theory/chord.js';
import { effortOf, effortParts, effortPrices, type StrokeEnd } from './effort.js';
import { type Fingering, fretsText } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import type { Instrument } from './instrument.js';
import type { PlayerHand } from './player-hand.js';
import { leavesOutText, usualHighestFret } from './shapes.js';
import { openRemark, type StockFingering, type StockShape, stockFingerings } from './stock.js';
import { type Voicing, voicings } from './voicing.js';

/** A way to play a chord that a plan may choose, with its own effort in whole ms. */
export interface Candidate {
  readonly fingering: Fingering;
  readonly own: number;
  /** Shown among the alternatives, never chosen by the plan: a form with an open course where closed ones are wanted. */
  readonly onlyOffered: boolean;
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
}

/** The most candidates that are kept of an enumeration, the least effort first. */
const mostCandidates = 40;
const mostFallback = 12;

/** The candidates for a chord, the least effort first; none where this hand can hold no voicing of it. */
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
  return sorted([...stock, ...added]);
}

function inRange(
  fingering: Pick<Fingering, 'frets'>,
  { lowestFret, highestFret }: CandidateOptions,
): boolean {
  return fingering.frets.every((at) => at === null || at === 0 || (at >= lowestFret && at <= highestFret));
}

/** Stock voicings with every fingering the hand can do; fingers that are not the usual ones, and shapes played seldom, cost a margin. */
function stockCandidates(chord: Chord, instrument: Instrument, options: CandidateOptions): Candidate[] {
  const byFrets = new Map<string, StockFingering[]>();
  for (const one of stockFingerings(chord, instrument, options.shapes, 0)) {
    if (inRange(one, options))
      byFrets.set(fretsText(one.frets), [...(byFrets.get(fretsText(one.frets)) ?? []), one]);
  }
  const candidates = [...byFrets.values()].flatMap((known) => {
    const model = known[0] as StockFingering;
    const isOpen = model.frets.some((at) => at === 0);
    return fingeringsOf(model.frets, instrument, options.hand).map((fingering): Candidate => {
      const usual = known.some((one) =>
        one.fingers.every((finger, course) => finger === fingering.fingers[course]),
      );
      const margin =
        (usual || isOpen ? 0 : effortPrices.unusualFingers) + (model.seldom ? effortPrices.seldomShape : 0);
      return {
        fingering: { ...fingering, shape: model.shape, remark: model.remark },
        onlyOffered: isOpen && !options.open,
        own: effortOf(effortParts(fingering, chord, instrument, [], strokeOf(options))) + margin,
      };
    });
  });
  return sorted(candidates);
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
          onlyOffered: false,
          own: effortOf(effortParts(fingering, chord, instrument, voicing.leavesOut, strokeOf(options))),
        }),
      ),
    );
  return sorted(candidates);
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
