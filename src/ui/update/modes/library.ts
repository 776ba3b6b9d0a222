import type { Action } from '../../keys/actions.js';
import type { Library, LibraryItem } from '../../state/library.js';
import { found } from '../../state/library-found.js';
import type { Model } from '../../state/model.js';
import type { LibraryMode } from '../../state/modes.js';
import { listPage } from '../../state/sizes.js';
import { inNextOrder, inOrderOf, wanting } from '../lists.js';
import type { ModeRules } from '../rules.js';
import { faulted, noticed, type Step, step } from '../step.js';

/** The list of charts and sets. */
export const libraryRules: ModeRules<LibraryMode> = {
  act: (model, _, action) => (model.library ? listed(model, model.library, action) : step(model)),
  back: (model) => (model.library ? libraryBack(model, model.library) : step(model)),
  heard: (model) => step(model),
  due: (model) => step(model),
  leaving: (model) => step(model),
};

/** A list comes: one that was opened from another leads back to it. */
export function showLibrary(model: Model, library: Library): Step {
  const from = library.from ?? (model.mode.kind === 'library' ? model.library : null);
  return step(
    {
      ...model,
      library: { ...library, from },
      mode: { kind: 'library' },
      overlay: null,
      confirm: null,
      notice: '',
    },
    ...wanting(library),
  );
}

/** Letters search; the list begins at its first find. */
export function searched(model: Model, library: Library, query: string): Step {
  return step({ ...model, notice: '', library: { ...library, query, index: 0 } });
}

function listed(model: Model, library: Library, action: Action): Step {
  const items = found(library);
  const page = listPage(model.size.rows);
  const to = (index: number): Step =>
    step({ ...model, library: { ...library, index: Math.max(0, Math.min(items.length - 1, index)) } });
  switch (action) {
    case 'list-back':
      return to(library.index === 0 ? items.length - 1 : library.index - 1);
    case 'list-on':
      return to(library.index >= items.length - 1 ? 0 : library.index + 1);
    case 'list-page-back':
      return to(library.index - page);
    case 'list-page-on':
      return to(library.index + page);
    case 'list-start':
      return to(0);
    case 'list-end':
      return to(items.length - 1);
    case 'list-erase':
      return library.query === ''
        ? up(model, library)
        : searched(model, library, [...library.query].slice(0, -1).join(''));
    case 'list-order': {
      const { library: sorted, effects } = inNextOrder(library);
      return step({ ...model, notice: '', library: sorted }, ...effects);
    }
    case 'list-open':
      return open(model, items[library.index]);
    default:
      return step(model);
  }
}

/** One step back: from a search to the whole list, from a set or folder to where it was opened. */
function libraryBack(model: Model, library: Library): Step {
  return library.query === '' ? up(model, library) : searched(model, library, '');
}

function up(model: Model, library: Library): Step {
  return library.from
    ? noticed({ ...model, library: inOrderOf(library.from, library) }, '')
    : noticed(model, 'this is the first list; Ctrl-C leaves');
}

function open(model: Model, item: LibraryItem | undefined): Step {
  if (!item) return step(model);
  if (item.kind === 'faulty') return faulted(model, item.detail);
  return step(
    { ...model, notice: '' },
    {
      kind: 'open',
      file: item.file,
      wishes: item.wishes,
      from: item.kind === 'unread' ? 'chart' : item.kind,
    },
  );
}
