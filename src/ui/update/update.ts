import type { Action } from '../keymap.js';
import type { Message, Model, Updated } from '../model.js';
import { heard } from './player.js';
import { voiceAction } from './sound.js';
import { arranged, clock, openChart, setClick, setKey, setPattern, standAction } from './stand.js';

/** The whole program's logic: from a model and what happened to the next model and what is to be done. Pure. */
export function update(model: Model, message: Message): Updated {
  switch (message.kind) {
    case 'action':
      return act(model, message.action, message.at);
    case 'resized':
      return { model: { ...model, size: { columns: message.columns, rows: message.rows } }, effects: [] };
    case 'library':
      return { model: { ...model, library: message.library, screen: 'library', panel: null }, effects: [] };
    case 'highlighted':
      return {
        model: { ...model, library: model.library && { ...model.library, index: message.index } },
        effects: [],
      };
    case 'picked':
      return {
        model: { ...model, notice: '' },
        effects: [{ kind: 'open', file: message.file, wishes: message.wishes }],
      };
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
    case 'out-chosen':
      return {
        model: { ...model, panel: null, notice: '' },
        effects: [{ kind: 'open-output', outs: [message.out] }],
      };
    case 'player':
      return heard(model, message.message, message.at);
    case 'clock':
      return clock(model, message.at);
  }
}

function act(model: Model, action: Action, at: number): Updated {
  switch (action) {
    case 'leave':
      return { model, effects: [{ kind: 'leave' }] };
    case 'back':
      return back(model);
    case 'help':
      return { model: { ...model, panel: 'help' }, effects: [] };
    case 'choose-key':
      return { model: { ...model, panel: 'keys' }, effects: [] };
    case 'choose-click':
      return { model: { ...model, panel: 'click' }, effects: [] };
    case 'choose-pattern':
      return { model: { ...model, panel: 'patterns' }, effects: [] };
    case 'choose-voices':
      return { model: { ...model, panel: 'voices' }, effects: [] };
    case 'voice-back':
    case 'voice-on':
    case 'voice-toggle':
    case 'voice-alone':
    case 'voice-softer':
    case 'voice-louder':
      return voiceAction(model, action);
    case 'choose-output':
      return {
        model: { ...model, panel: 'outputs' },
        effects: [{ kind: 'tell', message: { kind: 'list' } }],
      };
    default:
      return model.screen === 'stand' && model.panel === null
        ? standAction(model, action, at)
        : { model, effects: [] };
  }
}

/** One step back: from a panel to the stand, from the stand to the list, from a set's list to the first. */
function back(model: Model): Updated {
  if (model.panel !== null) return { model: { ...model, panel: null }, effects: [] };
  if (model.screen === 'stand') {
    if (!model.library) return { model, effects: [{ kind: 'leave' }] };
    const running = model.player.state === 'running';
    return {
      model: { ...model, screen: 'library', notice: '' },
      effects: running ? [{ kind: 'tell', message: { kind: 'pause' } }] : [],
    };
  }
  const from = model.library?.from;
  return from ? { model: { ...model, library: from, notice: '' }, effects: [] } : { model, effects: [] };
}
