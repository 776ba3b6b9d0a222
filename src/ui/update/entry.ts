import type { Action } from '../keymap.js';
import type { Entry, Model, Stand, Updated } from '../model.js';
import { passView, sectionStarts } from '../pass-view.js';
import { barFault, saveAs, writeBar } from './pencil.js';
import { requestFault, requestKeyed } from './requests.js';
import { nameTaken } from './taking.js';
import { goTo } from './transport.js';

/** The most characters a typed line has. */
export const mostCharacters = 200;

/** Characters were typed into the line. */
export function typedInto(model: Model, entry: Entry, text: string): Updated {
  const characters = [...entry.text];
  const added = [...text];
  if (characters.length + added.length > mostCharacters) return { model, effects: [] };
  characters.splice(entry.caret, 0, ...added);
  return edited(model, { ...entry, text: characters.join(''), caret: entry.caret + added.length });
}

/** A key within the line: it moves, takes a character away, or says that the line is done. */
export function entryAction(model: Model, entry: Entry, action: Action, at: number): Updated {
  const length = [...entry.text].length;
  switch (action) {
    case 'entry-done':
      return done(model, entry, at);
    case 'entry-erase': {
      const characters = [...entry.text];
      if (entry.caret === 0) return { model, effects: [] };
      characters.splice(entry.caret - 1, 1);
      return edited(model, { ...entry, text: characters.join(''), caret: entry.caret - 1 });
    }
    case 'entry-left':
      return moved(model, entry, Math.max(0, entry.caret - 1));
    case 'entry-right':
      return moved(model, entry, Math.min(length, entry.caret + 1));
    case 'entry-start':
      return moved(model, entry, 0);
    case 'entry-end':
      return moved(model, entry, length);
    default:
      return { model, effects: [] };
  }
}

/** Opens a line to be typed. */
export function openEntry(
  model: Model,
  purpose: Entry['purpose'],
  label: string,
  text = '',
  bar: Entry['bar'] = null,
): Updated {
  return edited(model, { purpose, label, text, caret: [...text].length, fault: '', bar });
}

function moved(model: Model, entry: Entry, caret: number): Updated {
  return { model: { ...model, entry: { ...entry, caret } }, effects: [] };
}

/** The line is another: what is wrong with it is told at once. */
function edited(model: Model, entry: Entry): Updated {
  return { model: { ...model, notice: '', entry: { ...entry, fault: faultOf(model, entry) } }, effects: [] };
}

function faultOf({ stand, set }: Model, entry: Entry): string {
  if (entry.purpose === 'request-key') return set?.asked ? requestFault(set.asked, entry.text) : '';
  if (!stand || entry.text.trim() === '') return '';
  if (entry.purpose === 'bar') return barFault(stand, entry.bar, entry.text);
  if (entry.purpose === 'name' || entry.purpose === 'save-as') return '';
  const view = passView(stand);
  if (placeNamed(stand, entry.text) !== null || !view) return '';
  return /^\d+$/.test(entry.text.trim())
    ? `there are bars 1 to ${view.bars.length}`
    : `no section begins like this`;
}

function done(model: Model, entry: Entry, at: number): Updated {
  const { stand } = model;
  if (entry.purpose === 'request-key')
    return entry.fault === '' ? requestKeyed(model, entry.text, at) : { model, effects: [] };
  if (!stand) return { model: { ...model, entry: null }, effects: [] };
  const closed: Model = { ...model, entry: null };
  if (entry.text.trim() === '') return { model: closed, effects: [] };
  if (entry.fault !== '') return { model, effects: [] };
  if (entry.purpose === 'bar') return writeBar(closed, stand, entry.bar, entry.text.trim());
  if (entry.purpose === 'save-as') return saveAs(closed, stand, entry.text.trim());
  if (entry.purpose === 'name') return nameTaken(closed, stand, entry.text.trim());
  const bar = placeNamed(stand, entry.text);
  return bar === null ? { model, effects: [] } : goTo(closed, stand, bar, at);
}

/** The bar a number names, or the next section whose name begins so. */
function placeNamed(stand: Stand, text: string): number | null {
  const view = passView(stand);
  const wanted = text.trim().toLowerCase();
  if (!view) return null;
  if (/^\d+$/.test(wanted)) {
    const bar = Number(wanted);
    return bar >= 1 && bar <= view.bars.length ? bar - 1 : null;
  }
  const named = sectionStarts(view).filter((start) =>
    view.bars[start]?.section.toLowerCase().startsWith(wanted),
  );
  return named.find((start) => start > stand.cursor.bar) ?? named[0] ?? null;
}
