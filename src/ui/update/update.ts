import { heardLevels } from '../../time/sound.js';
import { changedChoices } from '../choices.js';
import type { Action } from '../keymap.js';
import type { Effect, Library, Message, Model, Stand, Updated } from '../model.js';
import { arranged, openChart } from './arranging.js';
import { entryAction, typedInto } from './entry.js';
import { joined } from './joined.js';
import { libraryAction, libraryBack, searched } from './library.js';
import { pastedInto } from './paste.js';
import { heldPedals, learnPedal, pedalPressed } from './pedal.js';
import { leaveUnsaved, textNotWritten, textWritten } from './pencil.js';
import { heard } from './player.js';
import { askKey, orderBack, setAction, showRequests, typedInOrder } from './requests.js';
import { handsOn, isRepeated, leaveRun, leftInSong, openRun } from './run.js';
import { chooseShape } from './shapes.js';
import { beginSitting, chooseDrill, dueNow, flushPending, goOn } from './shed.js';
import { voiceAction } from './sound.js';
import { standAction } from './stand.js';
import { forgetTaking, keptTaking, leaveTaking } from './taking.js';
import { setClick, setKey, setPattern } from './tempo.js';
import { clock } from './transport.js';

/** The whole program's logic: from a model and what happened to the next model and what is to be done. Pure. */
export function update(model: Model, message: Message): Updated {
  const updated = updatedBy(model, message);
  // What is changed on a job, for that evening, is not what the chart is practised with.
  const keeps = message.kind !== 'chart-opened' && !model.set && !updated.model.set;
  const kept = keeps ? keptChoices(model.stand, updated.model.stand) : null;
  const taking = keptTaking(model.stand, updated.model.stand);
  const all = [kept, taking].flatMap((effect) => effect ?? []);
  return all.length > 0 ? { ...updated, effects: [...updated.effects, ...all] } : updated;
}

function updatedBy(model: Model, message: Message): Updated {
  switch (message.kind) {
    case 'action':
      return message.foot
        ? footPressed(model, message.foot, message.action, message.at)
        : act(model, message.action, message.at);
    case 'typed':
      return typed(model, message.text);
    case 'pasted':
      return pastedInto(model, message, typed);
    case 'flooded':
      return { model: { ...model, notice: 'too many keys at once; they were left out' }, effects: [] };
    case 'resized':
      return { model: { ...model, size: { columns: message.columns, rows: message.rows } }, effects: [] };
    case 'library':
      return showLibrary(model, message.library);
    case 'highlighted':
      return { model: { ...model, highlight: message.index }, effects: [] };
    case 'chart-opened':
      return openChart(model, message);
    case 'open-failed':
      return { model: { ...model, notice: message.reason }, effects: [] };
    case 'arranged':
      return arranged(model, message.id, message.arrangement, message.at);
    case 'key-chosen':
      return setKey(model, message.key);
    case 'click-chosen':
      return setClick(model, message.click, message.at);
    case 'pattern-chosen':
      return setPattern(model, message.pattern);
    case 'shape-chosen':
      return chooseShape(model, message.pick);
    case 'drill-chosen':
      return chooseDrill(model, message.drill);
    case 'set-opened':
      return openRun(model, message);
    case 'requests':
      return showRequests(model, message.library);
    case 'request-found':
      return askKey(model, message.song);
    case 'pedal-chosen':
      return learnPedal(model, message.use);
    case 'sitting':
      return beginSitting({ ...model, standStart: message.start }, message.items, message.at);
    case 'out-chosen':
      return {
        model: { ...model, panel: null, notice: '' },
        effects: [{ kind: 'open-output', outs: [message.out] }],
      };
    case 'written':
      return written(model, message);
    case 'not-written':
      return textNotWritten(model, message);
    case 'player':
      return message.message.kind === 'pedal'
        ? pedalPressed(model, message.message, message.at)
        : heard(model, message.message, message.at);
    case 'clock': {
      const ticked = clock(model, message.at);
      const due = dueNow({ ...ticked.model, at: message.at }, message.at);
      const held = heldPedals(due.model, message.at);
      return { model: held.model, effects: [...ticked.effects, ...due.effects, ...held.effects] };
    }
  }
}

/** A list comes: one that was opened from another leads back to it. */
function showLibrary(model: Model, library: Library): Updated {
  const from = library.from ?? (model.screen === 'library' ? model.library : null);
  return {
    model: { ...model, library: { ...library, from }, screen: 'library', panel: null, notice: '' },
    effects: [],
  };
}

function typed(model: Model, text: string): Updated {
  if (model.entry) return typedInto(model, model.entry, text);
  if (model.set && (model.panel === 'order' || model.panel === 'requests'))
    return typedInOrder(model, model.set, text);
  const { library } = model;
  if (model.screen !== 'library' || !library) return { model, effects: [] };
  return searched(model, library, library.query + text);
}

/** A chart's text stands in its file; an edited demo chart in a file of the player's own; a new chart is opened from there. */
function written(model: Model, message: Extract<Message, { kind: 'written' }>): Updated {
  const { file, says, open } = message;
  if (!open) return textWritten(model, message);
  const { model: told, effects } = forgetTaking({ ...model, notice: says });
  const wishes = { key: null, bpm: null };
  return { model: told, effects: [...effects, { kind: 'open', file, wishes, from: 'chart' }] };
}

