import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import type { StandMode } from '../../state/modes.js';
import { chordNameKinds, layoutKinds, type Sight } from '../../state/sight.js';
import { hasTune } from '../../state/tune-sight.js';
import { noticed, type Step, withStand } from '../step.js';

/** Beats for which a peek lasts. */
const peekBeats = 8;

/** How many beats ahead a number is called: all of them, a bar, half of one, one. */
const lateBeats: readonly Sight['late'][] = [null, 4, 2, 1];

/** What each layout is, in words. */
export const layoutWords = {
  fours: 'as it is played, four bars a line',
  phrases: 'as it is played, lines as written',
  written: 'as it is written, with its repeats',
} as const;
/** What names a chord, in words. */
export const nameWords = {
  both: 'numbers and chords',
  numbers: 'numbers only: the chords are hidden',
  chords: 'chords only',
} as const;

/** A key that changes what is shown; `null` where the action is none of these. */
export function sightAction(model: Model, mode: StandMode, action: Action): Step | null {
  const { sight } = mode.stand;
  const shown = (changes: Partial<Sight>, notice: string): Step =>
    noticed({ ...model, mode: withStand(mode, { sight: { ...sight, ...changes } }) }, notice);
  switch (action) {
    case 'layout': {
      const layout = after(layoutKinds, sight.layout);
      return shown({ layout }, layoutWords[layout]);
    }
    case 'names': {
      const names = after(chordNameKinds, sight.names);
      return shown({ names }, nameWords[names]);
    }
    case 'hide-hand':
      return shown({ hand: !sight.hand }, sight.hand ? 'the hand is hidden' : '');
    case 'hide-ahead':
      return shown({ ahead: !sight.ahead }, sight.ahead ? 'the coming lines are hidden' : '');
    case 'hide-words':
      return shown({ words: !sight.words }, sight.words ? 'the words are hidden' : '');
    case 'show-tune': {
      const { performance } = model.session;
      if (!performance || !hasTune(performance)) return noticed(model, 'this chart has no tune');
      return shown(
        { tune: !sight.tune },
        sight.tune ? 'the tune is hidden' : 'the tune, by degree: 0 is silence, - goes on',
      );
    }
    case 'late-calls': {
      const late = after(lateBeats, sight.late);
      const says =
        late === null
          ? 'all numbers are shown'
          : `numbers ${late} ${late === 1 ? 'beat' : 'beats'} before they are due`;
      return shown({ late }, says);
    }
    case 'peek':
      return shown({ peek: sight.peek > 0 ? 0 : peekBeats }, '');
    case 'far':
      return shown({ far: !sight.far }, '');
    default:
      return null;
  }
}

/** A beat has gone by: a peek comes nearer to its end. */
export function beatPassed<M extends StandMode>(mode: M): M {
  const { sight } = mode.stand;
  return sight.peek > 0 ? withStand(mode, { sight: { ...sight, peek: sight.peek - 1 } }) : mode;
}

function after<T>(list: readonly T[], one: T): T {
  return list[(list.indexOf(one) + 1) % list.length] as T;
}
