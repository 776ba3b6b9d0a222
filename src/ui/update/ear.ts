import { safeText } from '../../base/safe-text.js';
import type { EarMessage } from '../../ear/client.js';
import { say } from '../../listen/say.js';
import type { PassTold } from '../../playback/pass-ear.js';
import { deaf, type EarView, meterStep } from '../state/ear.js';
import type { Model } from '../state/model.js';
import { standMode } from '../state/select.js';
import { noticed, type Step, step, withStand } from './step.js';

/** Marks that are kept of the strokes heard last. */
const mostMarks = 256;

/** Listens, or does no longer. */
export function toggleEar(model: Model): Step {
  const on = !model.ear.on;
  const next: Model = {
    ...model,
    ear: { ...deaf, on },
    notice: on ? 'the microphone is being opened' : 'it listens no longer',
  };
  return step(next, { kind: 'listen', on });
}

/** What the ear's process said. */
export function earSaid(model: Model, message: EarMessage): Step {
  const { ear } = model;
  if (!ear.on) return step(model);
  const seen = (changes: Partial<EarView>): Model => ({ ...model, ear: { ...ear, ...changes } });
  switch (message.kind) {
    case 'opened': {
      const { name, rate } = message;
      const text = `listens to ${safeText(name)}; nothing is kept`;
      return noticed(seen({ opened: { name, rate }, trouble: '', condition: 'fine' }), text);
    }
    case 'level': {
      // Ten of these come in a second: only what is drawn otherwise makes a new model.
      const level = meterStep(message.level);
      return step(level === ear.level ? model : seen({ level }));
    }
    case 'condition': {
      const trouble = safeText(message.sentence ?? '');
      return noticed(seen({ condition: message.condition, trouble }), trouble);
    }
    case 'failed':
    case 'gone':
    case 'stalled':
    case 'died': {
      const trouble = safeText(message.sentence);
      const opened = message.kind === 'stalled' ? ear.opened : null;
      return noticed(seen({ opened, trouble, level: 0 }), trouble);
    }
    case 'trouble':
      return noticed(model, safeText(message.sentence));
    default:
      return step(model);
  }
}

/** What was heard of the music that is played: a mark for a stroke, or a whole pass. */
export function passTold(model: Model, told: PassTold, at: number): Step {
  const mode = standMode(model);
  if (!mode) return step(model);
  if (told.kind === 'mark') {
    const { kind: _, ...mark } = told;
    const strokes = [...mode.stand.strokes, mark].slice(-mostMarks);
    return step({ ...model, mode: withStand(mode, { strokes }) });
  }
  const { began, verdict, bpm } = told;
  const says = say(verdict, { bpm });
  const next: Model = { ...model, mode: withStand(mode, { heard: { verdict, says, at } }) };
  return { model: next, effects: [], events: [{ kind: 'pass-heard', began, verdict, at }] };
}
