import { freeId, holdCard } from '../../setlist/run.js';
import { type Key, parseKey } from '../../theory/key.js';
import type { Action } from '../keymap.js';
import type { Library, Model, SetRun, StandSong, Updated } from '../model.js';
import { brokenAction } from './broken.js';
import { openEntry } from './entry.js';
import { found } from './library.js';
import { handsOn, leaveRun, orderAction, runAction, songKey, takeRequest } from './run.js';
import { tune } from './tuning.js';

/** A key in a set: in its running order, among the charts for a request, or on its own screens; `null` when it is none of these. */
export function setAction(model: Model, set: SetRun, action: Action, at: number): Updated | null {
  if (model.panel === 'requests') return requestAction(model, set, action);
  if (model.panel === 'order') return orderAction(model, set, action, at);
  if (model.panel !== null) return null;
  if (set.broken) return brokenAction(model, set, action, at);
  if (action === 'order')
    return {
      model: {
        ...model,
        panel: 'order',
        notice: '',
        set: { ...set, run: holdCard(set.run).run, query: '', chosen: set.run.at },
      },
      effects: [],
    };
  if (action === 'go-on' && set.run.phase === 'over') return leaveRun(model, set, at);
  // Tuning takes longer than a gap: the card waits.
  if (action === 'tune' && set.run.phase === 'card' && model.stand)
    return tune({ ...model, ...handsOn(model) }, model.stand);
  return runAction(model, set, action, at);
}

/** The charts among which a request is looked for. */
export function showRequests(model: Model, library: Library): Updated {
  if (!model.set) return { model, effects: [] };
  const requests = { ...library, items: library.items.filter(({ kind }) => kind === 'chart') };
  return { model: { ...model, panel: 'requests', notice: '', set: { ...model.set, requests } }, effects: [] };
}

function requestAction(model: Model, set: SetRun, action: Action): Updated {
  const { requests } = set;
  if (!requests) return { model, effects: [] };
  const items = found(requests);
  const to = (changes: Partial<Library>): Updated => ({
    model: { ...model, set: { ...set, requests: { ...requests, ...changes } } },
    effects: [],
  });
  switch (action) {
    case 'order-back':
      return to({ index: Math.max(0, requests.index - 1) });
    case 'order-on':
      return to({ index: Math.min(items.length - 1, requests.index + 1) });
    case 'order-erase':
      return to({ query: [...requests.query].slice(0, -1).join(''), index: 0 });
    case 'order-jump': {
      const item = items[requests.index];
      if (!item) return { model, effects: [] };
      return { model, effects: [{ kind: 'find-request', file: item.file, id: freeId(set.run.songs) }] };
    }
    default:
      return { model, effects: [] };
  }
}

/** Letters search in the running order, or among the charts. */
export function typedInOrder(model: Model, set: SetRun, text: string): Updated {
  if (model.panel === 'requests' && set.requests) {
    const requests = { ...set.requests, query: set.requests.query + text, index: 0 };
    return { model: { ...model, set: { ...set, requests } }, effects: [] };
  }
  return { model: { ...model, set: { ...set, query: set.query + text, chosen: 0 } }, effects: [] };
}

/** Esc: from the charts to the order, from a search to the whole order, from there to the card or song. */
export function orderBack(model: Model): Updated {
  const { set } = model;
  if (!set) return { model: { ...model, panel: null }, effects: [] };
  if (model.panel === 'requests')
    return { model: { ...model, panel: 'order', notice: '', set: { ...set, requests: null } }, effects: [] };
  if (set.query !== '')
    return { model: { ...model, set: { ...set, query: '', chosen: set.run.at } }, effects: [] };
  return { model: { ...model, panel: null, notice: '' }, effects: [] };
}

/** A chart was found: in which key is it wanted? What the chart has stands there already. */
export function askKey(model: Model, song: StandSong): Updated {
  if (!model.set) return { model, effects: [] };
  const asked: Model = { ...model, panel: 'requests', set: { ...model.set, asked: song } };
  return openEntry(asked, 'request-key', `${song.title}, key or singer`, songKey(song));
}

/** What is wrong with a request's key; empty when nothing is. */
export function requestFault(song: StandSong, text: string): string {
  return keyWanted(song, text) ? '' : `a key like ${songKey(song)}${singersText(song)}`;
}

/** A request's key was typed: it comes next. */
export function requestKeyed(model: Model, text: string, at: number): Updated {
  const { set } = model;
  const song = set?.asked;
  const key = song && keyWanted(song, text);
  if (!set || !song?.start || !key) return { model, effects: [] };
  return takeRequest(model, set, { ...song, start: { ...song.start, key } }, at);
}

/** A key of the chart's mode, or the one that it has for a singer. */
function keyWanted({ chart }: StandSong, text: string): Key | null {
  if (!chart) return null;
  const wanted = text.trim().toLowerCase();
  const singer = chart.singers.find(({ name }) => name.toLowerCase() === wanted);
  if (singer) return singer.key;
  const typed = text.trim();
  const { mode } = chart.key;
  // Who plays a minor song knows that it is minor.
  const key = parseKey(mode === 'minor' && !/m$/.test(typed) ? `${typed}m` : typed);
  return key.ok && key.value.mode === mode ? key.value : null;
}

function singersText({ chart }: StandSong): string {
  const names = (chart?.singers ?? []).map(({ name }) => name);
  return names.length === 0 ? '' : `, or ${names.join(', ')}`;
}
