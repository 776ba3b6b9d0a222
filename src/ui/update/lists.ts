import { type Library, type LibraryItem, type ListOrder, listOrders } from '../state/library.js';
import { withItems, withOrder } from '../state/library-found.js';
import type { Effect, MessageOf } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { overlayOf } from '../state/select.js';
import { type Step, step } from './step.js';

/** What a list that comes still needs: its files that are not read yet, and the diary where that gives its order. */
export function wanting({ items, order, weak }: Library): readonly Effect[] {
  const files = items.flatMap(({ kind, file }) => (kind === 'unread' ? [file] : []));
  return [
    ...(files.length > 0 ? [{ kind: 'read-items', files } as const] : []),
    ...(order === 'weakest' && weak === undefined ? [{ kind: 'find-weak' } as const] : []),
  ];
}

/** A list in the order after the one it has. It is kept, but for a set's songs, which have an order of their own. */
export function inNextOrder(library: Library): {
  readonly library: Library;
  readonly effects: readonly Effect[];
} {
  const { order: before = 'usual', isSet = false, weak } = library;
  const order = listOrders[(listOrders.indexOf(before) + 1) % listOrders.length] as ListOrder;
  const sorted = withOrder(library, order);
  const diary: readonly Effect[] = order === 'weakest' && weak === undefined ? [{ kind: 'find-weak' }] : [];
  return { library: sorted, effects: [...(isSet ? [] : [{ kind: 'keep-order', order } as const]), ...diary] };
}

/** The list that another leads back to, in the order that was chosen since; a set's songs stay as they were. */
export function inOrderOf(library: Library, { order = 'usual', isSet = false, weak }: Library): Library {
  if (isSet || library.isSet) return library;
  const known = weak && !library.weak ? { ...library, weak } : library;
  return (library.order ?? 'usual') === order ? known : withOrder(known, order);
}

/** Something became known about items of the lists: all open lists take it in. */
export function listsTold(
  model: Model,
  message: MessageOf<'items-read' | 'weak-songs' | 'chart-played'>,
): Step {
  const requests = overlayOf(model, 'requests');
  const library = model.library && told(model.library, message);
  const asked = requests && told(requests.library, message, isRequest);
  return step({
    ...model,
    library,
    overlay: requests && asked ? { ...requests, library: asked } : model.overlay,
  });
}

/** Whether it is, or may turn out to be, a chart that can be asked for. */
export function isRequest({ kind }: Pick<LibraryItem, 'kind'>): boolean {
  return kind === 'chart' || kind === 'unread';
}

function told(
  library: Library,
  message: MessageOf<'items-read' | 'weak-songs' | 'chart-played'>,
  stays: (item: LibraryItem) => boolean = () => true,
): Library {
  const from = library.from && told(library.from, message);
  const here = from === library.from ? library : { ...library, from };
  switch (message.kind) {
    case 'weak-songs':
      return { ...here, weak: message.weak };
    case 'items-read': {
      const read = new Map(message.items.map((item) => [item.file, item]));
      const items = here.items.map((item) => (item.kind === 'unread' ? (read.get(item.file) ?? item) : item));
      return items.some((item, at) => item !== here.items[at]) ? withItems(here, items.filter(stays)) : here;
    }
    case 'chart-played': {
      const isPlayed = ({ file, kind }: LibraryItem): boolean => file === message.file && kind === 'chart';
      if (!here.items.some(isPlayed)) return here;
      return withItems(
        here,
        here.items.map((item) => (isPlayed(item) ? { ...item, played: message.played } : item)),
      );
    }
  }
}
