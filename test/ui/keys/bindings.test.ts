import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Action, actions } from '../../../src/ui/keys/actions.js';
import {
  actionFor,
  type Binding,
  bindingsWith,
  isTyped,
  type KeyPlace,
  places,
  settingNames,
  usualBindings,
} from '../../../src/ui/keys/bindings.js';

/** Places where a character that is not a key is text. */
const typed: readonly KeyPlace[] = ['library', 'line', 'order', 'requests', 'choose'];

/** The bindings of a place. */
function at(place: KeyPlace, bindings: readonly Binding[] = usualBindings): readonly Binding[] {
  return bindings.filter((binding) => binding.place === place);
}

/** The place that an action named alone is changed in first. */
function home(action: Action): Binding | undefined {
  return usualBindings.find((binding) => binding.action === action);
}

describe('usualBindings', () => {
  it.each(places)('give every key one meaning, and every action one line: %s', (place) => {
    const keys = at(place).flatMap((binding) => binding.keys);
    expect(keys.length).toBeGreaterThan(0);
    expect(new Set(keys).size).toBe(keys.length);
    expect(new Set(at(place).map(({ action }) => action)).size).toBe(at(place).length);
  });

  it.each(places)('lead out of the program and to the shell: %s', (place) => {
    expect(actionFor(place, 'ctrl+c')).toBe('leave');
    expect(actionFor(place, 'ctrl+z')).toBe('suspend');
  });

  it.each(['space', 'enter', 'pageup', 'pagedown', 'left', 'right', 'up', 'down'])(
    'have something for the foot switch key %s wherever music is played',
    (key) => {
      for (const place of ['stand', 'asking', 'waiting', 'card', 'song'] as const)
        expect(actionFor(place, key)).not.toBeNull();
    },
  );

  it('leave letters to the search in the lists, and to the line that is typed', () => {
    for (const place of typed) {
      for (const key of ['q', 'k', '?', '5', '#']) {
        expect(actionFor(place, key)).toBeNull();
        expect(isTyped(place, key)).toBe(true);
      }
      expect(isTyped(place, '\u001b')).toBe(false);
      expect(isTyped(place, '')).toBe(false);
    }
    for (const place of places) if (!typed.includes(place)) expect(isTyped(place, 'q')).toBe(false);
  });
});

describe('bindingsWith', () => {
  it('gives an action other keys, and takes them from whom they were', () => {
    const own = bindingsWith(new Map([['tap', ['p', 'ctrl+t']]]));
    expect(actionFor('stand', 'p', own)).toBe('tap');
    expect(actionFor('stand', 'ctrl+t', own)).toBe('tap');
    expect(actionFor('stand', 't', own)).toBeNull();
    expect(own.find((one) => one.action === 'choose-pattern')?.keys).toEqual([]);
  });

  it('leaves a key to whoever has it in another place', () => {
    const own = bindingsWith(new Map([['voice-alone', ['p']]]));
    expect(actionFor('stand', 'p', own)).toBe('choose-pattern');
    expect(actionFor('voices', 'p', own)).toBe('voice-alone');
  });

  it('leaves the question how a pass was to its own keys when the stand has another one', () => {
    const own = bindingsWith(new Map([['mark-clean', ['c']]]));
    expect(actionFor('stand', 'c', own)).toBe('mark-clean');
    expect(actionFor('stand', 'j', own)).toBeNull();
    expect(actionFor('asking', 'pagedown', own)).toBe('mark-clean');
    expect(actionFor('asking', 'c', own)).toBe('mark-clean');
    expect(at('asking', own)).toEqual(at('asking'));
  });

  it('leaves Space to a set when play has another key on the stand', () => {
    const own = bindingsWith(new Map([['play', ['p']]]));
    expect(actionFor('stand', 'p', own)).toBe('play');
    expect(actionFor('stand', 'space', own)).toBeNull();
    expect(actionFor('song', 'space', own)).toBe('play');
    expect(actionFor('card', 'space', own)).toBe('go-on');
    expect(actionFor('transcribe', 'space', own)).toBe('play');
  });

  it('changes an action in one place where the settings name that place', () => {
    const own = bindingsWith(new Map([['song.play', ['p']]]));
    expect(actionFor('song', 'p', own)).toBe('play');
    expect(actionFor('song', 'space', own)).toBeNull();
    for (const place of places) if (place !== 'song') expect(at(place, own)).toEqual(at(place));
  });

  it('takes what is said of a place before what is said of the action', () => {
    const own = bindingsWith(
      new Map([
        ['tap', ['p']],
        ['transcribe.tap', ['y']],
      ]),
    );
    expect(actionFor('stand', 'p', own)).toBe('tap');
    expect(actionFor('transcribe', 'y', own)).toBe('tap');
    expect(actionFor('transcribe', 'p', own)).toBeNull();
  });

  it('named alone, changes every action where its keys are those of its first place, and nothing elsewhere', () => {
    for (const action of actions) {
      const first = home(action);
      for (const key of ['p', 'pagedown', 'ctrl+g']) {
        const own = bindingsWith(new Map([[action, [key]]]));
        for (const place of places) {
          const usual = at(place).find((binding) => binding.action === action);
          if (usual && usual.keys.join(' ') === first?.keys.join(' ')) expectOnly(own, place, action, [key]);
          else expect(at(place, own)).toEqual(at(place));
        }
      }
    }
  });

  it('named with a place, changes the action there and nothing elsewhere', () => {
    for (const { place, action } of usualBindings) {
      const own = bindingsWith(new Map([[`${place}.${action}`, ['ctrl+g', 'p']]]));
      expectOnly(own, place, action, ['ctrl+g', 'p']);
      for (const other of places) if (other !== place) expect(at(other, own)).toEqual(at(other));
    }
  });

  it('whatever is changed at once, no key has two meanings but where two were given it', () => {
    const keys = fc.uniqueArray(fc.constantFrom('p', 'space', 'pagedown', 'up', 'ctrl+t', '5'), {
      minLength: 1,
      maxLength: 2,
    });
    const changes = fc.uniqueArray(fc.tuple(fc.constantFrom(...settingNames), keys), {
      selector: ([name]) => name,
      maxLength: 4,
    });
    fc.assert(
      fc.property(changes, (list) => {
        const own = bindingsWith(new Map(list));
        expect(own.map(({ place, action }) => `${place}.${action}`)).toEqual(
          usualBindings.map(({ place, action }) => `${place}.${action}`),
        );
        const given = list.flatMap(([, some]) => some);
        const once = given.filter((key) => given.indexOf(key) === given.lastIndexOf(key));
        for (const place of places)
          for (const key of once)
            expect(at(place, own).filter((binding) => binding.keys.includes(key)).length).toBeLessThan(2);
      }),
    );
  });
});

/** In the place the action has these keys, no other has them, and nothing else is changed. */
function expectOnly(own: readonly Binding[], place: KeyPlace, action: Action, keys: readonly string[]): void {
  const wanted = at(place).map((binding) =>
    binding.action === action
      ? { ...binding, keys }
      : { ...binding, keys: binding.keys.filter((key) => !keys.includes(key)) },
  );
  expect(at(place, own)).toEqual(wanted);
  for (const key of keys) expect(actionFor(place, key, own)).toBe(action);
}

describe('settingNames', () => {
  it('are every action, and every action with each of its places', () => {
    expect(settingNames).toContain('play');
    expect(settingNames).toContain('song.play');
    expect(settingNames).not.toContain('library.play');
    expect(new Set(settingNames).size).toBe(settingNames.length);
  });
});
