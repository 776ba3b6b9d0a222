import { type Chord, chordName } from '../theory/chord.js';
import type { Candidate, CandidateOptions } from './candidate.js';
import { candidatesFor } from './candidates.js';
import { type Fingering, fretsText } from './fingering.js';
import type { Instrument } from './instrument.js';
import { type Motion, motion } from './motion.js';
import { type MotionCosts, motionCosts, type Stances } from './motion-cost.js';
import type { Prices } from './prices.js';
import type { CostTable } from './solve/problem.js';

/** All ways to play a chord: those that a plan may choose, and after them those that are only shown. */
interface Ways {
  readonly choosable: readonly Candidate[];
  readonly all: readonly Candidate[];
}

/**
 * Candidates by chord, and costs by pair of lists of candidates, each worked out once: a list is the same one as long
 * as it is the same array.
 */
export class PlanTables {
  private readonly ways = new Map<string, Ways>();
  private readonly motions = new Map<Fingering, Map<Fingering, Motion>>();
  private readonly costs: MotionCosts;
  private readonly known = new Map<readonly Candidate[], Map<readonly Candidate[], CostTable>>();
  private readonly stances = new Map<readonly Candidate[], Stances>();
  private readonly singles = new Map<Candidate, readonly Candidate[]>();

  constructor(
    private readonly instrument: Instrument,
    private readonly options: CandidateOptions & { readonly prices: Prices },
  ) {
    this.costs = motionCosts(instrument, options.prices);
  }

  /** The candidates of a chord that a plan may choose. */
  candidates(chord: Chord): readonly Candidate[] {
    return this.waysOf(chord).choosable;
  }

  /** The candidates of a chord, and after them the ways that are shown, but that no plan takes. */
  all(chord: Chord): readonly Candidate[] {
    return this.waysOf(chord).all;
  }

  private waysOf(chord: Chord): Ways {
    const name = chordName({ ...chord, bass: null });
    const known = this.ways.get(name);
    if (known) return known;
    const found = candidatesFor(chord, this.instrument, this.options);
    const choosable = found.filter((one) => !one.onlyOffered);
    const offered = found.filter((one) => one.onlyOffered);
    const ways = { choosable, all: offered.length === 0 ? choosable : [...choosable, ...offered] };
    this.ways.set(name, ways);
    return ways;
  }

  /** The candidates of a chord; those with the frets to start from, where they are given and among them. */
  domain(chord: Chord, start: string | null): readonly Candidate[] {
    const all = this.candidates(chord);
    const started =
      start === null ? [] : this.all(chord).filter((one) => fretsText(one.fingering.frets) === start);
    return started.length > 0 ? started : all;
  }

  /** A list of one candidate, the same list each time. */
  alone(candidate: Candidate): readonly Candidate[] {
    const list = this.singles.get(candidate) ?? [candidate];
    this.singles.set(candidate, list);
    return list;
  }

  /** The costs of the motions from each of some candidates (rows) to each of others (columns), ms. */
  steps(from: readonly Candidate[], to: readonly Candidate[]): CostTable {
    const row = this.known.get(from) ?? new Map<readonly Candidate[], CostTable>();
    this.known.set(from, row);
    const table = row.get(to) ?? this.costs.table(this.stancesOf(from), this.stancesOf(to));
    row.set(to, table);
    return table;
  }

  private stancesOf(list: readonly Candidate[]): Stances {
    const stances = this.stances.get(list) ?? this.costs.stances(list.map(({ fingering }) => fingering));
    this.stances.set(list, stances);
    return stances;
  }

  motion(from: Candidate, to: Candidate): Motion {
    const row = this.motions.get(from.fingering) ?? new Map<Fingering, Motion>();
    this.motions.set(from.fingering, row);
    const known =
      row.get(to.fingering) ?? motion(from.fingering, to.fingering, this.instrument, this.options.prices);
    row.set(to.fingering, known);
    return known;
  }
}