/** What the player chose for a chart is kept as soon as it is chosen. */
function keptChoices(before: Stand | null, after: Stand | null): Effect | null {
  if (
    !before ||
    !after ||
    before === after ||
    after.taking ||
    after.file === '' ||
    before.file !== after.file
  )
    return null;
  const choices = changedChoices(before, after);
  return choices && { kind: 'keep', file: after.file, choices, played: false };
}

const panels = {
  help: 'help',
  'choose-key': 'keys',
  'choose-click': 'click',
  'choose-pattern': 'patterns',
  'choose-voices': 'voices',
  'choose-pedals': 'pedals',
} as const;

/** A key that foot switches send: in a set one that repeats itself is pressed once. */
function footPressed(model: Model, key: string, action: Action, at: number): Updated {
  const { set } = model;
  if (!set || model.entry || model.panel !== null) return act(model, action, at);
  const pressed: Model = { ...model, set: { ...set, pressed: { key, at } } };
  return isRepeated(set, key, at) ? { model: pressed, effects: [] } : act(pressed, action, at);
}

/** What an action comes to, by whatever way it was asked for: a key, a pedal. */
export function act(model: Model, action: Action, at: number): Updated {
  if (action === 'leave') {
    const flushed = flushPending(model);
    const left = model.set ? leftInSong(model, model.set, at) : [];
    return { model: flushed.model, effects: [...flushed.effects, ...left, { kind: 'leave' }] };
  }
  if (action === 'suspend') return suspend(model);
  if (model.entry && action !== 'back') return entryAction(model, model.entry, action, at);
  if (action === 'back') return back(model, at);
  if (model.set) {
    const done = setAction(model, model.set, action, at);
    if (done) return done;
  }
  if (action === 'go-on') return goOn(model, at);
  if (action === 'help-page') return { model: { ...model, highlight: model.highlight + 1 }, effects: [] };
  if (action in panels)
    return {
      model: { ...model, ...handsOn(model), panel: panels[action as keyof typeof panels], highlight: 0 },
      effects: [],
    };
  if (action === 'choose-output')
    return {
      model: { ...model, ...handsOn(model), panel: 'outputs' },
      effects: [{ kind: 'tell', message: { kind: 'list' } }],
    };
  if (model.panel === 'voices') return voiceAction(model, action);
  if (model.panel !== null) return { model, effects: [] };
  if (model.screen === 'stand') return standAction(model, action, at);
  return model.library ? libraryAction(model, model.library, action) : { model, effects: [] };
}

/** Out of a sitting, or from a drill back to the chart it was made from; what was pending is kept first. */
function backFromDrill(model: Model, at: number): Updated {
  const flushed = flushPending(model);
  const stop: Effect[] =
    model.player.state === 'running' ? [{ kind: 'tell', message: { kind: 'pause' } }] : [];
  const effects = [...flushed.effects, ...stop];
  if (model.sitting) {
    const ended: Model = { ...flushed.model, sitting: null, stand: null, screen: 'library', notice: '' };
    return model.library
      ? { model: ended, effects }
      : { model: ended, effects: [...effects, { kind: 'leave' }] };
  }
  const { stand } = flushed.model;
  if (!stand?.below) {
    const again = back(flushed.model, at);
    return { model: again.model, effects: [...flushed.effects, ...again.effects] };
  }
  const levels: Effect = { kind: 'levels', levels: heardLevels(stand.below.mix) };
  const below = { ...stand.below, conductor: null, wanted: stand.below.wanted, eager: false };
  return { model: { ...flushed.model, stand: below, notice: '' }, effects: [...effects, levels] };
}

/** The shell takes over for a while: what plays is paused first. */
function suspend(model: Model): Updated {
  const pause: Effect[] =
    model.player.state === 'running' ? [{ kind: 'tell', message: { kind: 'pause' } }] : [];
  return { model, effects: [...pause, { kind: 'suspend' }] };
}

/** One step back: from a line or panel to the stand, from the stand to the list, from a set's list to the first. */
function back(model: Model, at: number): Updated {
  if (model.entry) return { model: { ...model, entry: null }, effects: [] };
  if (model.panel === 'order' || model.panel === 'requests') return orderBack(model);
  if (model.panel !== null)
    return {
      model: {
        ...model,
        panel: null,
        notice: model.pedals.learning ? '' : model.notice,
        pedals: { ...model.pedals, learning: null, down: [] },
      },
      effects: [],
    };
  if (model.set) return leaveRun(model, model.set, at);
  if (model.screen === 'library')
    return model.library ? libraryBack(model, model.library) : { model, effects: [] };
  const kept = model.stand && (leaveTaking(model, model.stand) ?? leaveUnsaved(model, model.stand));
  if (kept) return kept;
  if (model.stand?.taking) return joined(forgetTaking(model), (left) => backFromStand(left, at));
  return backFromStand(model, at);
}

function backFromStand(model: Model, at: number): Updated {
  if (model.sitting || model.stand?.pending || model.stand?.below) return backFromDrill(model, at);
  if (!model.library) return { model, effects: [{ kind: 'leave' }] };
  const running = model.player.state === 'running';
  return {
    model: { ...model, screen: 'library', notice: '' },
    effects: running ? [{ kind: 'tell', message: { kind: 'pause' } }] : [],
  };
}
