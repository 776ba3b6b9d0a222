import { withPerformance } from '../../../../playback/session.js';
import {
  againSong,
  backSong,
  beginRun,
  dueRun,
  goOnRun,
  holdCard,
  type Ran,
  skipSong,
  songEnded,
  songOf,
} from '../../../../setlist/run.js';
import type { Action } from '../../../keys/actions.js';
import type { Effect, SetOpened } from '../../../state/messages.js';
import type { Model } from '../../../state/model.js';
import type { SetMode, StandSong } from '../../../state/modes.js';
import { isLed, startLead } from '../../../state/schedule.js';
import type { ModeRules } from '../../rules.js';
import { standAction } from '../../stand/actions.js';
import { openOverlay } from '../../stand/choose.js';
import { placeRecord } from '../../stand/marks.js';
import { newStand, toLibrary } from '../../stand/put-on.js';
import { inTurn, type ModeEvent, noticed, type Step, step, withStand } from '../../step.js';
import { askedToTune } from '../../tuning.js';
import { brokenAction } from './broken.js';
import { markHeard, nothingHeard } from './places.js';
import { cardMessages, handsFree, leftSong, notPaused, ranOn, stop } from './steps.js';

/** A foot switch that is held down repeats itself; the first time after this long at the most, ms (usual settings: 250 to 660). */
const repeatMs = 700;
/** Within this time leaving must be asked for again, ms. */
const leaveMs = 3000;

/** A set that is run. */
export const setRules: ModeRules<SetMode> = {
  act,
  back: leaveSet,
  heard,
  due: (model, mode, at) => {
    const { run } = mode;
    const ahead = run.phase === 'card' ? startLead(model) : 0;
    if (run.until === null || at < run.until - ahead || isLed(model, mode)) return step(model);
    // The count begins when the gap ends, for which the player needs a moment.
    return ranOn(model, mode, dueRun(run, Math.max(at, run.until)), at);
  },
  leaving: (model, mode, at) => step(model, ...leftSong(model, mode, at)),
};

/** A set is opened, and run from one of its songs on. */
export function openSet(model: Model, opened: SetOpened): Step {
  const { file, title, songs, faults, from, waits, broken, notice, at } = opened;
  const ran = beginRun(title, songs, at, { from, waits });
  const mode: SetMode = {
    kind: 'set',
    file,
    // Until somebody has said what to do with the previous run, nothing begins.
    run: broken ? { ...ran.run, phase: 'faults', until: null } : ran.run,
    broken,
    keeps: waits,
    since: at,
    faults,
    pressed: null,
    paused: notPaused,
    marks: 0,
    heard: nothingHeard,
    stand: newStand(),
  };
  const session = { ...model.session, performance: null };
  const shownFirst: Model = { ...model, mode, overlay: null, confirm: null, notice, at, session };
  if (broken) return step(shownFirst);
  const shown = ranOn(shownFirst, mode, ran, at);
  return { ...shown, model: { ...shown.model, notice: shown.model.notice || notice } };
}

/** A foot switch that is held down repeats its key, and a terminal does not say when it is let go: all that is one press. */
export function isRepeated({ pressed }: SetMode, key: string, at: number): boolean {
  return pressed?.key === key && at - pressed.at < repeatMs;
}

function act(model: Model, mode: SetMode, action: Action, at: number): Step {
  const answered = mode.broken && brokenAction(model, mode, action, at);
  if (answered) return answered;
  switch (action) {
    case 'order': {
      const overlay = { kind: 'order', query: '', chosen: mode.run.at } as const;
      return noticed({ ...model, mode: handsFree(mode), overlay }, '');
    }
    case 'tune':
      // Tuning takes longer than a gap: the card waits.
      return askedToTune(mode.run.phase === 'card' ? { ...model, mode: handsFree(mode) } : model);
    case 'mark-later':
      return markLater(model, mode);
    case 'go-on':
      if (mode.run.phase === 'over') return leaveSet(model, mode, at);
      if (isLed(model, mode)) return noticed(model, 'the external clock starts the music');
  }
  const ran = runStep(mode, action, at);
  if (ran) return ranOn(model, mode, ran, at);
  const opened = openOverlay({ ...model, mode: handsFree(mode) }, action);
  return opened ?? standAction(model, mode, action, at);
}

function runStep({ run }: SetMode, action: Action, at: number): Ran<StandSong> | null {
  switch (action) {
    case 'go-on':
      return goOnRun(run, at);
    case 'song-next':
      return skipSong(run, at);
    case 'song-back':
      return backSong(run, at);
    case 'song-again':
      return againSong(run);
    case 'card-holds':
      return holdCard(run);
    default:
      return null;
  }
}

function heard(model: Model, mode: SetMode, event: ModeEvent): Step {
  switch (event.kind) {
    case 'output-opened':
      // An output that appears while a card is shown is sent what its song needs.
      return step(model, ...cardMessages(mode));
    case 'play-sent':
      return step({ ...model, mode: withStand(mode, { mark: null }) }, ...playsNow(mode));
    case 'started':
      return event.tuning ? step(model) : started(model, mode, event.at);
    case 'halted':
      return event.state === 'paused' && !event.tuning ? paused(model, mode, event.at) : step(model);
    case 'pass-heard':
      return markHeard(model, mode, event.verdict, event.at);
    case 'take-ended':
      return ranOn(model, mode, songEnded(mode.run, event.at), event.at);
    default:
      return step(model);
  }
}

/** The song is kept as played now. */
function playsNow({ run }: SetMode): readonly Effect[] {
  const file = songOf(run)?.file ?? '';
  return file === '' ? [] : [{ kind: 'keep', file, choices: {}, played: true }];
}

/** The music runs: an external clock may have begun the song; a pause is over. */
function started(model: Model, mode: SetMode, at: number): Step {
  if (isLed(model, mode)) {
    const run = { ...mode.run, phase: 'song' as const, until: null, began: at };
    const session = withPerformance(model.session, { begun: true });
    return step({ ...model, session, mode: { ...mode, run, since: at } });
  }
  const { sum, since } = mode.paused;
  if (mode.run.phase !== 'song' || since === null) return step(model);
  return step({ ...model, mode: { ...mode, paused: { sum: sum + at - since, since: null } } });
}

/** The music of a song is paused: the pause does not count as playing. */
function paused(model: Model, mode: SetMode, at: number): Step {
  if (mode.run.phase !== 'song' || mode.paused.since !== null) return step(model);
  return step({ ...model, mode: { ...mode, paused: { ...mode.paused, since: at } } });
}

/** Marks the place under the cursor, to be looked at later. */
function markLater(model: Model, mode: SetMode): Step {
  const record = placeRecord(model, mode, mode.run.title);
  if (!record) return step(model);
  const notice = `bar ${record.bar} is marked: look at it later`;
  return step({ ...model, mode: { ...mode, marks: mode.marks + 1 }, notice }, { kind: 'mark-later', record });
}

/** Esc: the first time it says that a second one leaves. Nothing is stopped by a slip of the finger. */
function leaveSet(model: Model, mode: SetMode, at: number): Step {
  const { confirm } = model;
  const sure =
    mode.run.phase === 'over' ||
    mode.run.phase === 'faults' ||
    (confirm?.what === 'leave-set' && at - confirm.at < leaveMs);
  if (!sure) return noticed({ ...model, confirm: { what: 'leave-set', at } }, 'Esc again leaves the set');
  const left = leftSong(model, mode, at);
  return inTurn(step(model, ...left), stop, toLibrary);
}
