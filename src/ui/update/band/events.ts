import type { BandEvent } from '../../../band/band.js';
import { inClass } from '../../../band/band.js';
import { talkShownMs } from '../../../band/talk.js';
import type { Chart } from '../../../chart/chart.js';
import { startOf } from '../../../playback/setup.js';
import { type BandView, leaderName } from '../../state/band.js';
import { joinCommands } from '../../state/join-words.js';
import type { Model } from '../../state/model.js';
import type { Overlay } from '../../state/overlays.js';
import { startAs } from '../../state/stand-start.js';
import { rulesOf } from '../modes.js';
import { flushPending } from '../stand/pending.js';
import { newStand, putOn } from '../stand/put-on.js';
import { faulted, inTurn, noticed, type Step, step } from '../step.js';
import { followFrom, leaveBand, ownAgain } from './alone.js';

/** The most songs that are remembered as asked for. */
const mostRequests = 50;

/** Something has happened in the band. */
export function toldByBand(model: Model, event: BandEvent, at: number): Step {
  const { band: view } = model;
  if (!view) return step(model);
  const seen = (changes: Partial<BandView>): Model => ({ ...model, band: { ...view, ...changes } });
  switch (event.kind) {
    case 'leader':
      if (event.mine) return beganToLead(model);
      // A stand that is about to lead goes on with what it plays.
      if (view.wantsLead) return step(model);
      return event.name === null ? nobodyLeads(model) : beganToFollow(model, event.name, at);
    case 'lapsed':
      return faulted(model, 'the network does not answer: you do not lead the others until it does');
    case 'network':
      return event.up
        ? noticed(
            seen({ trouble: '' }),
            leaderName(view) === null && !view.wantsLead
              ? 'the network is back, and nobody leads: press B, then l, to lead'
              : 'the network is back',
          )
        : faulted(seen({ trouble: event.reason }), lostText(model, view));
    case 'song':
      return view.wantsLead ? step(model) : songCame(model, event.song.chart, at);
    case 'unreadable':
      return faulted(model, event.reason);
    case 'talk':
      return step(seen({ talk: { from: event.from, text: event.text, until: at + talkShownMs } }));
    case 'request': {
      const { from, title } = event;
      const requests = [...view.requests, { from, title }].slice(-mostRequests);
      return noticed(seen({ requests }), `${from} asks for ${title}; press B for the requests`);
    }
    case 'result': {
      if (!view.isClass) return step(model);
      const { id, from, pass, line } = event;
      return step(seen({ results: new Map(view.results).set(id, { from, pass, line }) }));
    }
    case 'joined':
    case 'left': {
      const { name, part } = event.member;
      const says = event.kind === 'joined' ? `${name} has joined: ${part}` : `${name} has left`;
      return inPassing(model, view, says, at);
    }
    case 'turned-away':
      return leaveBand(model, at, 'the leader has turned this stand away: it plays alone now');
    case 'alone':
      return noticed(model, 'nobody leads any more: it goes on to the end of the pass');
    case 'set':
    case 'notes':
      return step(model);
  }
}

/** Shows something worth knowing, unless there is something that must be read. */
function inPassing(model: Model, view: BandView, says: string, at: number): Step {
  const free = model.notice === '' || model.notice === view.says;
  if (!free || view.band.claims?.role === 'follows') return step(model);
  return step({ ...model, at, notice: says, band: { ...view, says, saidAt: at } });
}

function lostText({ session: { link } }: Model, { band }: BandView): string {
  if (link.state !== 'running') return 'the network has gone; looking for it again';
  return band.claims?.role === 'follows'
    ? 'the network has gone; the song goes on without it'
    : 'the network has gone; the song goes on here, and the others go on without you';
}

function nobodyLeads(model: Model): Step {
  return noticed(model, 'nobody leads now: press B, then l, to lead');
}

/** This stand leads: what was followed goes on as its own. */
function beganToLead(model: Model): Step {
  const { mode, band: view } = model;
  const own = mode.kind === 'follow' ? ownAgain(model, mode, view?.band.song?.source ?? '') : step(model);
  return inTurn(own, (now) =>
    noticed(
      now,
      now.mode.kind === 'follow' ? 'you lead now, and have no chart to lead with' : leadText(view),
    ),
  );
}

function leadText(view: BandView | null): string {
  const { place = null } = view ?? {};
  if (!place) return 'you lead now';
  const { byWord, byAddress } = joinCommands(place);
  return `you lead; the others type: ${place.carried ? byWord : byAddress}`;
}

/** Somebody else leads: what plays here goes on until their song comes, if it is another. */
function beganToFollow(model: Model, name: string, at: number): Step {
  const { mode, band: view } = model;
  const teaches = view && inClass(view.band);
  const told = teaches ? `${name} leads, and is told how your passes were` : `${name} leads`;
  const isSilent = view?.began === 'join' && model.session.link.out?.kind === 'none';
  const says = isSilent ? `${told}; silent here: o for sound` : told;
  const next = followFrom(model);
  if (!next) return noticed(model, says);
  const kept = mode.kind === 'chart' || mode.kind === 'set';
  const left = kept ? step(model) : rulesOf(model).leaving(model, mode, at);
  return inTurn(left, (now) =>
    noticed(
      {
        ...now,
        mode: next,
        // A drill or a sitting cannot be resumed.
        session: kept ? now.session : { ...now.session, performance: null },
        overlay: now.overlay?.kind === 'band' ? now.overlay : null,
        confirm: null,
      },
      says,
    ),
  );
}

/** Overlays that are about the chart on the stand. */
const ofTheChart: readonly Overlay['kind'][] = ['shapes', 'drills', 'tuning', 'order', 'requests', 'keys'];

/** The leader's song: it comes onto the stand in this player's own way. */
function songCame(model: Model, chart: Chart, at: number): Step {
  const { mode, overlay } = model;
  if (mode.kind !== 'follow')
    return inTurn(beganToFollow(model, model.band ? (leaderName(model.band) ?? '') : '', at), (now) =>
      now.mode.kind === 'follow' ? songCame(now, chart, at) : step(now),
    );
  const { performance } = model.session;
  const { sight } = mode.stand;
  const own = performance ? startOf(performance.setup) : mode.start;
  const start = { ...startAs(own, chart), sight };
  return inTurn(flushPending(model, mode), (now) => {
    const put = putOn(now, { ...mode, stand: newStand(start), look: null, ended: 0 }, chart, start);
    // Nothing that is being read, typed or chosen is taken away by a song.
    const kept = overlay && !ofTheChart.includes(overlay.kind) ? overlay : null;
    return { ...put, model: { ...put.model, overlay: kept, notice: now.notice } };
  });
}
