import type { Chord } from '../theory/chord.js';
import { type Alternative, alternativesOf } from './alternatives.js';
import { type Candidate, usualRange } from './candidate.js';
import { type ChordChange, plainName } from './changes.js';
import { type Fingering, fingersText, fretsText } from './fingering.js';
import { type HomeWish, homesOf } from './home.js';
import type { Instrument } from './instrument.js';
import type { Motion } from './motion.js';
import { PlanTables } from './plan-tables.js';
import { type PlayerHand, usualHand } from './player-hand.js';
import { type Prices, usualPrices } from './prices.js';
import { solveFree } from './solve/free.js';
import { solveHardest } from './solve/hardest.js';
import type { RingProblem, Tie } from './solve/problem.js';
import { solveSteady } from './solve/steady.js';
import { type StockShape, stockShapes } from './stock.js';

/** One chord of a hand plan. `fingering` is `null` when no shape is known; `motion` when there is no fingering before it. */
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
  /** `steady`: a chord keeps one shape throughout a written section; `free`: each time again. */
  readonly hold: 'steady' | 'free';
  /** `total`: the least sum; `hardest`: the hardest single change as easy as can be. */
  readonly least: 'total' | 'hardest';
  /** Frets of the first chord, when they are given. */
  readonly start: string | null;
  readonly lowestFret: number;
  readonly highestFret: number;
  /** The stock shapes there are to choose from. */
  readonly shapes: readonly StockShape[];
  /** Whether open courses are allowed, for songs that let strings ring. */
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

/**
 * What a chord pays for each time it comes in a section where its fingering is not the one it has in the rest of the
 * song, ms. Ours: about what one change of position costs, so that a section has its own fingering only where that
 * saves a change for each time.
 */
export const leavesSongShape = 200;

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
  const lists = places.chords.map((chord) => tables.all(chord));
  const problem: RingProblem = {
    ties: tiesOf(places.songChords, places.times, domains, lists),
    own: domains.map((list) => list.map((one) => one.own)),
    ring: places.ring,
    steps: (from, to) =>
      tables.steps(domains[from] as readonly Candidate[], domains[to] as readonly Candidate[]),
  };
  const solve = how.hold === 'free' ? solveFree : solveSteady;
  const choice =
    playable.length === 0 ? [] : how.least === 'hardest' ? solveHardest(problem, solve) : solve(problem);
  const chosenOf = domains.map((list, variable) => list[choice[variable] as number] as Candidate);
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
interface Variables {
  /** The variable of each change. */
  readonly ring: readonly number[];
  /** For each variable its chord, its section, and how often it comes. */
  readonly chords: readonly Chord[];
  readonly sections: readonly string[];
  readonly times: readonly number[];
  /** The variables of each chord that comes in several sections; free, none. */
  readonly songChords: readonly (readonly number[])[];
}

/**
 * The most chords of sections for which it is searched, everything being allowed, whether one had better leave the
 * fingering of the song: beyond, in long songs of many chords, the search may take minutes, and a chord keeps its fingering throughout.
 */
const mostSectionChords = 24;

function variablesOf(
  changes: readonly ChordChange[],
  { hold, least, voicings, picks }: PlanOptions,
): Variables {
  const sectionChords = new Set(changes.map(({ section, chord }) => `${section} ${plainName(chord)}`));
  // Where only the hardest change counts, no price would keep a chord to its fingering.
  const songWide = least === 'hardest' || (voicings === 'any' && sectionChords.size > mostSectionChords);
  const isPicked = (section: string, chord: string): boolean =>
    picks.some((pick) => pick.section === section && pick.chord === chord);
  const known = new Map<string, number>();
  const chords: Chord[] = [];
  const sections: string[] = [];
  const times: number[] = [];
  const byChord = new Map<string, number[]>();
  const ring = changes.map((change, index) => {
    const chord = plainName(change.chord);
    const inSong = songWide && !isPicked(change.section, chord);
    const name = hold === 'free' ? String(index) : inSong ? chord : `${change.section} ${chord}`;
    const variable = known.get(name) ?? chords.length;
    if (variable === chords.length) {
      chords.push(change.chord);
      sections.push(change.section);
      times.push(0);
      byChord.set(chord, [...(byChord.get(chord) ?? []), variable]);
    }
    known.set(name, variable);
    times[variable] = (times[variable] as number) + 1;
    return variable;
  });
  const songChords = hold === 'free' ? [] : [...byChord.values()].filter((group) => group.length > 1);
  return { ring, chords, sections, times, songChords };
}

/** One tie for each chord that comes in several sections. A shape's number is its place in the list of all the chord's. */
function tiesOf(
  songChords: readonly (readonly number[])[],
  times: readonly number[],
  domains: readonly (readonly Candidate[])[],
  lists: readonly (readonly Candidate[])[],
): Tie[] {
  return songChords.map((variables) => ({
    variables,
    prices: variables.map((variable) => leavesSongShape * (times[variable] as number)),
    shapes: variables.map((variable) => {
      const list = lists[variable] as readonly Candidate[];
      return (domains[variable] as readonly Candidate[]).map((one) => list.indexOf(one));
    }),
  }));
}

/** What a plan may choose from for a chord: only what was picked, where something was and the hand can hold it. */
function pickedFrom(
  tables: PlanTables,
  chord: Chord,
  pick: ShapePick | undefined,
  start: string | null,
): readonly Candidate[] {
  const picked = pick && tables.all(chord).filter(isPick(pick));
  return picked && picked.length > 0 ? picked : tables.domain(chord, start);
}

function isPick(pick: ShapePick): (one: Candidate) => boolean {
  return ({ fingering }) =>
    fretsText(fingering.frets) === pick.frets && fingersText(fingering.fingers) === pick.fingers;
}
