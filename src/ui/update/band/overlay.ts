import { leads } from '../../../band/band.js';
import type { PartName } from '../../../band/parts.js';
import { partNames } from '../../../band/parts.js';
import { layDown, talk, turnAway } from '../../../band/say.js';
import { type TalkWord, talkShownMs, talkText } from '../../../band/talk.js';
import type { Action } from '../../keys/actions.js';
import { type BandView, bandRows } from '../../state/band.js';
import type { Confirm, Model } from '../../state/model.js';
import type { BandOverlay } from '../../state/overlays.js';
import { openLine } from '../stand/type-line.js';
import { inTurn, noticed, type Step, step } from '../step.js';
import { leaveBand } from './alone.js';
import { toldByBand } from './events.js';
import { beginBand, leadAsWanted } from './meeting.js';
import { banded, goneOut } from './out.js';

/** The keys of a caller's words, in their order; the same keys choose whose break it is. */
const calls: Partial<Readonly<Record<Action, TalkWord>>> = {
  'call-once-more': 'once more',
  'call-last-time': 'last time',
  'call-softer': 'softer',
  'call-key-up': 'key up',
  'call-break': 'break',
  'call-hold': 'hold',
  'call-end': 'end',
};

/** Within this time it must be asked for again, ms. */
const sureMs = 3000;

/** A key in the overlay of the band. */
export function bandAction(model: Model, overlay: BandOverlay, action: Action, at: number): Step {
  const { band: view } = model;
  if (action === 'band') return step({ ...model, overlay: null });
  if (!view)
    return action === 'band-lead'
      ? beginBand(model, 'lead', at)
      : noticed(model, 'you play alone: l leads a band');
  const word = calls[action];
  if (word) return called(model, view, overlay, word, at);
  switch (action) {
    case 'band-lead':
      if (leads(view.band)) return noticed(model, 'you lead already');
      if (view.refused) return noticed(model, 'this stand cannot join the band; o leaves it');
      return takesLead(model, view, at);
    case 'band-lay-down':
      if (!leads(view.band)) return noticed(model, 'you do not lead');
      return banded(model, layDown(view.band, at), (now, event) => toldByBand(now, event, at));
    case 'band-leave':
      return sure(model, 'leave-band', at)
        ? leaveBand(model, at, 'you have left the band')
        : asked(model, 'leave-band', 'o again leaves the band', at);
    case 'band-request':
      return leads(view.band)
        ? noticed(model, 'you lead: in a set, g opens the running order')
        : openLine(model, { kind: 'ask-song' }, 'ask for the song');
    case 'band-keep-chart':
      return view.band.song && model.mode.kind === 'follow'
        ? openLine(model, { kind: 'keep-chart' }, 'in your own charts as', view.band.song.chart.title)
        : noticed(model, 'there is no leader’s chart to keep');
    default:
      return rowAction(model, view, overlay, action, at);
  }
}

/** The lead is taken: at once, or, if the broker has gone with the leader, when this stand has opened another. */
function takesLead(model: Model, view: BandView, at: number): Step {
  const wanting: Model = { ...model, band: { ...view, wantsLead: true } };
  return view.band.up
    ? inTurn(step(wanting), (now) => leadAsWanted(now, at))
    : inTurn(step(wanting, { kind: 'band-leads', leads: true }), (now) =>
        noticed(now, 'you will lead as soon as the network is there'),
      );
}

/** A word is called; it is shown here too. Of a break it is asked first whose it is. */
function called(model: Model, view: BandView, overlay: BandOverlay, key: TalkWord, at: number): Step {
  if (!view.band.up) return noticed(model, 'the network is not there: nobody would see it');
  if (overlay.whose) {
    const part = partNames[Object.values(calls).indexOf(key)];
    return part ? said(model, view, 'break', part, at) : step(model);
  }
  return key === 'break'
    ? step({ ...model, overlay: { ...overlay, whose: true }, notice: '' })
    : said(model, view, key, null, at);
}

function said(model: Model, view: BandView, word: TalkWord, part: PartName | null, at: number): Step {
  const shown = { from: view.band.name, text: talkText({ word, part }), until: at + talkShownMs };
  return goneOut(
    { ...model, overlay: null, notice: '', band: { ...view, talk: shown } },
    talk(view.band, word, part),
  );
}

/** A leader chooses among requests and members; the stand that runs the broker, among members. */
function rowAction(model: Model, view: BandView, overlay: BandOverlay, action: Action, at: number): Step {
  const rows = bandRows(view);
  const chosen = Math.max(0, Math.min(rows.length - 1, overlay.chosen));
  const row = rows[chosen];
  const choose = (next: number): Step =>
    step({ ...model, overlay: { ...overlay, chosen: Math.max(0, Math.min(rows.length - 1, next)) } });
  switch (action) {
    case 'band-back':
      return choose(chosen - 1);
    case 'band-on':
      return choose(chosen + 1);
    case 'band-take':
      return row?.kind === 'request' ? looksUp(model, view, row.at) : step(model);
    case 'band-out':
      if (!row) return step(model);
      if (row.kind === 'request') return step({ ...model, band: without(view, row.at) });
      if (!sure(model, 'turn-away', at))
        return asked(model, 'turn-away', `x again turns ${row.member.name} away`, at);
      return inTurn(
        banded(model, turnAway(view.band, row.member.id, at), (now, event) => toldByBand(now, event, at)),
        (now) =>
          step(
            { ...now, confirm: null, notice: `${row.member.name} is turned away` },
            { kind: 'turn-away', id: row.member.id },
          ),
      );
    default:
      return step(model);
  }
}

/** A song that was asked for is looked for among the charts, to come next in the running order. */
function looksUp(model: Model, view: BandView, at: number): Step {
  const { mode } = model;
  const wanted = view.requests[at];
  if (!wanted) return step(model);
  if (mode.kind !== 'set') return noticed(model, 'songs can be added only while a set is played');
  const overlay = { kind: 'order', query: '', chosen: mode.run.at, asked: wanted.title } as const;
  return step({ ...model, overlay, notice: '', band: without(view, at) }, { kind: 'list-requests' });
}

function without(view: BandView, at: number): BandView {
  return { ...view, requests: view.requests.filter((_, index) => index !== at) };
}

function sure({ confirm }: Model, what: Confirm['what'], at: number): boolean {
  return confirm?.what === what && at - confirm.at < sureMs;
}

function asked(model: Model, what: Confirm['what'], notice: string, at: number): Step {
  return noticed({ ...model, confirm: { what, at } }, notice);
}
