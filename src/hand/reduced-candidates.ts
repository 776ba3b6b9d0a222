import type { Chord } from '../theory/chord.js';
import { type Candidate, type CandidateOptions, contextOf, inRange, sorted } from './candidate.js';
import { effortOf, effortParts, effortPrices } from './effort.js';
import type { Frets } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import { isTooHigh } from './home.js';
import type { Instrument } from './instrument.js';
import { reducedText } from './shapes.js';
import { stockFingerings } from './stock.js';
import { reducedVoicings } from './voicing.js';

/** The most that are kept, the least effort first. */
const mostReduced = 12;

/** Reduced voicings; those that are part of a stock shape come before others. */
export function reducedCandidates(
  chord: Chord,
  instrument: Instrument,
  options: CandidateOptions,
): Candidate[] {
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
          own: margin + effortOf(effortParts(fingering, chord, instrument, contextOf(options))),
        }),
      );
    });
  return sorted(candidates).slice(0, mostReduced);
}

/** Whether a stock shape lies low enough, but wider than this hand reaches. */
export function isOutOfReach(chord: Chord, instrument: Instrument, options: CandidateOptions): boolean {
  return stockFingerings(chord, instrument, options.shapes).some(
    (one) =>
      inRange(one, options) &&
      !isTooHigh(one.frets, options.place) &&
      fingeringsOf(one.frets, instrument, options.hand).length === 0,
  );
}
