import { type Chord, chordName } from '../theory/chord.js';
import { type Candidate, type CandidateOptions, candidatesFor, usualRange } from './candidates.js';
import { type ChordChange, plainName } from './changes.js';
import { type Fingering, fingersText, fretsText } from './fingering.js';
import { type HomeWish, homesOf } from './home.js';
import type { Instrument } from './instrument.js';
import { type Motion, motion, type Prices, usualPrices } from './motion.js';
import { type PlayerHand, usualHand } from './player-hand.js';
import { solveFree } from './solve/free.js';
import { solveHardest } from './solve/hardest.js';
import { type RingProblem, ringSteps, timesOf } from './solve/problem.js';
import { solveSteady } from './solve/steady.js';
import { type StockShape, stockShapes } from './stock.js';

/** Another way to play a chord, and what the pass would cost more by it, all else staying as it is. */
export interface Alternative {
  readonly fingering: Fingering;
  readonly moreMs: number;
}

/** One chord of a hand plan. `fingering` is `null` when no shape is known; `motion` when there is nothing to come from. */
export interface PlannedChange extends ChordChange {
  readonly fingering: Fingering | null;
  readonly motion: Motion | null;
  /** Best first, without the chosen one. */
  readonly alternatives: readonly Alternative[];
}

/** A hand plan: one fingering for every chord of a pass, the least effort as a whole. */
export interface HandPlan {
  readonly instrument: Instrument;
  readonly changes: readonly PlannedChange[];
  /** The sum of all motions in ms, the way back from the last to the first included. */
  readonly totalMs: number;
}

/** How a plan is made. */
export interface PlanOptions {
  readonly hand: PlayerHand;
  readonly prices: Prices;
  readonly voicings: 'stock' | 'any';
  /** `steady`: a chord keeps one shape throughout a written section; `free`: each time anew. */
  readonly hold: 'steady' | 'free';
  /** `total`: the least sum; `hardest`: the hardest single change as easy as can be. */
  readonly least: 'total' | 'hardest';
  /** Frets of the first chord, when they are given. */
  readonly start: string | null;
  readonly lowestFret: number;
  readonly highestFret: number;
  /** The stock shapes there are to choose from. */
  readonly shapes: readonly StockShape[];
  /** Whether open courses may sound, for songs that let strings ring. */
  readonly open: boolean;
  /** Shapes the player chose: the plan goes round them. */
  readonly picks: readonly ShapePick[];
  /** Where on the neck the player wants the hand. */
  readonly home: HomeWish;
}

/** A shape that the player chose for a chord of a written section, by its name; forms that are only offered can be chosen too. */
export interface ShapePick {
  readonly section: string;
  readonly chord: string;
  readonly frets: string;
  readonly fingers: string;
}

/** How a plan is made unless told otherwise. */
export const usualPlan: PlanOptions = {
  hand: usualHand,
  prices: usualPrices,
  voicings: 'stock',
  hold: 'steady',
  least: 'total',
  start: null,
  ...usualRange,
  shapes: stockShapes,
  open: false,
  picks: [],
  home: 'low',
};

/** Alternatives that are kept of each chord. */
const mostAlternatives = 6;

/**
 * Plans the hand for a pass that goes round: the sum of all motions and of each fingering's own effort is the
 * least there is, exactly. Chords without any shape are passed over.
 */
export function planHand(
  changes: readonly ChordChange[],
  instrument: Instrument,
  options: Partial<PlanOptions> = {},
): HandPlan {
  const how = { ...usualPlan, ...options };
  const place = { wish: how.home, homes: homesOf(changes, instrument) };
  const tables = new PlanTables(instrument, { ...how, place });
  const playable = changes.filter((change) => tables.candidates(change.chord).length > 0);
  const places = variablesOf(playable, how);
  const domains = places.chords.map((chord, variable) =>
    pickedFrom(
      tables,
      chord,
      how.picks.find((pick) => pick.section === places.sections[variable] && pick.chord === plainName(chord)),
      variable === places.ring[0] ? how.start : null,
    ),
  );
  const problem: RingProblem = {
    own: domains.map((list) => list.map((one) => one.own)),
    ring: places.ring,
    kinds: kindsOf(domains),
    between: (from, candidate, to, next) =>
      tables.cost(
        (domains[from] as Candidate[])[candidate] as Candidate,
        (domains[to] as Candidate[])[next] as Candidate,
      ),
  };
  const solve = how.hold === 'free' ? solveFree : solveSteady;
  const choice =
    playable.length === 0 ? [] : how.least === 'hardest' ? solveHardest(problem, solve) : solve(problem);
  const chosenOf = domains.map((list, variable) => list[choice[variable] as number] as Candidate);
  const lists = places.chords.map((chord) => [...tables.candidates(chord), ...tables.offers(chord)]);
  const alternatives = alternativesOf(problem, chosenOf, lists, tables);
  const chosen = places.ring.map((variable) => chosenOf[variable] as Candidate);
  const planned = new Map<ChordChange, PlannedChange>();
  let totalMs = 0;
  playable.forEach((change, index) => {
    const before = chosen[(index + playable.length - 1) % playable.length] as Candidate;
    const here = chosen[index] as Candidate;
    const way = playable.length === 1 ? null : tables.motion(before, here);
    totalMs += way?.ms ?? 0;
    planned.set(change, {
      ...change,
      fingering: here.fingering,
      motion: way,
      alternatives: alternatives[places.ring[index] as number] ?? [],
    });
  });
  return {
    instrument,
    changes: changes.map(
      (change) => planned.get(change) ?? { ...change, fingering: null, motion: null, alternatives: [] },
    ),
    totalMs,
  };
}

