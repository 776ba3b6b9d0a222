import { type Voice, voices } from '../../time/event.js';
import { heardLevels, type Mix, mostLevel } from '../../time/sound.js';
import type { Action } from '../keymap.js';
import type { Model, Stand, Updated } from '../model.js';

/** Percent that a key press is worth. */
const levelStep = 10;

/** A key in the list of voices: choose one, turn it on or off, hear it alone, make it louder or softer. All take effect at once. */
export function voiceAction(model: Model, action: Action): Updated {
  const { stand, voice } = model;
  const chosen = voices[voice];
  if (!stand || !chosen) return { model, effects: [] };
  switch (action) {
    case 'voice-back':
      return { model: { ...model, voice: Math.max(0, voice - 1) }, effects: [] };
    case 'voice-on':
      return { model: { ...model, voice: Math.min(voices.length - 1, voice + 1) }, effects: [] };
    case 'voice-toggle':
      return mixed(model, stand, {
        ...stand.mix,
        alone: null,
        on: { ...stand.mix.on, [chosen]: !stand.mix.on[chosen] },
      });
    case 'voice-alone':
      return mixed(model, stand, { ...stand.mix, alone: stand.mix.alone === chosen ? null : chosen });
    case 'voice-softer':
      return mixed(model, stand, withLevel(stand.mix, chosen, -levelStep));
    case 'voice-louder':
      return mixed(model, stand, withLevel(stand.mix, chosen, levelStep));
    default:
      return { model, effects: [] };
  }
}

function withLevel(mix: Mix, voice: Voice, by: number): Mix {
  const level = Math.max(0, Math.min(mostLevel, mix.levels[voice] + by));
  return { ...mix, levels: { ...mix.levels, [voice]: level } };
}

function mixed(model: Model, stand: Stand, mix: Mix): Updated {
  return {
    model: { ...model, stand: { ...stand, mix } },
    effects: [{ kind: 'levels', levels: heardLevels(mix) }],
  };
}
