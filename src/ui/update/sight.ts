import { nameKinds } from '../draw/bar.js';
import { layoutKinds } from '../draw/layout.js';
import type { Action } from '../keymap.js';
import type { Model, Sight, Stand, Updated } from '../model.js';

/** Beats for which a peek lasts. */
const peekBeats = 8;

/** How many beats ahead a number is called: all of them, a bar, half of one, one. */
const lateBeats: readonly Sight['late'][] = [null, 4, 2, 1];

const layoutWords = {
  fours: 'as it is played, four bars a line',
  phrases: 'as it is played, lines as written',
  written: 'as it is written, with its repeats',
} as const;
const nameWords = {
  both: 'numbers and chords',
  numbers: 'numbers only: the chords are hidden',
  chords: 'chords only',
} as const;

/** A key that changes what is shown. */
export function sightAction(model: Model, stand: Stand, action: Action): Updated {
  const { sight } = stand;
  switch (action) {
    case 'layout': {
      const layout = after(layoutKinds, sight.layout);
      return shown(model, stand, { layout }, layoutWords[layout]);
    }
    case 'names': {
      const names = after(nameKinds, sight.names);
      return shown(model, stand, { names }, nameWords[names]);
    }
    case 'hide-hand':
      return shown(model, stand, { hand: !sight.hand }, sight.hand ? 'the hand is hidden' : '');
    case 'hide-ahead':
      return shown(model, stand, { ahead: !sight.ahead }, sight.ahead ? 'what comes is hidden' : '');
    case 'late-calls': {
      const late = after(lateBeats, sight.late);
      const says =
        late === null
          ? 'all numbers are there'
          : `numbers ${late} ${late === 1 ? 'beat' : 'beats'} before they are due`;
      return shown(model, stand, { late }, says);
    }
    case 'peek':
      return shown(model, stand, { peek: sight.peek > 0 ? 0 : peekBeats }, '');
    default:
      return shown(model, stand, { far: !sight.far }, '');
  }
}

/** What is shown now: everything, while the player peeks. */
export function seen(sight: Sight): Sight {
  return sight.peek > 0
    ? {
        ...sight,
        hand: true,
        ahead: true,
        late: null,
        names: sight.names === 'numbers' ? 'both' : sight.names,
      }
    : sight;
}

function after<T>(list: readonly T[], one: T): T {
  return list[(list.indexOf(one) + 1) % list.length] as T;
}

function shown(model: Model, stand: Stand, sight: Partial<Sight>, notice: string): Updated {
  return {
    model: { ...model, notice, stand: { ...stand, sight: { ...stand.sight, ...sight } } },
    effects: [],
  };
}
