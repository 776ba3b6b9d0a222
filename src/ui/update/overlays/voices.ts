import { withSetup } from '../../../playback/session.js';
import type { MelodyChoice } from '../../../playback/setup.js';
import { type Voice, voices } from '../../../time/event.js';
import { type Mix, mostLevel } from '../../../time/sound.js';
import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import type { OverlayOf } from '../../state/overlays.js';
import { type Step, step } from '../step.js';

/** Where the tune is heard next, by where it is heard. */
const following: Readonly<Record<MelodyChoice, MelodyChoice>> = {
  sound: 'others',
  others: 'all',
  all: 'sound',
};

/** Percent that a key press is worth. */
const levelStep = 10;

/** A key in the list of voices: choose one, turn it on or off, hear it alone, make it louder or softer. All take effect at once. */
export function voiceAction(model: Model, overlay: OverlayOf<'voices'>, action: Action): Step {
  const { session } = model;
  const mix = session.performance?.setup.mix;
  const voice = voices[overlay.chosen];
  if (!mix || !voice) return step(model);
  const choose = (chosen: number): Step => step({ ...model, voice: chosen, overlay: { ...overlay, chosen } });
  const melody = session.performance?.setup.melody ?? 'sound';
  const mixed = (next: Mix): Step => step({ ...model, session: withSetup(session, { mix: next }) });
  // A player who turns the tune on wants to hear it, whatever the output.
  const heard = (next: Mix, where: MelodyChoice): Step =>
    step({ ...model, session: withSetup(session, { mix: next, melody: where }) });
  switch (action) {
    case 'voice-back':
      return choose(Math.max(0, overlay.chosen - 1));
    case 'voice-on':
      return choose(Math.min(voices.length - 1, overlay.chosen + 1));
    case 'voice-toggle':
      if (voice === 'lead' && !mix.on.lead && mix.alone === null && melody === 'sound')
        return heard({ ...mix, on: { ...mix.on, lead: true } }, 'others');
      return mixed({ ...mix, alone: null, on: { ...mix.on, [voice]: !mix.on[voice] } });
    case 'voice-melody':
      return heard(mix.on.lead ? mix : { ...mix, on: { ...mix.on, lead: true } }, following[melody]);
    case 'voice-alone':
      return mixed({ ...mix, alone: mix.alone === voice ? null : voice });
    case 'voice-softer':
      return mixed(withLevel(mix, voice, -levelStep));
    case 'voice-louder':
      return mixed(withLevel(mix, voice, levelStep));
    default:
      return step(model);
  }
}

function withLevel(mix: Mix, voice: Voice, by: number): Mix {
  const level = Math.max(0, Math.min(mostLevel, mix.levels[voice] + by));
  return { ...mix, levels: { ...mix.levels, [voice]: level } };
}
