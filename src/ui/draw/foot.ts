import type { Action } from '../keys/actions.js';
import type { Binding, KeyPlace } from '../keys/bindings.js';
import { keyLabel } from '../keys/names.js';
import type { Model } from '../state/model.js';
import { type Line, lineWidth, type Piece, piece, textWidth } from './line.js';

/** Keys of opposite actions stand together: `← →`. */
const pairs: Partial<Readonly<Record<Action, Action>>> = {
  'bar-back': 'bar-on',
  'section-back': 'section-on',
  slower: 'faster',
};
/** What goes first where there is no room for all; the help screen has them all. */
const firstToGo: readonly Action[] = [
  'write-erase',
  'bar-back',
  'choose-output',
  'choose-drill',
  'far',
  'back',
  'section-back',
  'slower',
  'choose-key',
  'song-again',
  'card-holds',
  'song-back',
  'mark-later',
  'hold',
  'tune',
  'order',
];

/** The last line while a newcomer is told what to press: that, and the keys that lead on and out. */
export function hintLine(
  { bindings, look: { unicode }, size }: Pick<Model, 'bindings' | 'look' | 'size'>,
  { action, says }: { readonly action: Action; readonly says: string },
  place: KeyPlace,
): Line | null {
  const key = actionKey(action, place, bindings);
  if (key === null) return null;
  const hint: Line = [
    piece(unicode ? ' ▸ ' : ' > ', 'count'),
    piece(keyLabel(key, unicode), 'count'),
    piece(` ${says}   `),
  ];
  const others = bindings.filter(
    (one) =>
      one.place === place && one.action !== action && leading.includes(one.action) && one.foot !== undefined,
  );
  const keys = others.flatMap(({ keys, foot }): Piece[] =>
    keys[0] === undefined ? [] : [piece(keyLabel(keys[0], unicode), 'key'), piece(` ${foot}   `, 'dim')],
  );
  const line = [...hint, ...keys];
  return lineWidth(line) <= size.columns ? line : hint;
}

/** What is always named beside a hint. */
const leading: readonly Action[] = ['help', 'back', 'leave'];

function actionKey(action: Action, place: KeyPlace, bindings: readonly Binding[]): string | null {
  return bindings.find((one) => one.action === action && one.place === place)?.keys[0] ?? null;
}

/** The keys with the words of now: while the music plays, the key that plays it pauses it. */
export function asItPlays({ bindings, session }: Pick<Model, 'bindings' | 'session'>): readonly Binding[] {
  if (session.link.state !== 'running') return bindings;
  return bindings.map((one) =>
    one.action === 'play' && one.foot === 'play' ? { ...one, foot: 'pause' } : one,
  );
}

/** The keys with the word for where the key back leads: from a drill to its song, from a song of a set to the set, out of a sitting; and without it where there is nothing to go back to, for then it leaves. */
export function asItLeads(
  bindings: readonly Binding[],
  { mode, library }: Pick<Model, 'mode' | 'library'>,
): readonly Binding[] {
  const to =
    mode.kind === 'drill' && mode.from
      ? 'song'
      : mode.kind === 'chart' && mode.under
        ? 'set'
        : mode.kind === 'sitting'
          ? 'end sitting'
          : library
            ? 'list'
            : null;
  return bindings.flatMap((one): Binding[] => {
    if (one.place !== 'stand' || one.action !== 'back' || one.foot !== 'list') return [one];
    const { foot: _, ...bare } = one;
    return [to === null ? bare : { ...one, foot: to }];
  });
}

/** The last line of a screen: keys of its place with a short word; as many as fit, and the help key always among them. */
export function footLine(
  bindings: readonly Binding[],
  columns: number,
  unicode: boolean,
  place: KeyPlace,
): Line {
  const here = bindings.filter((binding) => binding.place === place);
  let fitting = here.filter((binding) => binding.foot !== undefined && binding.keys.length > 0);
  const keys = (binding: Binding): string => footKeys(binding.action, here, unicode);
  const width = (list: typeof fitting): number =>
    list.reduce((sum, binding) => sum + textWidth(`${keys(binding)} ${binding.foot}`) + 3, 1);
  for (const action of firstToGo) {
    if (width(fitting) > columns) fitting = fitting.filter((binding) => binding.action !== action);
  }
  return [
    piece(' '),
    ...fitting.flatMap((binding): Piece[] => [
      piece(keys(binding), 'key'),
      piece(` ${binding.foot}   `, 'dim'),
    ]),
  ];
}

function footKeys(action: Action, here: readonly Binding[], unicode: boolean): string {
  return [action, pairs[action]]
    .flatMap((one) => here.find((binding) => binding.action === one)?.keys[0] ?? [])
    .map((key) => keyLabel(key, unicode))
    .join(' ');
}
