import { request } from '../../../band/say.js';
import type { Model } from '../../state/model.js';
import { inTurn, noticed, type Step, step } from '../step.js';
import { goneOut } from './out.js';

/** A song was named that the leader is asked for. */
export function songAsked(model: Model, title: string): Step {
  const { band: view } = model;
  if (!view) return step(model);
  if (!view.band.up) return noticed(model, 'the network is not there: the leader cannot be asked');
  return inTurn(goneOut(model, request(view.band, title)), (now) => noticed(now, `asked for ${title}`));
}

/** A name was typed under which the leader's chart goes into the player's own folder: the one way from the network to the disk. */
export function chartKept(model: Model, name: string): Step {
  const song = model.band?.band.song ?? null;
  if (!song) return step(model);
  return step(model, { kind: 'write-copy', of: '', name, text: song.source });
}
