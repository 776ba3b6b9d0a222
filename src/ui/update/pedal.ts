import {
  learned,
  longMs,
  type PedalUse,
  pedalHeard,
  pedalMessage,
  pedalsDue,
  pedalText,
  pedalWords,
  signText,
} from '../../player/pedals.js';
import { pedalActions } from '../keymap.js';
import type { Model, Updated } from '../model.js';
import { placeOf } from '../place.js';
import { act } from './update.js';

/** A message that a pedal sent. */
interface Heard {
  readonly status: number;
  readonly data1: number;
  readonly data2: number;
  readonly time: number;
}

/** A pedal goes down or up: it is learned, or does what it is for. Bounces are told by when messages arrived, not by when we hear of them. */
export function pedalPressed(model: Model, { status, data1, data2, time }: Heard, at: number): Updated {
  const message = pedalMessage(status, data1, data2);
  if (!message) return { model, effects: [] };
  const { learning } = model.pedals;
  if (learning) return learnFrom(model, learning, message, time);
  const { board, uses } = pedalHeard(model.pedals, message, time);
  return used({ ...model, pedals: board }, uses, at);
}

/** Pedals that have been held down long enough. */
export function heldPedals(model: Model, at: number): Updated {
  const { board, uses } = pedalsDue(model.pedals, at);
  return board === model.pedals ? { model, effects: [] } : used({ ...model, pedals: board }, uses, at);
}

function used(model: Model, uses: readonly PedalUse[], at: number): Updated {
  let done: Updated = { model, effects: [] };
  for (const use of uses) {
    const action = pedalActions(use, placeOf(done.model));
    if (!action) continue;
    const next = act(done.model, action, at);
    done = { model: next.model, effects: [...done.effects, ...next.effects] };
  }
  return done;
}

/** A use was chosen in the list of pedals: the next pedal that is pressed is for it; chosen again, none is. */
export function learnPedal(model: Model, use: PedalUse): Updated {
  const known = model.pedals.known.filter((pedal) => pedal.use !== use);
  if (model.pedals.learning === use)
    return {
      model: {
        ...model,
        pedals: { ...model.pedals, known, learning: null },
        notice: `no pedal for: ${pedalWords[use]}`,
      },
      effects: [{ kind: 'keep-pedals', pedals: known }],
    };
  return {
    model: {
      ...model,
      pedals: { ...model.pedals, learning: use, down: [] },
      notice: `press the pedal for: ${pedalWords[use]}. Hold it for a long press. Enter again: none`,
    },
    effects: [{ kind: 'tell', message: { kind: 'pedals', from: 'all' } }],
  };
}

/** A short press is learned when the pedal is let go, a long one when it was held; a program change at once. */
function learnFrom(
  model: Model,
  use: PedalUse,
  { sign, down }: { readonly sign: Parameters<typeof signText>[0]; readonly down: boolean },
  time: number,
): Updated {
  const first = model.pedals.down[0];
  const name = signText(sign);
  if (down && sign.kind !== 'program') {
    if (first) return { model, effects: [] };
    const learning = { ...model.pedals, down: [{ sign, since: time, done: true }] };
    return {
      model: {
        ...model,
        pedals: learning,
        notice: `${name} is down: let it go, or hold it for a long press`,
      },
      effects: [],
    };
  }
  if (!down && (!first || signText(first.sign) !== name)) return { model, effects: [] };
  const long = !down && first !== undefined && time - first.since >= longMs;
  const known = learned(model.pedals.known, { use, sign, long });
  return {
    model: {
      ...model,
      pedals: { ...model.pedals, known, learning: null, down: [] },
      notice: `${pedalText({ sign, long })}: ${pedalWords[use]}`,
    },
    effects: [{ kind: 'keep-pedals', pedals: known }],
  };
}
