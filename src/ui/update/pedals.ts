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
} from '../../playback/pedals.js';
import { pedalActions } from '../keys/pedals.js';
import { placeOf } from '../keys/place.js';
import type { Model } from '../state/model.js';
import { act } from './act.js';
import { inTurn, noticed, type Step, step } from './step.js';

/** A message that a pedal sent. */
interface Heard {
  readonly status: number;
  readonly data1: number;
  readonly data2: number;
  readonly time: number;
}

/** A pedal goes down or up: it is learned, or does what it is for. Bounces are recognised by when messages arrived, not by when we hear of them. */
export function pedalPressed(model: Model, { status, data1, data2, time }: Heard, at: number): Step {
  const message = pedalMessage(status, data1, data2);
  if (!message) return step(model);
  const { learning } = model.pedals;
  if (learning) return learnFrom(model, learning, message, time);
  const { board, uses } = pedalHeard(model.pedals, message, time);
  return used({ ...model, pedals: board }, uses, at);
}

/** Pedals that have been held down long enough. */
export function heldPedals(model: Model, at: number): Step {
  const { board, uses } = pedalsDue(model.pedals, at);
  return board === model.pedals ? step(model) : used({ ...model, pedals: board }, uses, at);
}

function used(model: Model, uses: readonly PedalUse[], at: number): Step {
  return inTurn(
    step(model),
    ...uses.map((use) => (now: Model): Step => {
      const action = pedalActions(use, placeOf(now));
      return action ? act(now, action, at, 'pedal') : step(now);
    }),
  );
}

/** A use was chosen in the list of pedals: the next pedal that is pressed is for it; chosen again, none is. */
export function learnPedal(model: Model, use: PedalUse): Step {
  const { pedals } = model;
  const known = pedals.known.filter((pedal) => pedal.use !== use);
  if (pedals.learning === use) {
    const notice = `no pedal for: ${pedalWords[use]}`;
    return step(
      { ...model, pedals: { ...pedals, known, learning: null }, notice },
      { kind: 'keep-pedals', pedals: known },
    );
  }
  const notice = `press the pedal for: ${pedalWords[use]}. Hold it for a long press. Enter again: none`;
  return step(
    { ...model, pedals: { ...pedals, learning: use, down: [] }, notice },
    { kind: 'tell', message: { kind: 'pedals', from: 'all' } },
  );
}

/** A short press is learned when the pedal is released, a long one when it was held; a program change at once. */
function learnFrom(
  model: Model,
  use: PedalUse,
  { sign, down }: { readonly sign: Parameters<typeof signText>[0]; readonly down: boolean },
  time: number,
): Step {
  const { pedals } = model;
  const first = pedals.down[0];
  const name = signText(sign);
  if (down && sign.kind !== 'program') {
    if (first) return step(model);
    const pressed = { ...pedals, down: [{ sign, since: time, done: true }] };
    return noticed({ ...model, pedals: pressed }, `${name} is down: let it go, or hold it for a long press`);
  }
  if (!down && (!first || signText(first.sign) !== name)) return step(model);
  const long = !down && first !== undefined && time - first.since >= longMs;
  const known = learned(pedals.known, { use, sign, long });
  const notice = `${pedalText({ sign, long })}: ${pedalWords[use]}`;
  return step(
    { ...model, pedals: { ...pedals, known, learning: null, down: [] }, notice },
    { kind: 'keep-pedals', pedals: known },
  );
}
