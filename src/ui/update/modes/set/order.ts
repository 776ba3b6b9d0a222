import { addSong, jumpToSong, leaveOut, moveSong } from '../../../../setlist/run.js';
import type { Action } from '../../../keys/actions.js';
import type { Model } from '../../../state/model.js';
import type { SetMode, StandSong } from '../../../state/modes.js';
import type { OrderOverlay } from '../../../state/overlays.js';
import { ordered, songKey } from '../../../state/select.js';
import { inTurn, noticed, type Step, step } from '../../step.js';
import { keptRun, ranOn } from './steps.js';

/** A line of the running order was chosen, moved, or left out; the order was searched. */
export function orderAction(
  model: Model,
  mode: SetMode,
  overlay: OrderOverlay,
  action: Action,
  at: number,
): Step {
  const found = ordered(mode, overlay);
  const song = found[Math.min(overlay.chosen, found.length - 1)];
  const choose = (chosen: number): Step =>
    step({ ...model, overlay: { ...overlay, chosen: Math.max(0, Math.min(found.length - 1, chosen)) } });
  switch (action) {
    case 'order-back':
      return choose(overlay.chosen - 1);
    case 'order-on':
      return choose(overlay.chosen + 1);
    case 'order-erase':
      return step({
        ...model,
        overlay: { ...overlay, query: [...overlay.query].slice(0, -1).join(''), chosen: 0 },
      });
    case 'order-jump': {
      if (!song) return step(model);
      const done = ranOn({ ...model, overlay: null }, mode, jumpToSong(mode.run, song.id), at);
      return done.model.mode.kind === 'set' && done.model.mode.run.wanted === song.id
        ? inTurn(done, (now) => noticed(now, `after this song: ${song.title}`))
        : done;
    }
    case 'order-earlier':
    case 'order-later':
      return song ? moved(model, mode, overlay, song, action === 'order-later' ? 1 : -1, at) : step(model);
    case 'order-out':
      return song ? inTurn(ranOn(model, mode, leaveOut(mode.run, song.id), at), kept) : step(model);
    case 'request':
      return step(model, { kind: 'list-requests' });
    default:
      return step(model);
  }
}

function moved(
  model: Model,
  mode: SetMode,
  overlay: OrderOverlay,
  song: StandSong,
  way: 1 | -1,
  at: number,
): Step {
  const done = ranOn(model, mode, moveSong(mode.run, song.id, way), at);
  const now = done.model.mode;
  if (now.kind !== 'set') return done;
  const chosen = Math.max(
    0,
    ordered(now, overlay).findIndex(({ id }) => id === song.id),
  );
  return inTurn({ ...done, model: { ...done.model, overlay: { ...overlay, chosen } } }, kept);
}

/** A request was found and given a key: it comes next. */
export function takeRequest(model: Model, mode: SetMode, song: StandSong, at: number): Step {
  const done = ranOn({ ...model, overlay: null }, mode, addSong(mode.run, song), at);
  return inTurn(done, (now) => noticed(now, `next: ${song.title} in ${songKey(song)}`), kept);
}

/** What has become of the order is kept, from now on. */
function kept(model: Model): Step {
  if (model.mode.kind !== 'set') return step(model);
  const mode: SetMode = { ...model.mode, keeps: true };
  return step({ ...model, mode }, keptRun(mode));
}
