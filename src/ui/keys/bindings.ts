import { type Action, actions, shareActions } from './actions.js';
import type { KeyLine } from './key-line.js';
import { bandKeys } from './tables/band.js';
import { clickKeys } from './tables/click.js';
import { dictationKeys } from './tables/dictation.js';
import { drillKeys } from './tables/drill.js';
import { libraryKeys } from './tables/library.js';
import { overlaysKeys } from './tables/overlays.js';
import { setKeys } from './tables/set.js';
import { sittingKeys } from './tables/sitting.js';
import { standKeys } from './tables/stand.js';
import { transcribeKeys } from './tables/transcribe.js';

/** The tables of all modes and overlays: a mode that is added adds its own here. */
const tables = {
  ...standKeys,
  ...drillKeys,
  ...dictationKeys,
  ...sittingKeys,
  ...setKeys,
  ...transcribeKeys,
  ...clickKeys,
  ...bandKeys,
  ...libraryKeys,
  ...overlaysKeys,
};

/**
 * Where a key is pressed: which keys hold depends on it. In the lists that are searched and where a line is typed, a
 * character that is not a key is text.
 */
export type KeyPlace = keyof typeof tables;

/** Every place there is, in the order in which help shows their keys. */
export const places = Object.keys(tables) as readonly KeyPlace[];

/** Keys that do one thing in one place. */
export interface Binding extends KeyLine {
  readonly place: KeyPlace;
}

/** Every key there is, unless the settings give some actions others. Help and foot line are drawn from this table. */
export const usualBindings: readonly Binding[] = places.flatMap((place) =>
  tables[place].map((line: KeyLine) => ({ place, ...line })),
);

/** Places in which the stand's other keys work as on the stand. */
const asStand: readonly KeyPlace[] = ['asking', 'judged', 'waiting', 'follow'];

/** What a key asks for in a place, or `null`. */
export function actionFor(
  place: KeyPlace,
  key: string,
  bindings: readonly Binding[] = usualBindings,
): Action | null {
  const binding = bindings.find((binding) => binding.place === place && binding.keys.includes(key));
  if (binding) return binding.action;
  // Where the stand asks, waits or follows, its other keys do what they always do.
  if (asStand.includes(place)) return actionFor('stand', key, bindings);
  if (place !== 'card' && place !== 'song') return null;
  const usual = actionFor('stand', key, bindings);
  return usual && inSet.includes(usual) ? usual : null;
}

/** Everything that a key asks for in a place. */
export function actionsAt(place: KeyPlace): ReadonlySet<Action> {
  const own = usualBindings.filter((binding) => binding.place === place).map(({ action }) => action);
  const stand = usualBindings.filter((binding) => binding.place === 'stand').map(({ action }) => action);
  if (asStand.includes(place)) return new Set([...own, ...stand]);
  if (place !== 'card' && place !== 'song') return new Set(own);
  return new Set([...own, ...stand.filter((action) => inSet.includes(action))]);
}

/** What the stand's keys do in a set too; the others would lead away from it. */
const inSet: readonly Action[] = [
  'slower',
  'faster',
  'share-down',
  'share-up',
  ...shareActions,
  'share-typed',
  'tap',
  'choose-key',
  'key-down',
  'key-up',
  'choose-voices',
  'choose-click',
  'choose-pattern',
  'choose-output',
  'count-in',
  'far',
  'layout',
  'names',
  'hide-hand',
  'show-tune',
  'peek',
  'mark-clean',
  'mark-miss',
  'take-back',
  'lateness',
];

/** Whether a line is typed in a place. */
export function takesText(place: KeyPlace): boolean {
  return ['library', 'line', 'order', 'requests', 'choose'].includes(place);
}

/** Where a character that is not a key is text. */
export function isTyped(place: KeyPlace, input: string): boolean {
  return takesText(place) && /^[^\p{Cc}\p{Cf}\p{Zl}\p{Zp}]+$/u.test(input);
}

/** The names by which settings give an action other keys: the action's, or a place's and the action's: `song.play`. */
export const settingNames: readonly string[] = [
  ...actions,
  ...usualBindings.map(({ place, action }) => `${place}.${action}`),
];

/**
 * The keys with some of them changed. Named with a place, an action has other keys there and nowhere else; named alone,
 * in the first place that has it, and in all others where its keys are the same as there. A key that another action had
 * in such a place is taken from it.
 */
export function bindingsWith(
  changes: ReadonlyMap<string, readonly string[]>,
  bindings: readonly Binding[] = usualBindings,
): readonly Binding[] {
  const changed = new Map(
    bindings.flatMap((binding) => {
      const keys = changedKeys(binding, changes, bindings);
      return keys ? [[binding, keys] as const] : [];
    }),
  );
  return bindings.map((binding) => {
    const newKeys = changed.get(binding);
    if (newKeys) return { ...binding, keys: newKeys };
    const used = [...changed].flatMap(([other, keys]) => (other.place === binding.place ? keys : []));
    const keys = binding.keys.filter((key) => !used.includes(key));
    return keys.length === binding.keys.length ? binding : { ...binding, keys };
  });
}

function changedKeys(
  { place, action, keys }: Binding,
  changes: ReadonlyMap<string, readonly string[]>,
  bindings: readonly Binding[],
): readonly string[] | undefined {
  const here = changes.get(`${place}.${action}`);
  if (here) return here;
  const home = bindings.find((other) => other.action === action);
  return home?.keys.join(' ') === keys.join(' ') ? changes.get(action) : undefined;
}
