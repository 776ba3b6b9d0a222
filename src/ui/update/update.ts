import { sights } from '../../band/parts.js';
import { arranged, settled } from '../../playback/arranging.js';
import { heard } from '../../playback/heard.js';
import { withSetup } from '../../playback/session.js';
import { clock } from '../../playback/transport.js';
import { latenessText } from '../../player/lateness.js';
import type { Action } from '../keys/actions.js';
import { saidMs } from '../state/band.js';
import { changedChoices } from '../state/choices.js';
import { hintsLeft } from '../state/hints.js';
import type { Background } from '../state/look.js';
import type { Effect, Message, MessageOf } from '../state/messages.js';
import type { Model, Updated } from '../state/model.js';
import { standMode } from '../state/select.js';
import { act, footPressed } from './act.js';
import { asked } from './asked.js';
import { beginBand, leadAsWanted, meetingSaid } from './band/meeting.js';
import { forMeeting, withBand } from './band/together.js';
import { chopped } from './chops.js';
import { barEntered, earSaid, heardTakenAway, passTold } from './ear.js';
import { withHistory } from './history.js';
import { listsTold } from './lists.js';
import { openChart } from './modes/chart/chart.js';
import { textNotWritten, textWritten } from './modes/chart/pencil.js';
import { openClick } from './modes/click.js';
import { chooseDrill, openDrillChart } from './modes/drill.js';
import { searched, showLibrary } from './modes/library.js';
import { askKey, showRequests } from './modes/set/requests.js';
import { openSet } from './modes/set/set.js';
import { beginSitting, chooseInSitting } from './modes/sitting.js';
import { forgotten, openTranscript, transcriptKept } from './modes/transcribe.js';
import { rulesOf } from './modes.js';
import { overlayTyped } from './overlays/overlay.js';
import { pastedInto } from './overlays/paste.js';
import { heldPedals, learnPedal, pedalPressed } from './pedals.js';
import { playedOn } from './rest.js';
import { chooseShape } from './stand/shapes.js';
import { beatPassed } from './stand/sight.js';
import { setKey } from './stand/tempo.js';
import { faulted, inTurn, type ModeEvent, noticed, played, type Step, step } from './step.js';
import { coursesHeard } from './tuning.js';
import { stillSaid } from './undo.js';

/**
 * The whole program's logic: from a model and what happened to the next model and what to do. Pure. The message is
 * routed, what it did to the music is told to the mode, and what the music then lacks to be as it is set up is asked for.
 */
export function update(model: Model, message: Message): Updated {
  const at = 'at' in message ? message.at : model.at;
  const routed = folded(route(model, message));
  const due = message.kind === 'clock' ? folded(inTurn(routed, (now) => timeHasCome(now, at))) : routed;
  const done = folded(inTurn(due, (now) => played(now, settled(now.session, at))));
  const met = model.band || done.model.band ? inBand(model, done, message) : done;
  const after = withHistory(model, met.model, message);
  const keeping = [
    keptHints(model, after),
    message.kind === 'chart-opened' ? null : keptChoices(model, after),
    transcriptKept(model, after),
    coursesHeard(model, after),
  ].flatMap((effect) => effect ?? []);
  return { model: after, effects: keeping.length > 0 ? [...met.effects, ...keeping] : met.effects };
}

/** What was done is brought together with the band; a step without a time waits for the next one. */
function inBand(model: Model, done: Step, message: Message): Step {
  const met = 'at' in message ? folded(inTurn(done, (now) => withBand(now, message.at))) : done;
  return { ...met, effects: forMeeting(model, met.model, met.effects) };
}

/** What happened on the way is taken in, and what happens by that, until nothing more does. */
function folded(given: Step): Step {
  let done = given;
  while (done.events.length > 0) {
    const [event, ...rest] = done.events as [ModeEvent, ...ModeEvent[]];
    const next = takeIn(done.model, event);
    done = {
      model: next.model,
      effects: [...done.effects, ...next.effects],
      events: [...next.events, ...rest],
    };
  }
  return done;
}

