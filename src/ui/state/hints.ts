import type { Action } from '../keys/actions.js';
import { type HintName, hintNames } from './hint-names.js';
import type { Model } from './model.js';

interface Hint {
  /** The action whose key is named. */
  readonly action: Action;
  /** What that key does, after the key. */
  readonly says: string;
  /** What was pressed when one of these was. */
  readonly isPressed: (action: Action) => boolean;
  /** Whether it makes sense now. */
  readonly fits: (model: Model) => boolean;
}

const isOn = ({ mode }: Model): boolean => mode.kind === 'chart';
const runs = ({ session }: Model): boolean => session.link.state === 'running';

const hints: Readonly<Record<HintName, Hint>> = {
  open: {
    action: 'list-open',
    says: 'opens the selected song',
    isPressed: (action) => action === 'list-open',
    fits: ({ mode }) => mode.kind === 'library',
  },
  play: {
    action: 'play',
    says: 'starts the music, and stops it',
    isPressed: (action) => action === 'play',
    fits: isOn,
  },
  share: {
    action: 'share-50',
    says: 'plays it at half tempo; 0 at full tempo',
    isPressed: (action) => action.startsWith('share-'),
    fits: (model) => isOn(model) && runs(model),
  },
  key: {
    action: 'choose-key',
    says: 'puts it in another key',
    isPressed: (action) => action === 'choose-key',
    fits: isOn,
  },
  far: {
    action: 'far',
    says: 'shows it in large letters, and back',
    isPressed: (action) => action === 'far',
    fits: isOn,
  },
  help: {
    action: 'help',
    says: 'shows every key of this place',
    isPressed: (action) => action === 'help',
    fits: isOn,
  },
};

/** The hint that is shown now, with its action and what its key does; `null` where there is none. */
export function hintNow(model: Model): { readonly action: Action; readonly says: string } | null {
  if (model.overlay !== null) return null;
  const name = hintNames.find((one) => model.hints.includes(one) && hints[one].fits(model));
  return name === undefined ? null : hints[name];
}

/** The hints that are left after an action. */
export function hintsLeft(left: readonly HintName[], action: Action): readonly HintName[] {
  const still = left.filter((name) => !hints[name].isPressed(action));
  return still.length === left.length ? left : still;
}
