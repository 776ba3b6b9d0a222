import { pause, withPerformance } from '../../../playback/session.js';
import type { Drill } from '../../../shed/drill.js';
import { bestOf, type PassResult } from '../../../shed/ladder.js';
import type { SittingItem } from '../../../shed/sitting-item.js';
import { keyName } from '../../../theory/key.js';
import type { Model } from '../../state/model.js';
import type { DrillPlay, SittingMode, StandStart } from '../../state/modes.js';
import type { ModeRules } from '../rules.js';
import {
  dictationAction,
  dictationHeard,
  dictationLeft,
  dictationResult,
  isNaming,
  nextPhrase,
  readUntil,
} from '../stand/dictation.js';
import { practiceAction, putDrillOn, putNextPhraseOn } from '../stand/drills.js';
import { lastPassEnded, passHeard } from '../stand/marks.js';
import { flushPending, pendingDue } from '../stand/pending.js';
import { newStand, toLibrary } from '../stand/put-on.js';
import { askHow, ladderHeard, ladderPassOver, nextRung, notHeard, scored, withPlay } from '../stand/rungs.js';
import { heldStroke } from '../stand/waiting.js';
import { inTurn, played, type Step, step, withStand } from '../step.js';

/** How long a card is shown before it begins by itself, ms. */
const cardMs = 8000;

/** A sitting with a drill on the stand. */
type Playing = SittingMode & { readonly play: DrillPlay };

/** Practice that runs by itself: cards, drills, rests. */
export const sittingRules: ModeRules<SittingMode> = {
  act: (model, mode, action, at) => {
    if (mode.phase === 'playing' && isPlaying(mode) && isNaming(mode))
      return dictationAction(model, mode, action, at, () => nextPhraseOf(model, mode, at));
    if (action === 'go-on') return goOn(model, mode, at);
    if (!isPlaying(mode)) return step(model);
    return practiceAction(model, mode, action, at, (result) => answered(model, mode, result, 'player', at));
  },
  back: (model, mode, at) => inTurn(leaving(model, mode, at), toLibrary),
  heard: (model, mode, event) => {
    if (!isPlaying(mode)) return passHeard(model, mode, event);
    if (isNaming(mode)) return mode.phase === 'playing' ? dictationHeard(model, mode, event) : step(model);
    switch (event.kind) {
      case 'take-ended':
        return takeEnded(model, mode, event.at);
      case 'pass-heard':
        return ladderHeard(model, mode, event, (now, own, result) =>
          answered(now, own, result, 'ear', event.at),
        );
      case 'held-stroke':
        return mode.phase === 'playing' ? heldStroke(model, mode, event, event.at) : step(model);
      default:
        return passHeard(model, mode, event);
    }
  },
  due,
  leaving,
};

/** What was played, or asked, is kept before it is left. */
function leaving(model: Model, mode: SittingMode, at: number): Step {
  if (mode.phase === 'playing' && isPlaying(mode) && isNaming(mode)) return dictationLeft(model, mode, at);
  return flushPending(model, mode);
}

/** After a phrase of changes that were named: the next one, or, where its time is over, the next card. */
function nextPhraseOf(model: Model, mode: Playing, at: number): Step {
  return at >= mode.until ? nextItem(model, mode, at) : putNextPhraseOn(model, mode);
}

/** A sitting begins with its first card. */
export function beginSitting(
  model: Model,
  items: readonly SittingItem[],
  start: StandStart,
  at: number,
): Step {
  const mode: SittingMode = {
    kind: 'sitting',
    items,
    at: 0,
    phase: 'card',
    until: at + cardMs,
    results: [],
    reached: {},
    named: {},
    start,
    stand: newStand(),
    play: null,
  };
  return step({ ...model, mode, overlay: null, at });
}

/** Another drill takes the place of the one that is played, for the time that is left. */
export function chooseInSitting(model: Model, mode: SittingMode, drill: Drill): Step {
  return putItemOn(model, mode, drill, false);
}

/** On with what the card shows, past the rest, or out at the end. */
function goOn(model: Model, mode: SittingMode, at: number): Step {
  switch (mode.phase) {
    case 'card':
      return beginItem(model, mode, at);
    case 'resting':
      return nextItem(model, mode, at);
    case 'done':
      return step(model, { kind: 'leave' });
    default:
      return step(model);
  }
}

/** Time has gone on: an answer that does not come, a card or a rest that is over, a drill whose time is. */
function due(model: Model, mode: SittingMode, at: number): Step {
  const { asking = null, hearing = null } = mode.play ?? {};
  if (isPlaying(mode) && asking !== null && at >= asking)
    return answered(model, mode, 'unmarked', 'nobody', at);
  if (isPlaying(mode) && hearing !== null && at >= hearing) return askHow(model, mode, at, notHeard);
  return inTurn(pendingDue(model, mode, at), (now) =>
    now.mode.kind === 'sitting' ? phaseDue(now, now.mode, at) : step(now),
  );
}

function phaseDue(model: Model, mode: SittingMode, at: number): Step {
  if (mode.phase === 'playing' && isPlaying(mode) && isNaming(mode)) {
    // What was asked is read before it goes on, and what is asked is asked to its end.
    const read = readUntil(mode);
    return read !== null && at >= read ? nextPhraseOf(model, mode, at) : step(model);
  }
  if (mode.phase === 'done' || at < mode.until) return step(model);
  if (mode.phase === 'card') return beginItem(model, mode, at);
  // A drill ends when its time is over; one with a ladder, or of this many passes, after the pass that is played.
  const { asking = null, hearing = null } = mode.play ?? {};
  const passRuns = model.session.link.state === 'running' || asking !== null || hearing !== null;
  if (mode.phase === 'playing' && mode.play && endsByItself(mode.play) && passRuns) return step(model);
  return nextItem(model, mode, at);
}

