import { resultOf } from '../../../listen/clean.js';
import type { Verdict } from '../../../listen/verdict.js';
import { heardFigures } from '../../../shed/heard-figures.js';
import type { Ladder, PassResult } from '../../../shed/ladder.js';
import type { Model } from '../../state/model.js';
import type { PassRecord, PendingPass, StandMode } from '../../state/modes.js';
import { drillOf } from '../../state/select.js';
import { type Step, step, withStand } from '../step.js';

/** The ear's word on a pass comes about a second after its end; it is waited for this long, ms. */
const waitMs = 4000;
/** This long the player can still say otherwise, once the ear has said how a pass was, ms. */
const overruleMs = 5000;

/** Whether the ear listens, so that it will judge what is played. */
export function listens({ ear }: Pick<Model, 'ear'>): boolean {
  return ear.on && ear.opened !== null;
}

/** A pass that is over, of which the player has said `said`. With an ear its word is waited for, too: the diary keeps what was heard. */
export function openPass(
  model: Model,
  record: PassRecord,
  {
    began,
    said,
    at,
    ladder = null,
  }: Pick<PendingPass, 'began' | 'said'> & { at: number; ladder?: Ladder | null },
): PendingPass {
  return { record, began, said, heard: null, until: listens(model) ? at + waitMs : null, ladder };
}

/** The pass stays open, or is kept now where nothing more can be said of it. */
export function withPending(model: Model, mode: StandMode, pending: PendingPass | null): Step {
  const opened: Model = { ...model, mode: withStand(mode, { pending }) };
  const isSaid = pending !== null && pending.said !== null;
  const awaitsEar = pending !== null && pending.until !== null && pending.record.heard === undefined;
  return isSaid && !awaitsEar ? flushPending(opened, opened.mode as StandMode) : step(opened);
}

/** Nothing more can be said about the pass before: it is kept with the player's word, else with the ear's, else as unmarked. */
export function flushPending(model: Model, mode: StandMode): Step {
  const { pending } = mode.stand;
  if (!pending) return step(model);
  const { record, said, heard } = pending;
  return step(
    { ...model, mode: withStand(mode, { pending: null }) },
    { kind: 'record', record, result: said ?? heard ?? 'unmarked' },
  );
}

/** Time has come to `at`: the word of player and ear holds, or the ear's is waited for no longer. */
export function pendingDue(model: Model, mode: StandMode, at: number): Step {
  const { pending } = mode.stand;
  if (!pending || pending.until === null || at < pending.until) return step(model);
  if (pending.said !== null || pending.heard !== null) return flushPending(model, mode);
  // From here on as without an ear: the player can say it until half of the next pass is over.
  return step({ ...model, mode: withStand(mode, { pending: { ...pending, until: null } }) });
}

/** The pass as it was heard: its figures, and the ear's word, which the player can overrule for a while. */
export function heardPass(mode: StandMode, pending: PendingPass, verdict: Verdict, at: number): PendingPass {
  const word = wordOf(mode, verdict);
  return {
    ...pending,
    record: { ...pending.record, heard: heardFigures(verdict, pending.record.changes) },
    heard: word === 'unmarked' ? null : word,
    until: word === 'unmarked' ? null : at + overruleMs,
  };
}

/** What a pass counts as by what was heard of it. Where strings are only damped, nothing is asked of chords. */
function wordOf(mode: StandMode, verdict: Verdict): PassResult {
  const isDamped = drillOf(mode)?.drill.start.noHand ?? false;
  const ofTime = verdict.faults.filter((fault) => fault !== 'late changes' && fault !== 'wrong chords');
  const clean = isDamped && verdict.result === 'not clean' && ofTime.length === 0;
  return resultOf(clean ? { result: 'clean' } : verdict, null);
}
