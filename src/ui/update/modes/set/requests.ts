import { freeId } from '../../../../setlist/run.js';
import { type Key, parseKey } from '../../../../theory/key.js';
import type { Action } from '../../../keys/actions.js';
import type { Library } from '../../../state/library.js';
import { found } from '../../../state/library-found.js';
import type { Model } from '../../../state/model.js';
import type { SetMode, StandSong } from '../../../state/modes.js';
import type { RequestsOverlay } from '../../../state/overlays.js';
import { overlayOf, songKey } from '../../../state/select.js';
import { inNextOrder, isRequest, wanting } from '../../lists.js';
import { openLine } from '../../stand/type-line.js';
import { type Step, step } from '../../step.js';
import { takeRequest } from './order.js';

/** The charts among which a request is looked for. */
export function showRequests(model: Model, library: Library): Step {
  const order = overlayOf(model, 'order') ?? overlayOf(model, 'requests')?.order;
  if (model.mode.kind !== 'set' || !order) return step(model);
  const items = library.items.filter(isRequest);
  const charts: Library = { ...library, items, query: order.asked ?? library.query };
  return step(
    { ...model, overlay: { kind: 'requests', library: charts, order }, notice: '' },
    ...wanting(charts),
  );
}

/** A key among the charts. */
export function requestAction(model: Model, mode: SetMode, overlay: RequestsOverlay, action: Action): Step {
  const { library } = overlay;
  const items = found(library);
  const to = (changes: Partial<Library>): Step =>
    step({ ...model, overlay: { ...overlay, library: { ...library, ...changes } } });
  switch (action) {
    case 'order-back':
      return to({ index: Math.max(0, library.index - 1) });
    case 'order-on':
      return to({ index: Math.min(items.length - 1, library.index + 1) });
    case 'order-erase':
      return to({ query: [...library.query].slice(0, -1).join(''), index: 0 });
    case 'list-order': {
      const { library: sorted, effects } = inNextOrder(library);
      return step({ ...model, overlay: { ...overlay, library: sorted } }, ...effects);
    }
    case 'order-jump': {
      const item = items[library.index];
      return item
        ? step(model, { kind: 'find-request', file: item.file, id: freeId(mode.run.songs) })
        : step(model);
    }
    default:
      return step(model);
  }
}

/** A chart was found: in which key is it wanted? What the chart has stands there already. */
export function askKey(model: Model, song: StandSong): Step {
  const requests = overlayOf(model, 'requests');
  if (model.mode.kind !== 'set' || !requests) return step(model);
  const label = `${song.title}, key or singer`;
  return openLine(model, { kind: 'request-key', song }, label, songKey(song), requests);
}

/** What is wrong with a request's key; empty when nothing is. */
export function requestFault(song: StandSong, text: string): string {
  return keyWanted(song, text) ? '' : `a key like ${songKey(song)}${singersText(song)}`;
}

/** A request's key was typed: it comes next. */
export function requestKeyed(model: Model, song: StandSong, text: string, at: number): Step {
  const key = keyWanted(song, text);
  if (model.mode.kind !== 'set' || !song.start || !key) return step(model);
  return takeRequest(model, model.mode, { ...song, start: { ...song.start, key } }, at);
}

/** A key of the chart's mode, or the one that it has for a singer. */
function keyWanted({ chart }: StandSong, text: string): Key | null {
  if (!chart) return null;
  const wanted = text.trim().toLowerCase();
  const singer = chart.singers.find(({ name }) => name.toLowerCase() === wanted);
  if (singer) return singer.key;
  const typed = text.trim();
  const { mode } = chart.key;
  // A player who plays a minor song knows that it is minor.
  const key = parseKey(mode === 'minor' && !/m$/.test(typed) ? `${typed}m` : typed);
  return key.ok && key.value.mode === mode ? key.value : null;
}

function singersText({ chart }: StandSong): string {
  const names = (chart?.singers ?? []).map(({ name }) => name);
  return names.length === 0 ? '' : `, or ${names.join(', ')}`;
}
