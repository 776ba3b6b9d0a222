import { type Chord, chordName } from '../theory/chord.js';
import { type Candidate, type CandidateOptions, candidatesFor } from './candidates.js';
import { type Fingering, fretsText } from './fingering.js';
import type { Instrument } from './instrument.js';
import { type Motion, motion, type Prices } from './motion.js';

/** A number for each domain, the same for the same one. */
export function kindsOf(domains: readonly (readonly Candidate[])[]): number[] {
  const known = new Map<readonly Candidate[], number>();
  return domains.map((list) => {
    const kind = known.get(list) ?? known.size;
    known.set(list, kind);
    return kind;
  });
}

/** Candidates by chord and costs by pair of fingerings, each worked out once. */
export class PlanTables {
  private readonly known = new Map<
    string,
    { choosable: readonly Candidate[]; offered: readonly Candidate[] }
  >();
  private readonly motions = new Map<Fingering, Map<Fingering, Motion>>();

  constructor(
    private readonly instrument: Instrument,
    private readonly options: CandidateOptions & { readonly prices: Prices },
  ) {}

  candidates(chord: Chord): readonly Candidate[] {
    return this.found(chord).choosable;
  }

  /** Ways that are shown, but that no plan takes. */
  offers(chord: Chord): readonly Candidate[] {
    return this.found(chord).offered;
  }

  private found(chord: Chord) {
    const name = chordName({ ...chord, bass: null });
    const known = this.known.get(name);
    if (known) return known;
    const all = candidatesFor(chord, this.instrument, this.options);
    const split = {
      choosable: all.filter((one) => !one.onlyOffered),
      offered: all.filter((one) => one.onlyOffered),
    };
    this.known.set(name, split);
    return split;
  }

  /** The candidates of a chord; those with the frets to start from, where they are given and among them. */
  domain(chord: Chord, start: string | null): readonly Candidate[] {
    const all = this.candidates(chord);
    const started = start === null ? [] : all.filter((one) => fretsText(one.fingering.frets) === start);
    return started.length > 0 ? started : all;
  }

  motion(from: Candidate, to: Candidate): Motion {
    const row = this.motions.get(from.fingering) ?? new Map<Fingering, Motion>();
    this.motions.set(from.fingering, row);
    const known =
      row.get(to.fingering) ?? motion(from.fingering, to.fingering, this.instrument, this.options.prices);
    row.set(to.fingering, known);
    return known;
  }

  cost(from: Candidate, to: Candidate): number {
    return this.motion(from, to).ms;
  }
}