function takeIn(model: Model, event: ModeEvent): Step {
  const byMode = (now: Model): Step => rulesOf(now).heard(now, now.mode, event);
  if (event.kind === 'output-opened')
    return inTurn(step(model, { kind: 'remember-output', out: event.out }), byMode);
  if (event.kind === 'play-sent') return byMode(heardTakenAway(model));
  if (event.kind !== 'moved') return byMode(model);
  const stand = event.newBeat ? standMode(model) : null;
  const seen = stand ? barEntered(model, beatPassed(stand), event.at) : model.mode;
  return byMode(playedOn({ ...model, at: event.at, mode: seen }, event.at));
}

function route(model: Model, message: Message): Step {
  switch (message.kind) {
    case 'action':
      return acted(hinted(model, message.action), message);
    case 'typed':
      return typed(model, message.text);
    case 'pasted':
      return pastedInto(model, message, typed);
    case 'flooded':
      return noticed(model, 'too many keys at once; they were ignored');
    case 'resized':
      return step({ ...model, size: { columns: message.columns, rows: message.rows } });
    case 'background':
      return withBackground(model, message.background);
    case 'library':
      return showLibrary(model, message.library);
    case 'items-read':
    case 'weak-songs':
    case 'chart-played':
      return listsTold(model, message);
    case 'highlighted':
      return model.overlay?.kind === 'shapes'
        ? step({ ...model, overlay: { ...model.overlay, shown: message.index } })
        : step(model);
    case 'chart-opened':
      if (message.click) return openClick(model, message);
      if (message.transcript) return openTranscript(model, message, message.transcript);
      return message.drill ? openDrillChart(model, message, message.drill) : openChart(model, message);
    case 'open-failed':
      return faulted(model, message.reason);
    case 'not-written':
      return textNotWritten(model, message);
    case 'arranged': {
      const shapes = model.band === null || sights[model.band.band.part].shapes;
      const { id, arrangement } = message;
      const told = played(model, arranged(model.session, id, arrangement, message.at, { shapes }));
      const notice = stillSaid(model.notice, told.model.notice);
      return notice === told.model.notice ? told : { ...told, model: { ...told.model, notice } };
    }
    case 'key-chosen':
      return setKey({ ...model, overlay: null }, message.key);
    case 'click-chosen':
      return step({ ...model, overlay: null, session: withSetup(model.session, { click: message.click }) });
    case 'pattern-chosen':
      return step({
        ...model,
        overlay: null,
        session: withSetup(model.session, { pattern: message.pattern }),
      });
    case 'shape-chosen':
      return chooseShape(model, message.pick);
    case 'drill-chosen':
      return model.mode.kind === 'sitting'
        ? chooseInSitting(model, model.mode, message.drill)
        : chooseDrill(model, message.drill);
    case 'set-opened':
      return openSet(model, message);
    case 'requests':
      return showRequests(model, message.library);
    case 'request-found':
      return askKey(model, message.song);
    case 'pedal-chosen':
      return learnPedal(model, message.use);
    case 'sitting':
      return beginSitting(model, message.items, message.start, message.at);
    case 'out-chosen':
      return step({ ...model, overlay: null, notice: '' }, { kind: 'open-output', outs: [message.out] });
    case 'written':
      return message.open ? openWritten(model, message) : textWritten(model, message);
    case 'player':
      return fromPlayer(model, message.message, message.at);
    case 'ear':
      return earSaid(model, message);
    case 'pass-told':
      return passTold(model, message.told, message.at);
    case 'chopped': {
      // What beginning leaves to be read is cleared by the mode that hears of it: the tempo is said after that.
      const begun = chopped(model, message);
      return inTurn(folded(begun), (now) => noticed(now, begun.model.notice));
    }
    case 'band-begins':
      return beginBand(model, message.begins, message.at);
    case 'meeting':
      return meetingSaid(model, message.event, message.at);
    case 'asked':
      return asked(model, message);
    case 'clock':
      return played(model, clock(model.session, message.at));
  }
}

/** What is due without music: a card or a rest that is over, a pedal that was held long enough. */
function timeHasCome(model: Model, at: number): Step {
  const now: Model = { ...model, at };
  return inTurn(
    rulesOf(now).due(now, now.mode, at),
    (then) => heldPedals(then, at),
    (then) => leadAsWanted(wordsOver(then, at), at),
  );
}

