import type { Chord } from '../theory/chord.js';
import { type Candidate, type CandidateOptions, contextOf, inRange, sorted } from './candidate.js';
import { effortOf, effortParts, effortPrices } from './effort.js';
import { type Fingering, fretsText } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import { begins, liesNear } from './home.js';
import { fret, type Instrument } from './instrument.js';
import { natural } from './natural-fingers.js';
import { type StockFingering, stockFingerings } from './stock.js';

/**
 * Stock voicings with the fingers they are usually played with; with any that the hand can do where it cannot do those,
 * at a margin, and where the usual ones are only computed. A player's own are taken as they are given, and cost nothing to hold.
 * Shapes that are not the plainest of their chord cost a margin.
 */
export function stockCandidates(
  chord: Chord,
  instrument: Instrument,
  options: CandidateOptions,
): Candidate[] {
  const byFrets = new Map<string, StockFingering[]>();
  for (const one of stockFingerings(chord, instrument, options.shapes, 0)) {
    const isLow = begins(one.frets) <= lowForms;
    if (inRange(one, options) && (one.use !== 'low' || isLow))
      byFrets.set(fretsText(one.frets), [...(byFrets.get(fretsText(one.frets)) ?? []), one]);
  }
  // A form that replaces the family's own shape is used only where that shape lies high: for F, but not for G.
  const hasPlain = [...byFrets.values()].some(
    ([one]) =>
      one?.use === null &&
      (options.open || !one.frets.includes(fret(0))) &&
      liesNear(one.frets, options.place) &&
      fingeringsOf(one.frets, instrument, options.hand).length > 0,
  );
  const candidates = [...byFrets.values()].flatMap((known) => {
    const given = known.filter(
      ({ source, fingers }) =>
        source === 'own' &&
        !fingers.some((finger) => finger !== null && options.hand.without.includes(finger)),
    );
    const model = (given[0] ?? known[0]) as StockFingering;
    const isOpen = model.frets.some((at) => at === 0);
    const possible: readonly Fingering[] =
      given.length > 0 ? given : fingeringsOf(model.frets, instrument, options.hand);
    // The trade names fingers for what it plays closed; for the rest those serve that are easy to hold.
    const named = given.length === 0 && !isOpen && model.source !== 'computed';
    const usual = named
      ? possible.filter(isOneOf(known))
      : given.length > 0
        ? given
        : natural(possible, instrument, options.hand);
    const margin = (usual.length > 0 ? 0 : effortPrices.unusualFingers) + usePrice(model);
    const isFirst = isOneOf(known.slice(0, 1));
    const second = (one: Fingering): number =>
      named && usual.length > 0 && !isFirst(one) ? effortPrices.secondFingers : 0;
    return (usual.length > 0 ? usual : natural(possible, instrument, options.hand)).map(
      (fingering): Candidate => ({
        fingering: {
          frets: fingering.frets,
          fingers: fingering.fingers,
          shape: model.shape,
          remark: model.remark,
        },
        reduced: false,
        onlyOffered:
          (isOpen && !options.open) || model.use === 'offered' || (model.use === 'stand-in' && hasPlain),
        own:
          effortOf(
            effortParts(fingering, chord, instrument, {
              ...contextOf(options),
              given: given.length > 0,
            }),
          ) +
          margin +
          second(fingering),
      }),
    );
  });
  return sorted(candidates);
}

/** The highest fret at which a form for the low frets begins. */
const lowForms = 6;

function usePrice({ use, frets }: StockFingering): number {
  if (use === null) return 0;
  const above = use === 'low' ? Math.max(0, begins(frets) - 2) * effortPrices.lowFormPerFret : 0;
  return effortPrices.shapeUse[use] + above;
}

function isOneOf(known: readonly StockFingering[]): (fingering: Fingering) => boolean {
  return ({ fingers }) =>
    known.some((one) => one.fingers.every((finger, course) => finger === fingers[course]));
}
