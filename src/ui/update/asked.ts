import { passView } from '../../playback/pass-view.js';
import { retaken } from '../../playback/retake.js';
import { withSetup } from '../../playback/session.js';
import { setRange } from '../../playback/transport.js';
import type { Ask } from '../state/asks.js';
import type { LibraryItem } from '../state/library.js';
import type { MessageOf } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { standMode } from '../state/select.js';
import { barFault, writeBar } from './modes/chart/pencil.js';
import { orderAction } from './modes/set/order.js';
import { rulesOf } from './modes.js';
import { toLibrary } from './stand/put-on.js';
import { setTempo } from './stand/tempo.js';
import { faulted, inTurn, noticed, played, type Step, step, withStand } from './step.js';

/** Does what a typed command asks for in one step, by the rules that keys follow. */
export function asked(model: Model, { ask, at }: MessageOf<'asked'>): Step {
  const { session } = model;
  switch (ask.kind) {
    case 'fresh':
      return step(model.notice === '' ? model : { ...model, notice: '', once: null });
    case 'tempo':
      return setTempo(model, ask.bpm);
    case 'loop':
      return played(model, setRange(session, ask.range, at));
    case 'passes':
      return played(model, retaken(withSetup(session, { passes: ask.passes }), at));
    case 'sounds':
      return step({ ...model, session: withSetup(session, ask.changes) });
    case 'sight': {
      const mode = standMode(model);
      return step(
        mode
          ? { ...model, mode: withStand(mode, { sight: { ...mode.stand.sight, ...ask.changes } }) }
          : model,
      );
    }
    case 'bar':
      return barAsked(model, ask);
    case 'song': {
      const { mode } = model;
      if (mode.kind !== 'set') return step(model);
      const overlay = { kind: 'order', query: '', chosen: ask.place } as const;
      const done = orderAction({ ...model, overlay }, mode, overlay, ask.does, at);
      return { ...done, model: { ...done.model, overlay: null } };
    }
    case 'open':
      return openAsked(model, ask.item, at);
    case 'library':
      return step({ ...model, library: model.library ?? ask.library });
  }
}

/** A chart replaces what is on the stand; for a list the stand is left first. What must be kept is kept. */
function openAsked(model: Model, item: LibraryItem, at: number): Step {
  const { file, wishes, kind } = item;
  if (kind === 'faulty') return faulted(model, item.detail);
  if (model.mode.kind === 'follow')
    return noticed(model, 'the leader’s song is on the stand; leave the band to open another');
  const opened = (now: Model): Step =>
    step({ ...now, notice: '' }, { kind: 'open', file, wishes, from: kind === 'unread' ? 'chart' : kind });
  if (model.mode.kind === 'library') return opened(model);
  const left = rulesOf(model).leaving(model, model.mode, at);
  return kind === 'chart' || kind === 'unread' ? inTurn(left, opened) : inTurn(left, toLibrary, opened);
}

/** Rewrites a bar without going there; mistakes in its text are reported. */
function barAsked(model: Model, { bar, text }: Extract<Ask, { readonly kind: 'bar' }>): Step {
  const { performance } = model.session;
  const view = performance && passView(performance);
  const source = view?.bars[bar]?.source ?? null;
  if (!source || model.mode.kind !== 'chart')
    return faulted(model, 'this bar cannot be written here; edit the file');
  const fault = barFault(model, source, text);
  return fault === '' ? writeBar(model, source, text) : faulted(model, fault);
}
