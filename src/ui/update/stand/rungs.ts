import { fewest } from '../../../listen/live/pass-ear.js';
import { passStrokes } from '../../../listen/live/played-strokes.js';
import { stoodReady } from '../../../playback/performance.js';
import { pause, withPerformance, withSetup } from '../../../playback/session.js';
import { beginLadder, climb, type Ladder, type PassResult } from '../../../shed/ladder.js';
import type { Model } from '../../state/model.js';
import type { DrillMode, DrillPlay, SittingMode, StandMode } from '../../state/modes.js';
import { inTurn, type ModeEvent, noticed, played, type Step, step, withStand } from '../step.js';
import { passHeard } from './marks.js';
import { wholePass } from './pass-record.js';
import { flushPending, heardPass, listens, openPass, withPending } from './pending.js';
import { tempoWithin } from './tempo.js';

/** A mode in which a drill stands on the stand. */
export type Practising = DrillMode | (SittingMode & { readonly play: DrillPlay });

/** How long the player can say how a pass was, when asked, ms. */
const askMs = 5000;
/** How long the ear's word is waited for before the player is asked: it comes about a second after the pass, ms. */
const hearMs = 3000;

/** Why the player is asked where the ear's word has not come. */
export const notHeard = 'the ear could not judge it. How was it?';

/** The model, the mode, and the ladder as they are with a pass scored. */
export interface Scored<M extends Practising> {
  readonly step: Step;
  readonly mode: M;
  readonly ladder: Ladder | null;
}

/** Whether a pass on the ladder can be answered: it is asked for, its verdict is awaited, or the ear's can be overruled. */
export function isOpen({ play, stand: { pending } }: Practising): boolean {
  if (play.asking !== null || play.hearing !== null) return true;
  return pending !== null && pending.ladder !== null && pending.said === null && pending.heard !== null;
}

/** A pass on the ladder is over. What was said of it while it was played holds; else the ear's word is waited for, or it is asked. */
export function ladderPassOver<M extends Practising>(
  model: Model,
  mode: M,
  at: number,
  answered: (model: Model, mode: M, result: PassResult) => Step,
): Step {
  const { performance } = model.session;
  const began = performance?.passBegan ?? null;
  if (!performance || began === null) return step(model);
  const record = wholePass(mode, performance, began, at);
  const pending = record && openPass(model, record, { began, said: null, at, ladder: mode.play.ladder });
  const over = withStand(mode, { mark: null, pending });
  return inTurn(flushPending(model, mode), (now) => {
    const session = withPerformance(now.session, { passBegan: null });
    const open: Model = { ...now, session, mode: over };
    const { mark } = mode.stand;
    if (mark) return answered(open, over, mark);
    if (!listens(model) || passStrokes(performance, performance.cursor.pass).length < fewest)
      return askHow(open, over, at, '');
    const notice = 'the pass is being judged; you can also say it: clean or missed';
    return step({ ...open, at, notice, mode: withPlay(over, { hearing: at + hearMs }) });
  });
}

/** How the pass was is asked; `why`: what keeps the ear from saying it. */
export function askHow<M extends Practising>(model: Model, mode: M, at: number, why: string): Step {
  const { pending } = mode.stand;
  const open = withStand(mode, { pending: pending && { ...pending, until: null } });
  return step({
    ...model,
    at,
    notice: why,
    mode: withPlay(open, { asking: at + askMs, hearing: null }),
  });
}

/** What the ear heard of a pass. On a ladder its word leads on; where it could not tell, the player is asked. */
export function ladderHeard<M extends Practising>(
  model: Model,
  mode: M,
  event: Extract<ModeEvent, { readonly kind: 'pass-heard' }>,
  answered: (model: Model, mode: M, result: PassResult) => Step,
): Step {
  const { pending } = mode.stand;
  const { asking, hearing } = mode.play;
  const isAwaited = asking !== null || hearing !== null;
  if (!pending || !isAwaited || event.began === null || pending.began !== event.began)
    return passHeard(model, mode, event);
  const heard = heardPass(mode, pending, event.verdict, event.at);
  const known = withStand(mode, { pending: heard });
  if (heard.heard) return answered({ ...model, mode: known }, known, heard.heard);
  const why = mode.stand.heard?.says[0] ?? 'it was not heard';
  return asking === null
    ? askHow({ ...model, mode: known }, known, event.at, `${why}. How was it?`)
    : step({ ...model, mode: known });
}

/** How the pass before was is known, or will not be: the ladder goes on from where it was before it. */
export function scored<M extends Practising>(
  model: Model,
  mode: M,
  result: PassResult,
  by: 'player' | 'ear' | 'nobody',
): Scored<M> {
  const { pending } = mode.stand;
  const before = pending?.ladder ?? mode.play.ladder;
  const ladder = before && climb(before, result);
  const next = withPlay(mode, { ladder, asking: null, hearing: null });
  const told = by === 'ear' ? { ...model, notice: heardText(result) } : model;
  if (by === 'nobody') return done(flushPending({ ...told, mode: next }, next), next, ladder);
  const said = by === 'player' && pending ? { ...pending, said: result } : pending;
  return done(withPending(told, next, said), next, ladder);
}

function done<M extends Practising>(result: Step, mode: M, ladder: Ladder | null): Scored<M> {
  const { stand } = result.model.mode as StandMode;
  return { step: result, mode: withStand(mode, { pending: stand.pending }), ladder };
}

function heardText(result: PassResult): string {
  return result === 'clean' ? 'heard: clean; m if it was not' : 'heard: not clean; j if it was';
}

/** The next pass on the ladder begins by itself, at its tempo; what is played or counted at another one is left. */
export function nextRung(model: Model, ladder: Ladder): Step {
  const bpm = tempoWithin(ladder.bpm);
  const { performance, link } = model.session;
  if (!performance) return step(model);
  if (link.state === 'running' && performance.conductor && performance.setup.bpm === bpm) return step(model);
  // A player who has paused in the count goes on when ready.
  if (link.state === 'paused' && !performance.eager && performance.begun && performance.passBegan === null)
    return step({ ...model, session: withSetup(model.session, { bpm }) });
  const from = performance.setup.range?.from ?? 0;
  const ready = stoodReady({ ...performance, passBegan: null });
  const atStart = { ...ready, eager: true, cursor: { ...ready.cursor, bar: from, pass: 1 } };
  const { session, commands, events } = pause({ ...model.session, performance: atStart });
  return played(model, { session: withSetup(session, { bpm }), commands, events });
}

/** A ladder has come to its end: the steady tempo is shown, and it can be begun again. */
export function ladderOver<M extends Practising>(model: Model, mode: M, ladder: Ladder): Step {
  const again = withPlay(mode, { ladder: beginLadder(ladder.rules) });
  return noticed({ ...model, mode: again }, `${Math.round(ladder.holds ?? 0)} is steady; Space begins again`);
}

/** A mode with something of its drill changed. */
export function withPlay<M extends Practising>(mode: M, changes: Partial<DrillPlay>): M {
  return { ...mode, play: { ...mode.play, ...changes } };
}
