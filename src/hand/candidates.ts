import type { Chord } from '../theory/chord.js';
import { type Candidate, type CandidateOptions, contextOf, inRange, sorted } from './candidate.js';
import { effortOf, effortParts } from './effort.js';
import { fretsText } from './fingering.js';
import { fingeringsOf } from './fingerings.js';
import { isTooHigh } from './home.js';
import type { Instrument } from './instrument.js';
import { natural } from './natural-fingers.js';
import { isOutOfReach, reducedCandidates } from './reduced-candidates.js';

import { openRemark, stockFingerings } from './stock.js';
import { stockCandidates } from './stock-candidates.js';
import { type Voicing, voicings } from './voicing.js';
import { leavesOutText } from './voicing-remark.js';

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
  const isLow = (one: Candidate): boolean =>
    !one.onlyOffered && !isTooHigh(one.fingering.frets, options.place);
  // Where the trade's shapes all lie too high others come in; what is only too wide is reduced, what is not known is left.
  const needed = !has || !(stock.some(isLow) || tradeHasLow(plain, instrument, options));
  const found = needed ? enumeratedCandidates(plain, instrument, options) : [];
  const known = new Set(stock.map(({ fingering }) => fretsText(fingering.frets)));
  const fresh = found.filter(({ fingering }) => !known.has(fretsText(fingering.frets)));
  const whole = [...stock, ...fresh.slice(0, options.voicings === 'any' ? mostCandidates : mostFallback)];
  const serves = whole.some(isLow);
  const isEnough = serves || (has && !isOutOfReach(plain, instrument, options));
  const all = isEnough ? whole : [...whole, ...reducedCandidates(plain, instrument, options)];
  // What begins too high is used only if nothing lower will do; it is always shown.
  return sorted(all.map((one) => (all.some(isLow) && !isLow(one) ? { ...one, onlyOffered: true } : one)));
}

/** Whether the trade plays a chord low, whatever this player knows or reaches of it. */
function tradeHasLow(chord: Chord, instrument: Instrument, options: CandidateOptions): boolean {
  return stockFingerings(chord, instrument).some(
    (one) => inRange(one, options) && !isTooHigh(one.frets, options.place),
  );
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
      natural(fingeringsOf(voicing.frets, instrument, options.hand), instrument, options.hand).map(
        (fingering): Candidate => ({
          fingering: { ...fingering, remark: remarkOf(voicing) },
          reduced: false,
          onlyOffered: false,
          own: effortOf(
            effortParts(fingering, chord, instrument, {
              ...contextOf(options),
              leavesOut: voicing.leavesOut,
            }),
          ),
        }),
      ),
    );
  return sorted(candidates);
}

function remarkOf({ frets, leavesOut }: Voicing): string {
  const parts = [frets.some((at) => at === 0) ? openRemark : '', leavesOutText(leavesOut)];
  return parts.filter((part) => part !== '').join(', ');
}
