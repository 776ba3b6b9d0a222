import { type Conductor, shareAt } from '../time/conductor.js';
import { heldMsPerTick, type Span, timeAt } from '../time/segment.js';

/** From a tick on a tempo holds (quarters a minute), or time stands still (0). */
interface Step {
  readonly tick: number;
  readonly tempo: number;
}

/** Ms a tick that are a tempo's: not those of time that stands still, or of a stop that is passed over. */
const isTempo = ({ msPerTick }: Span): boolean => msPerTick > 1e-6 && msPerTick < 1e6;

/** The most steps that are looked at; a bar that slows down has one a beat. */
const mostSteps = 2000;

/** Where the tempo changes in what a conductor has sent, up to a tick. */
function tempoSteps({ sent, take }: Conductor, to: number): readonly Step[] {
  const steps: Step[] = [];
  const add = (tick: number, tempo: number): void => {
    if (steps.at(-1)?.tempo !== tempo && steps.length < mostSteps) steps.push({ tick, tempo });
  };
  for (const [index, piece] of sent.entries()) {
    const end = Math.min(to, sent[index + 1]?.startTick ?? Number.POSITIVE_INFINITY);
    const base = piece.bars[0]?.start ?? 0;
    let before = piece.before;
    let start = piece.startTick;
    let skip = piece.skip;
    do {
      for (const [place, bar] of piece.bars.entries()) {
        const share = shareAt(take, before + (piece.phase === 'count-in' ? 0 : place));
        // Counted in time, whatever the first bar slows down to.
        const tempos = bar.tempos ?? [{ at: 0, tempo: bar.tempo }];
        for (const [each, { at, tempo }] of tempos.entries()) {
          const tick = start + bar.start - base + at - skip;
          const next = tempos[each + 1]?.at ?? bar.length;
          const until = start + bar.start - base + next - skip;
          if (until <= start || tick >= Math.min(end, piece.repeats ? end : piece.startTick + piece.length))
            continue;
          add(Math.max(tick, start), piece.waits ? 0 : tempo * share);
        }
      }
      before += piece.bars.length;
      start += piece.length;
      skip = 0;
      // A piece that repeats itself is the same each time.
    } while (
      piece.repeats &&
      start < end &&
      steps.length < mostSteps &&
      steps.at(-1)?.tick !== undefined &&
      hasSteps(piece.bars)
    );
  }
  return steps;
}

/** Whether the tempo changes within bars, or between them. */
function hasSteps(
  bars: readonly { readonly tempo: number; readonly tempos?: readonly unknown[] }[],
): boolean {
  return bars.some((bar) => bar.tempos !== undefined || bar.tempo !== bars[0]?.tempo);
}

/**
 * Spans carried on over what a conductor has sent, up to a tick: where its tempo changes, theirs does by the same share. What the spans
 * say themselves holds as far as they reach. So a follower needs to be told no tempo that the chart has, and a change of tempo that it
 * has not been told of yet makes no difference.
 */
export function carriedOn(spans: readonly Span[], conductor: Conductor, to: number): readonly Span[] {
  const last = spans.at(-1);
  const steps = tempoSteps(conductor, to);
  const known = spans.findLast(isTempo);
  if (!last || steps.length === 0) return spans;
  const tempoAt = (tick: number): number =>
    (steps.findLast((step) => step.tick <= tick) ?? (steps[0] as Step)).tempo;
  const reference = known ? tempoAt(known.tick) : 0;
  if (!known || reference === 0) return spans;
  const carried = [...spans];
  for (const { tick, tempo } of steps) {
    if (tick <= last.tick) continue;
    const msPerTick = tempo === 0 ? heldMsPerTick : (known.msPerTick * reference) / tempo;
    const before = carried.at(-1) as Span;
    if (before.msPerTick !== msPerTick) carried.push({ tick, time: timeAt([before], tick), msPerTick });
  }
  return carried;
}