/** The variables of a plan: steady, one for each chord of a written section; free, one for each change. */
function variablesOf(
  changes: readonly ChordChange[],
  { hold }: PlanOptions,
): { ring: number[]; chords: Chord[]; sections: string[] } {
  const known = new Map<string, number>();
  const chords: Chord[] = [];
  const sections: string[] = [];
  const ring = changes.map((change, index) => {
    const name = hold === 'free' ? String(index) : plainName(change.chord);
    const variable = known.get(name) ?? chords.length;
    if (variable === chords.length) {
      chords.push(change.chord);
      sections.push(change.section);
    }
    known.set(name, variable);
    return variable;
  });
  return { ring, chords, sections };
}

/** What a plan may choose from for a chord: only what was picked, where something was and the hand can hold it. */
function pickedFrom(
  tables: PlanTables,
  chord: Chord,
  pick: ShapePick | undefined,
  start: string | null,
): readonly Candidate[] {
  const picked = pick && [...tables.candidates(chord), ...tables.offers(chord)].filter(isPick(pick));
  return picked && picked.length > 0 ? picked : tables.domain(chord, start);
}

function isPick(pick: ShapePick): (one: Candidate) => boolean {
  return ({ fingering }) =>
    fretsText(fingering.frets) === pick.frets && fingersText(fingering.fingers) === pick.fingers;
}

/** A number for each domain, the same for the same one. */
function kindsOf(domains: readonly (readonly Candidate[])[]): number[] {
  const known = new Map<readonly Candidate[], number>();
  return domains.map((list) => {
    const kind = known.get(list) ?? known.size;
    known.set(list, kind);
    return kind;
  });
}

/**
 * For each variable, what each other way would cost more, everything else staying; best first. Ways that are only
 * offered come into it here.
 */
function alternativesOf(
  problem: RingProblem,
  chosen: readonly Candidate[],
  lists: readonly (readonly Candidate[])[],
  tables: PlanTables,
): Alternative[][] {
  const times = timesOf(problem);
  const more = lists.map((list, variable) =>
    list.map((one) => (times[variable] as number) * (one.own - (chosen[variable] as Candidate).own)),
  );
  for (const { from, to, times: often } of ringSteps(problem.ring)) {
    const [before, after] = [chosen[from] as Candidate, chosen[to] as Candidate];
    const base = tables.cost(before, after);
    const add = (variable: number, candidate: number, cost: number): void => {
      const row = more[variable] as number[];
      row[candidate] = (row[candidate] as number) + often * (cost - base);
    };
    lists[from]?.forEach((other, candidate) => {
      add(from, candidate, tables.cost(other, after));
    });
    lists[to]?.forEach((other, candidate) => {
      add(to, candidate, tables.cost(before, other));
    });
  }
  return lists.map((list, variable) =>
    list
      .map(({ fingering }, candidate) => ({
        fingering,
        candidate,
        moreMs: more[variable]?.[candidate] as number,
      }))
      .filter(({ candidate }) => list[candidate] !== chosen[variable])
      .sort((one, other) => one.moreMs - other.moreMs || one.candidate - other.candidate)
      .slice(0, mostAlternatives)
      .map(({ fingering, moreMs }) => ({ fingering, moreMs })),
  );
}

/** Candidates by chord and costs by pair of fingerings, each worked out once. */
class PlanTables {
  private readonly known = new Map<
    string,
    { choosable: readonly Candidate[]; offered: readonly Candidate[] }
  >();
  private readonly motions = new Map<Fingering, Map<Fingering, Motion>>();

  constructor(
    private readonly instrument: Instrument,
    private readonly options: PlanOptions & CandidateOptions,
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
