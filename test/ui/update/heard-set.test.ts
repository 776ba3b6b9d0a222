import { describe, expect, it } from 'vitest';
import { cardLines } from '../../../src/ui/draw/card.js';
import { plainText } from '../../../src/ui/draw/line.js';
import type { Effect, Message } from '../../../src/ui/state/messages.js';
import type { Model, Updated } from '../../../src/ui/state/model.js';
import type { PassRecord } from '../../../src/ui/state/modes.js';
import { placesOf } from '../../../src/ui/update/modes/set/places.js';
import { Evening, songsOf } from '../evening.js';
import { having, onStand, setOf } from '../model.js';
import { listening, type Playing, told, verdictOn } from './heard-verdicts.js';

/** The places that were marked, by song and bar. */
function places(effects: readonly Effect[]): string[] {
  return effects
    .flatMap((effect): PassRecord[] => (effect.kind === 'mark-later' ? [effect.record] : []))
    .map(({ title, bar, set }) => `${title} ${bar} ${set}`);
}

/** The first song of a set has been played for a while. */
function inSong(): { model: Model; began: number } {
  const evening = new Evening(songsOf([{ name: 'weir-hands' }, { name: 'tollhouse-kettle' }]));
  evening.untilSong('Weir Hands');
  evening.wait(12);
  return { model: listening(evening.model, evening.host.now()), began: evening.run.began };
}

const hears = (model: Model, playing: Playing, at: number): Updated => having(model, told(playing, null, at));

describe('a set that is listened to', () => {
  it('marks where changes came late, once each, and shows nothing of it while songs are played', () => {
    const { model, began } = inSong();
    const first = hears(model, 'late', began + 12_000);
    expect(places(first.effects)).toEqual(['Weir Hands 2 Evening']);
    expect(first.model.notice).toBe(model.notice);
    expect(onStand(first.model)?.heard).toBeNull();
    const again = hears(first.model, 'late', began + 24_000);
    expect(places(again.effects)).toEqual([]);
    expect(setOf(again.model)?.heard.count).toBe(1);
  });

  it('marks at most three places of a song, and only what is sure', () => {
    const { model, began } = inSong();
    const wrong = hears(model, 'not clean', began + 12_000);
    expect(places(wrong.effects)).toEqual([
      'Weir Hands 2 Evening',
      'Weir Hands 4 Evening',
      'Weir Hands 6 Evening',
    ]);
    expect(places(hears(model, 'clean', began + 12_000).effects)).toEqual([]);
    expect(places(hears(model, 'not heard', began + 12_000).effects)).toEqual([]);
    const [change] = verdictOn('late').changes;
    const once = { ...verdictOn('late'), changes: change ? [{ ...change, late: 1, bars: [1] }] : [] };
    expect(placesOf(once)).toEqual([]);
  });

  it('takes what is heard just after a song for that song, and tells how many places there are at the end', () => {
    const { model, began } = inSong();
    const end = began + 60_000;
    const stopped: Message = {
      kind: 'player',
      at: end,
      message: { kind: 'state', state: 'stopped', tick: 900_000 },
    };
    const carded = having(model, stopped).model;
    expect(setOf(carded)?.run).toMatchObject({ phase: 'card', at: 1 });
    const heard = hears(carded, 'late', end + 900);
    expect(places(heard.effects)).toEqual(['Weir Hands 2 Evening']);
    const next = having(heard.model, { kind: 'action', action: 'go-on', at: end + 1500 }).model;
    expect(setOf(next)?.run.phase).toBe('song');
    // So soon after its beginning nothing of the second song can have been heard.
    expect(places(hears(next, 'not clean', end + 2000).effects)).toEqual([
      'Weir Hands 4 Evening',
      'Weir Hands 6 Evening',
    ]);
    expect(places(hears(next, 'late', end + 30_000).effects)).toEqual(['The Tollhouse Kettle 2 Evening']);
    const over = having(next, { kind: 'action', action: 'song-next', at: end + 40_000 }).model;
    const set = setOf(over);
    expect(set?.run.phase).toBe('over');
    const shown = set ? cardLines(over, set).map(plainText).join('\n') : '';
    expect(shown).toContain('1 place where a change came late');
  });
});
