import { changeFigures } from './changes.js';
import { toldEntries, wrongOf } from './chord-faults.js';
import { faultsOf } from './clean.js';
import { type Estimate, estimate } from './estimate.js';
import type { ExpectedStroke, StrokeKind } from './expected.js';
import { cleanLimits, type Level } from './limits.js';
import { type Matched, matchedPass } from './matched.js';
import { pairStrokes } from './pairing.js';
import { silences } from './silences.js';
import type { TimedStroke } from './timed-stroke.js';
import type { RungOn, Verdict } from './verdict.js';

/** What is known about how a pass was heard, besides its strokes. */
export interface JudgeOptions {
  readonly level: Level;
  /** Ms that strokes are heard late, all alike (the round trip); `null` when unknown: then it is taken from the pass itself. */
  readonly offset: number | null;
  /** About how late they are heard, ms, where the offset is unknown: where the pass begins is known then, and not looked for. */
  readonly near?: number;
  /** The standard deviation of a known offset, ms. */
  readonly offsetSpread?: number;
}

/** Judges a pass from what it has and what was heard. Expected and heard strokes are in the order of their times. */
export function judgePass(
  expected: readonly ExpectedStroke[],
  heard: readonly TimedStroke[],
  options: JudgeOptions,
): Verdict {
  const pairing = pairStrokes(expected, heard, options.offset ?? options.near ?? null);
  const pass = matchedPass(expected, heard, pairing, options.offset);
  const limits = cleanLimits(options.level, pass.interval);
  const entries = toldEntries(pass.strokes);
  const wrong = entries.flatMap(wrongOf);
  const timingOf = (kind: StrokeKind): Estimate | null => {
    const errors = pass.strokes.flatMap(({ expected: one, lateOfOwn }) =>
      one.kind === kind && lateOfOwn !== null ? [lateOfOwn] : [],
    );
    return estimate(errors, options.offsetSpread);
  };
  const chop = timingOf('chop');
  const low = timingOf('low');
  // A player whose strokes spread is late at a change only beyond that spread.
  const spread = Math.max(chop?.spread ?? 0, low?.spread ?? 0);
  const changes = changeFigures(
    entries,
    Math.max(limits.lateChange, 2.5 * spread) + (low ?? chop ?? { mean: 0 }).mean,
  );
  const stopped = pass.strokes.filter(
    ({ expected: one, heard: stroke }) => isStopped(one) && stroke?.ringMs != null,
  );
  const judged = {
    strokes: pass.strokes,
    extra: pairing.extra.map((index) => heard[index] as TimedStroke),
    silences: silences(pass.strokes),
    timing: { low, chop, up: timingOf('up') },
    absolute: pass.absolute,
    runsOff: pass.runsOff,
    changes,
    wrong,
    chopsHeard: stopped.length,
    rang: pass.strokes.flatMap((stroke) => rungOn(stroke, limits.ring) ?? []),
    limits,
    interval: pass.interval,
  };
  const { result, faults } = faultsOf(judged);
  return { ...judged, result, faults };
}

function isStopped({ kind, ending }: ExpectedStroke): boolean {
  return kind === 'chop' && ending === 'chop';
}

function rungOn({ expected, heard }: Matched, limit: number): RungOn | null {
  if (!heard || !isStopped(expected)) return null;
  const { ringMs, ringsOn } = heard;
  if (ringsOn === null && (ringMs === null || ringMs <= limit)) return null;
  return { bar: expected.bar, beat: expected.beat, ringMs: ringMs ?? limit, note: ringsOn };
}
