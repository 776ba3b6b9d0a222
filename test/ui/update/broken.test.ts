import { describe, expect, it } from 'vitest';
import { cardLines } from '../../../src/ui/draw/card.js';
import { plainText } from '../../../src/ui/draw/line.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import type { Effect, Message } from '../../../src/ui/state/messages.js';
import { firstModel, type Model, type Updated } from '../../../src/ui/state/model.js';
import { songsOf } from '../evening.js';
import { having, setOf } from '../model.js';

const press = (action: Action, at = 0): Message => ({ kind: 'action', action, at });

function opened(broken: { song: number; of: number; title: string } | null): Updated {
  return having(firstModel({ colour: false, unicode: true }, 100, 30), {
    kind: 'set-opened',
    file: '/sets/one.yaml',
    title: 'Gathering',
    songs: songsOf([{ name: 'weir-hands' }, { name: 'tollhouse-kettle' }, { name: 'copperwort-lane' }]),
    faults: [],
    from: 0,
    waits: false,
    broken,
    notice: '',
    at: 0,
  });
}

const broken = { song: 2, of: 3, title: 'The Tollhouse Kettle' };
const kept = ({ effects }: Updated): Effect[] => effects.filter(({ kind }) => kind === 'keep-run');
function text(model: Model): string {
  const set = setOf(model);
  return set ? cardLines(model, set).map(plainText).join('\n') : '';
}

describe('a run that was broken off', () => {
  it('is told when its set is opened, and nothing is kept or begun until somebody has answered', () => {
    const { model, effects } = opened(broken);
    expect(text(model)).toContain('This set was stopped at song 2 of 3: The Tollhouse Kettle.');
    expect(effects).toEqual([]);
    const looked = having(
      model,
      press('song-next'),
      press('song-back'),
      press('order'),
      { kind: 'clock', at: 60_000 },
      press('back', 60_000),
    );
    expect(kept(looked)).toEqual([]);
    expect(setOf(looked.model)).toBeNull();
  });

  it('is taken up by Space or the pedal', () => {
    expect(having(opened(broken).model, press('go-on')).effects).toEqual([
      { kind: 'open', file: '/sets/one.yaml', wishes: { key: null, bpm: null }, from: 'resume' },
    ]);
  });

  it('is forgotten when somebody begins again, and then the first card comes', () => {
    const anew = having(opened(broken).model, press('run-anew'));
    expect(kept(anew)).toEqual([{ kind: 'keep-run', file: '/sets/one.yaml', run: null }]);
    expect(setOf(anew.model)?.run).toMatchObject({ phase: 'card', at: 0 });
    expect(text(anew.model)).toContain('Weir Hands');
  });
});

describe('where a run is', () => {
  it('is kept from its first song on, and not while its cards are only looked at', () => {
    const { model } = opened(null);
    expect(kept(having(model, press('song-next'), press('song-back')))).toEqual([]);
    const begun = having(model, press('go-on'));
    expect(kept(begun)).toMatchObject([{ file: '/sets/one.yaml', run: { at: 0 } }]);
    expect(kept(having(begun.model, press('song-next')))).toMatchObject([{ run: { at: 1 } }]);
  });

  it('is kept as soon as somebody has changed the order', () => {
    const moved = having(opened(null).model, press('order'), press('order-on'), press('order-later'));
    expect(kept(moved).at(-1)).toMatchObject({ run: { at: 0 } });
    expect(kept(having(moved.model, press('back'), press('song-next')))).toMatchObject([{ run: { at: 1 } }]);
  });

  it('is forgotten at the end of the set', () => {
    const { model } = opened(null);
    const next = press('song-next');
    expect(kept(having(model, press('go-on'), next, next, next)).at(-1)).toMatchObject({ run: null });
  });
});
