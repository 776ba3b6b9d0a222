import type { BandEvent, BandStep } from '../../../band/band.js';
import type { Effect } from '../../state/messages.js';
import type { Model } from '../../state/model.js';
import { type Step, step } from '../step.js';

/** The result of a step of the band without its events: its new state, and what is sent. */
export function goneOut(model: Model, { band, publishes, subscribes }: BandStep): Step {
  const { band: view } = model;
  if (!view) return step(model);
  const effects: Effect[] = [];
  if (subscribes.length > 0) effects.push({ kind: 'band-subscribe', topics: subscribes });
  if (publishes.length > 0) effects.push({ kind: 'band-publish', publishes });
  return step(band === view.band ? model : { ...model, band: { ...view, band } }, ...effects);
}

/** The same with its events, each handled by `told`. */
export function banded(model: Model, by: BandStep, told: (model: Model, event: BandEvent) => Step): Step {
  return by.events.reduce(
    (before, event) => {
      const next = told(before.model, event);
      return {
        model: next.model,
        effects: [...before.effects, ...next.effects],
        events: [...before.events, ...next.events],
      };
    },
    goneOut(model, by),
  );
}
