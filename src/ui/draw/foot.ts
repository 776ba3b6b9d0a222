import type { Action } from '../keys/actions.js';
import type { Binding, KeyPlace } from '../keys/bindings.js';
import { keyLabel } from '../keys/names.js';
import { type Line, type Piece, piece, textWidth } from './line.js';

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
