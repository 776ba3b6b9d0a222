import type { Chord } from '../theory/chord.js';
import { type Candidate, type CandidateOptions, contextOf, inRange, sorted } from './candidate.js';
import { effortOf, effortParts, effortPrices } from './effort.js';
import type { Frets } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import { isTooHigh } from './home.js';
import type { Instrument } from './instrument.js';

import { stockFingerings } from './stock.js';
import { reducedVoicings } from './voicing.js';
import { reducedText } from './voicing-remark.js';

/** The most that are kept, the least effort first. */
const mostReduced = 12;

/**
 * Reduced voicings that the hand can hold; those that are part of a plain stock shape come before others. They keep what
 * says most of the chord where the hand reaches that low enough, otherwise the root.
 */
export function reducedCandidates(
  chord: Chord,
  instrument: Instrument,
  options: CandidateOptions,
): Candidate[] {
  const found = reducedTo('heart', chord, instrument, options);
  const isLow = ({ fingering }: Candidate): boolean => !isTooHigh(fingering.frets, options.place);
  return found.some(isLow) ? found : [...found, ...reducedTo('root', chord, instrument, options)];
}

function reducedTo(
  keeps: 'heart' | 'root',
  chord: Chord,
  instrument: Instrument,
  options: CandidateOptions,
): Candidate[] {
  const shapes = stockFingerings(chord, instrument, options.shapes)
    .filter(({ use }) => use === null)
    .map(({ frets }) => frets);
  const isPart = (frets: Frets): boolean =>
    shapes.some((shape) => frets.every((at, course) => at === null || at === shape[course]));
  const search = {
    reach: options.hand.spans['14'],
    highestFret: Math.min(options.highestFret, instrument.frets),
  };
  const candidates = reducedVoicings(chord, instrument, search, keeps)
    .filter((voicing) => inRange(voicing, options))
    .flatMap((voicing) => {
      const left = voicing.frets.filter((at) => at === null).length;
      const margin =
        effortPrices.reducedCourse * left + (isPart(voicing.frets) ? 0 : effortPrices.unusualFingers);
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