function beginItem(model: Model, mode: SittingMode, at: number): Step {
  const item = mode.items[mode.at];
  if (item?.kind !== 'drill') return step(model);
  const playing: SittingMode = { ...mode, phase: 'playing', until: at + item.minutes * 60_000 };
  return putItemOn(model, playing, resumed(item.drill, mode.reached), true);
}

/** A drill that was left in this sitting goes on at the tempo that it had reached. */
function resumed(drill: Drill, reached: SittingMode['reached']): Drill {
  const share = reached[nameOf(drill)];
  return share === undefined ? drill : { ...drill, start: { ...drill.start, share, exact: true } };
}

function nameOf({ title, chart }: Drill): string {
  return `${title} ${keyName(chart.key)}`;
}

function reachedBy({ drill, ladder }: DrillPlay): SittingMode['reached'] {
  return ladder ? { [nameOf(drill)]: Math.min(1, ladder.bpm / ladder.rules.target) } : {};
}

function putItemOn(model: Model, mode: SittingMode, drill: Drill, eager: boolean): Step {
  // What is named by ear goes on where it was: at the level that was reached, and with no phrase twice.
  const before = drill.dictation && mode.named[drill.dictation.asks];
  return inTurn(flushPending(model, mode), (now) =>
    putDrillOn(
      now,
      drill,
      mode.start,
      eager,
      (play, stand): Playing => ({ ...mode, play, stand }),
      before && nextPhrase(before),
    ),
  );
}

function takeEnded(model: Model, mode: Playing, at: number): Step {
  if (mode.phase !== 'playing' || (model.session.performance?.passBegan ?? null) === null) return step(model);
  if (!mode.play.ladder) {
    const ended = lastPassEnded(model, mode, at);
    return endsByItself(mode.play) ? inTurn(ended, (now) => nextOf(now, at)) : ended;
  }
  return ladderPassOver(model, mode, at, (now, own, result) => answered(now, own, result, 'player', at));
}

function answered(
  model: Model,
  mode: Playing,
  result: PassResult,
  by: 'player' | 'ear' | 'nobody',
  at: number,
): Step {
  const { step: kept, mode: next, ladder } = scored(model, mode, result, by);
  if (!ladder) return kept;
  // On the card after it the item is over, whatever the player says about its last pass: only its result changes.
  if (next.phase !== 'playing') return inTurn(kept, (now) => step({ ...now, mode: retold(next) }));
  const over = ladder.holds !== null || at >= mode.until;
  return inTurn(kept, (now) => (over ? nextItem(now, next, at) : nextRung(now, ladder)));
}

/** The result of the item before, by its ladder as it is now. */
function retold(mode: Playing): Playing {
  const results = [...mode.results.slice(0, -1), resultOf(mode.play)];
  return { ...mode, results, reached: { ...mode.reached, ...reachedBy(mode.play) } };
}

/** What was played is shown; then the next card, a rest, or the end. */
function nextItem(model: Model, mode: SittingMode, at: number): Step {
  // The ear's word on the last pass comes when its card has gone already; the player's may.
  const stays = mode.stand.pending?.until != null;
  const flushed = stays ? step(model) : flushPending(model, mode);
  const results =
    mode.phase === 'playing' && mode.play ? [...mode.results, resultOf(mode.play)] : mode.results;
  const reached =
    mode.phase === 'playing' && mode.play ? { ...mode.reached, ...reachedBy(mode.play) } : mode.reached;
  const { dictation = null } = (mode.phase === 'playing' && mode.play) || {};
  const named = dictation ? { ...mode.named, [dictation.dictation.start.asks]: dictation } : mode.named;
  const index = mode.at + 1;
  const item = mode.items[index];
  const phase: SittingMode['phase'] = !item ? 'done' : item.kind === 'rest' ? 'resting' : 'card';
  const until = item?.kind === 'rest' ? at + item.seconds * 1000 : at + cardMs;
  const next: SittingMode = { ...mode, at: index, phase, until, results, reached, named };
  const { pending } = mode.stand;
  const quiet = withStand(isPlaying(next) ? withPlay(next, { asking: null, hearing: null }) : next, {
    pending: stays ? pending : null,
  });
  // Nothing of what was played may begin again after the card.
  const stopped = pause(withPerformance(model.session, { eager: false, passBegan: null }));
  const done = played({ ...flushed.model, at, mode: quiet }, stopped);
  return { ...done, effects: [...flushed.effects, ...done.effects] };
}

function resultOf({ drill: { title, chart }, ladder, dictation }: DrillPlay): string {
  if (dictation) return dictationResult(title, dictation);
  if (!ladder) return `${chart.title}: played`;
  const best = bestOf(ladder);
  const marked = ladder.rungs.filter(({ result }) => result !== 'unmarked').length;
  if (best === null) return `${chart.title}: ${ladder.rungs.length} passes, ${marked} of them marked`;
  return `${chart.title}: ${Math.round(best)} ${ladder.holds === null ? 'so far' : 'holds'}, of ${Math.round(ladder.rules.target)}`;
}

function nextOf(model: Model, at: number): Step {
  return model.mode.kind === 'sitting' ? nextItem(model, model.mode, at) : step(model);
}

function endsByItself({ drill, ladder }: DrillPlay): boolean {
  return ladder !== null || drill.start.passes !== undefined;
}

function isPlaying(mode: SittingMode): mode is Playing {
  return mode.play !== null;
}
