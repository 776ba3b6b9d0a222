/** How a pass went, as the player says. Nobody said anything about an unmarked one; it never counts as clean. */
export type PassResult = 'clean' | 'miss' | 'unmarked';
export const passResults: readonly PassResult[] = ['clean', 'miss', 'unmarked'];

/** How a tempo is climbed. Tempos are beats a minute, whatever is counted. */
export interface LadderRules {
  readonly target: number;
  /** Share of the target it starts at. */
  readonly start: number;
  /** This many clean passes in a row raise the tempo; one miss lowers it. */
  readonly inRow: number;
  /** The first step, and the least one it shrinks to, as shares of the tempo. */
  readonly firstStep: number;
  readonly leastStep: number;
  /** After this many turns the ladder knows the tempo that holds. */
  readonly turns: number;
}

/** What is usual: from 60 % of the target, up after two clean passes. */
export const usualLadder: Omit<LadderRules, 'target'> = {
  start: 0.6,
  inRow: 2,
  firstStep: 0.12,
  leastStep: 0.015,
  turns: 6,
};

/** One pass on the ladder. */
export interface Rung {
  readonly bpm: number;
  readonly result: PassResult;
}

/** Where a ladder stands. */
export interface Ladder {
  readonly rules: LadderRules;
  /** The tempo of the next pass. */
  readonly bpm: number;
  readonly step: number;
  readonly cleanInRow: number;
  /** The way it went last: up, down, or neither yet. */
  readonly way: 1 | -1 | 0;
  /** Tempos at which it turned. */
  readonly turned: readonly number[];
  readonly rungs: readonly Rung[];
  /** The tempo that holds, once it is known. */
  readonly holds: number | null;
}

/** A ladder before its first pass. */
export function beginLadder(rules: LadderRules): Ladder {
  return {
    rules,
    bpm: rules.target * rules.start,
    step: rules.firstStep,
    cleanInRow: 0,
    way: 0,
    turned: [],
    rungs: [],
    holds: null,
  };
}

/**
 * The ladder after a pass: a transformed up-down staircase (Levitt 1971). Up after `inRow` clean passes, down after one
 * miss, it settles where a pass is clean with probability 0.5^(1/inRow). The step is halved at every turn. An unmarked
 * pass leaves everything as it is. It ends when the target holds, or when it has turned often enough.
 */
export function climb(ladder: Ladder, result: PassResult): Ladder {
  const passed: Ladder = { ...ladder, rungs: [...ladder.rungs, { bpm: ladder.bpm, result }] };
  if (ladder.holds !== null || result === 'unmarked') return passed;
  if (result === 'miss') return moved({ ...passed, cleanInRow: 0 }, -1);
  const cleanInRow = ladder.cleanInRow + 1;
  if (cleanInRow < ladder.rules.inRow) return { ...passed, cleanInRow };
  if (ladder.bpm >= ladder.rules.target) return { ...passed, cleanInRow, holds: ladder.rules.target };
  return moved({ ...passed, cleanInRow: 0 }, 1);
}

function moved(ladder: Ladder, way: 1 | -1): Ladder {
  const { rules, bpm } = ladder;
  const turns = ladder.way !== 0 && ladder.way !== way;
  const step = turns ? Math.max(rules.leastStep, ladder.step / 2) : ladder.step;
  const turned = turns ? [...ladder.turned, bpm] : ladder.turned;
  const next = way > 0 ? Math.min(rules.target, bpm * (1 + step)) : bpm / (1 + step);
  const holds = turned.length >= rules.turns ? middleOf(turned) : null;
  return { ...ladder, bpm: next, step, way, turned, holds };
}

/** The tempo in the middle of the last turns: as many up as down, and the first ones, far off, left out. */
function middleOf(turned: readonly number[]): number {
  const last = turned.slice(-4);
  return Math.exp(last.reduce((sum, bpm) => sum + Math.log(bpm), 0) / last.length);
}

/** The best that is known of a ladder that was left before its end: where it turned last, else the fastest clean pass; `null` for none. */
export function bestOf(ladder: Ladder): number | null {
  if (ladder.holds !== null) return ladder.holds;
  if (ladder.turned.length >= 2) return middleOf(ladder.turned);
  const clean = ladder.rungs.filter(({ result }) => result === 'clean').map(({ bpm }) => bpm);
  return clean.length > 0 ? Math.max(...clean) : null;
}
