import { leads } from '../../../band/band.js';
import { bandHeard } from '../../../band/hear.js';
import { layDown, lead } from '../../../band/say.js';
import { safeText } from '../../../base/safe-text.js';
import type { MeetingEvent } from '../../../link/meeting-types.js';
import { leadsAt, newBandView } from '../../state/band.js';
import type { Model } from '../../state/model.js';
import { faulted, inTurn, noticed, type Step, step } from '../step.js';
import { followFrom, leaveBand } from './alone.js';
import { toldByBand } from './events.js';
import { banded } from './out.js';

/** This stand begins to lead a band, over whatever it plays, or joins one: then it waits for the leader's song. */
export function beginBand(model: Model, begins: 'lead' | 'join', at: number): Step {
  const { bandAs } = model;
  if (!bandAs || model.band) return step(model);
  const met = step({ ...model, band: newBandView(bandAs, begins, at) }, { kind: 'meet', begins });
  if (begins === 'lead') return met;
  return inTurn(met, (now) => {
    const mode = followFrom(now);
    return step(mode ? { ...now, mode, overlay: null, confirm: null } : now);
  });
}

/** Something happened where the band meets. */
export function meetingSaid(model: Model, event: MeetingEvent, at: number): Step {
  const { band: view } = model;
  if (!view) return step(model);
  switch (event.kind) {
    case 'met':
      return step({ ...model, band: { ...view, place: event.place } });
    case 'notice':
      return noticed(model, safeText(event.sentence));
    case 'refused': {
      const reason = safeText(event.reason);
      // A stand that was in the band is now in none, and plays on; one that was not in it yet shows why.
      if (view.band.id !== null) return leaveBand(model, at, `${reason}: it plays alone now`);
      return faulted({ ...model, band: { ...view, trouble: reason, refused: true } }, reason);
    }
    case 'down':
    case 'up':
    case 'message': {
      const told = (now: Model, one: Parameters<typeof toldByBand>[1]): Step => toldByBand(now, one, at);
      const trouble =
        event.kind === 'up' ? '' : event.kind === 'down' ? safeText(event.reason) : view.trouble;
      const upAt = event.kind === 'message' ? view.upAt : event.kind === 'up' ? at : null;
      const isSame = trouble === view.trouble && upAt === view.upAt;
      const now = isSame ? model : { ...model, band: { ...view, trouble, upAt } };
      const heard = banded(now, bandHeard(view.band, event, at), told);
      return event.kind === 'up' ? inTurn(heard, (then) => leadAsWanted(then, at)) : heard;
    }
  }
}

/** A stand that goes away for a while gives up the lead: the others should not wait for it. */
export function withoutLead(model: Model, at: number): Step {
  const { band: view } = model;
  if (!view || !leads(view.band)) return step(model);
  return banded(model, layDown(view.band, at), (then, event) => toldByBand(then, event, at));
}

/** A stand that is to lead does so as soon as it is known who has led here. */
export function leadAsWanted(model: Model, at: number): Step {
  const { band: view } = model;
  const due = view && leadsAt(view);
  if (!view || due === null || at < due) return step(model);
  const now: Model = { ...model, band: { ...view, wantsLead: false } };
  return banded(now, lead(view.band, at), (then, event) => toldByBand(then, event, at));
}