/** A caller's word, or a notice about members, has been shown for long enough. */
function wordsOver(model: Model, at: number): Model {
  const { band } = model;
  if (!band) return model;
  const talk = band.talk && at >= band.talk.until ? null : band.talk;
  const isRead = band.says !== '' && at >= band.saidAt + saidMs;
  if (talk === band.talk && !isRead) return model;
  const notice = isRead && model.notice === band.says ? '' : model.notice;
  return { ...model, notice, band: { ...band, talk, says: isRead ? '' : band.says } };
}

/** A chart that was written down is in its file, and is opened from there. */
function openWritten(model: Model, { file, says }: MessageOf<'written'>): Step {
  const noted = noticed(model, says);
  const { mode } = model;
  const left = mode.kind === 'transcribe' ? inTurn(noted, (now) => forgotten(now, mode)) : noted;
  const wishes = { key: null, bpm: null };
  return inTurn(left, (now) => step(now, { kind: 'open', file, wishes, from: 'chart' }));
}

/** How long a notice that is shown once stays at least, ms. */
const onceMs = 2000;

/** Without a notice that is said once, where it was there for long enough to be read. */
function withoutRead(model: Model, at: number): Model {
  const { once, notice } = model;
  if (!once || at - once.at < onceMs) return model;
  return { ...model, once: null, notice: notice === once.text ? '' : notice };
}

function acted(model: Model, message: MessageOf<'action'>): Step {
  const { action, foot, at } = message;
  const now = withoutRead(model, at);
  return foot ? footPressed(now, foot, action, at) : act(now, action, at);
}

/** A key that was pressed no longer needs a hint. */
function hinted(model: Model, action: Action): Model {
  const hints = hintsLeft(model.hints, action);
  return hints === model.hints ? model : { ...model, hints };
}

function keptHints(before: Model, after: Model): Effect | null {
  return after.hints === before.hints ? null : { kind: 'keep-hints', left: after.hints };
}

/** Something the player's process said: most of it concerns the session. */
function fromPlayer(model: Model, message: MessageOf<'player'>['message'], at: number): Step {
  switch (message.kind) {
    case 'pedal':
      return pedalPressed(model, message, at);
    case 'destinations':
      return model.overlay?.kind === 'outputs'
        ? step({ ...model, overlay: { ...model.overlay, destinations: message.destinations } })
        : step(model);
    case 'lateness':
      return noticed(model, latenessText(message.report));
    case 'opened':
    case 'failed': {
      // Missing sound is reported once; the head shows from then on that it is silent.
      const told = played(model, heard(model.session, message, at));
      const { notice } = told.model;
      return notice === model.notice
        ? told
        : { ...told, model: { ...told.model, once: { text: notice, at } } };
    }
    default:
      return played(model, heard(model.session, message, at));
  }
}

function typed(model: Model, text: string): Step {
  const { overlay, mode, library } = model;
  if (overlay) return overlayTyped(model, overlay, text) ?? step(model);
  if (mode.kind !== 'library' || !library) return step(model);
  return searched(model, library, library.query + text);
}

/** What the player chose for a chart is kept as soon as it is chosen. What is changed on a job is for that evening. */
function keptChoices(before: Model, after: Model): Effect | null {
  const { mode } = after;
  const one = before.session.performance;
  const other = after.session.performance;
  if (
    before.mode.kind !== 'chart' ||
    mode.kind !== 'chart' ||
    !one ||
    !other ||
    (one === other && before.mode === mode)
  )
    return null;
  const { file } = mode.text;
  if (file === '' || file !== before.mode.text.file) return null;
  const choices = changedChoices(
    { setup: one.setup, sight: before.mode.stand.sight },
    { setup: other.setup, sight: mode.stand.sight },
  );
  return choices && { kind: 'keep', file, choices, played: false };
}

/** Other colours, where the ones that are shown were chosen for another background. */
function withBackground(model: Model, background: Background | null): Step {
  return step(
    background === (model.look.background ?? null)
      ? model
      : { ...model, look: { ...model.look, background } },
  );
}
