import { leads } from '../../../band/band.js';
import { bandPlayed, forBand } from '../../../band/play.js';
import { settled } from '../../../playback/arranging.js';
import type { Effect } from '../../state/messages.js';
import type { Model } from '../../state/model.js';
import { sharedSession } from '../../state/shared-session.js';
import { inTurn, played, type Step, step } from '../step.js';
import { toldByBand } from './events.js';
import { banded } from './out.js';
import { shared } from './share.js';

/**
 * Session and band are brought together, at the end of every step: the leader tells what has changed, a follower plays what was told.
 * Nothing happens where the stand plays alone.
 */
export function withBand(model: Model, at: number): Step {
  const { band: view, session } = model;
  if (!view) return step(model);
  const ours = sharedSession(model);
  const isOwn = ours !== session;
  const by = bandPlayed(view.band, ours, at);
  const looked: Model = { ...model, band: { ...view, lookedAt: at } };
  return inTurn(
    banded(looked, by, (now, event) => toldByBand(now, event, at)),
    (now) => (isOwn || now.session !== session ? step(now) : played(now, by.played)),
    (now) => played(now, settled(now.session, at)),
    (now) => shared(now, at),
  );
}

/** Messages to the player are adapted to the band; the meeting is told when this stand leads, or no longer does. */
export function forMeeting(before: Model, model: Model, effects: readonly Effect[]): readonly Effect[] {
  const { band } = model;
  if (!band) return effects;
  const own = effects.flatMap((effect): readonly Effect[] =>
    effect.kind === 'tell' ? forBand(band.band, [effect]) : [effect],
  );
  const isLeading = holdsLead(model);
  // The meeting goes first: what a leader says may need a broker that lets it.
  return isLeading === holdsLead(before) ? own : [{ kind: 'band-leads', leads: isLeading }, ...own];
}

/** Whether this stand holds the lead; a claim that could not be renewed for a while is held until somebody else leads. */
function holdsLead({ band }: Model): boolean {
  return band?.band.claims != null && (leads(band.band) || band.band.claims.role === 'lapsed');
}
