import type { Model } from '../state/model.js';

/** A pause that is as good as a rest, ms. */
const restMs = 3 * 60_000;
/** If the clock is looked at after a longer time than this, there was a pause, ms. */
const lookMs = 2000;

/** The music has run until `at`: when it has run for as long as the player set, the stand says that a rest is due. */
export function playedOn(model: Model, at: number): Model {
  const { limit, played, last, told } = model.rest;
  const since = last === null ? 0 : at - last;
  const rested = since >= restMs;
  const sum = (rested ? 0 : played) + (since <= lookMs ? since : 0);
  const due = limit !== null && sum >= limit;
  const rest = { limit, played: sum, last: at, told: due };
  if (!due || told) return { ...model, rest };
  const minutes = Math.round(sum / 60_000);
  const notice = `${minutes} minutes played: rest your hands a while; stop when something hurts`;
  return { ...model, rest, notice };
}
