import { beginAt } from '../../time/conductor.js';
import { programMessages } from '../../time/sound.js';
import type { Model, Updated } from '../model.js';
import { takeOf } from './arranging.js';

/** Makes the music ready at a place of the outside clock (ticks from its start), so that it runs when the clock does. */
export function armed(model: Model, song: number): Updated {
  const { stand, player } = model;
  const following = { ...player.following, song };
  const placed: Model = { ...model, player: { ...player, following } };
  if (!stand?.arrangement || player.following.label === null) return { model: placed, effects: [] };
  const tick = player.freeTick;
  const take = takeOf(stand, stand.arrangement);
  const { conductor, segments } = beginAt(take, song, tick, stand.conductor?.nextId ?? 1);
  const first = conductor.sent[0];
  const cursor = {
    ...stand.cursor,
    bar: first?.firstBar ?? 0,
    pass: first?.pass ?? 1,
    beat: null,
    counting: false,
  };
  return {
    model: { ...placed, stand: { ...stand, conductor, cursor } },
    effects: [
      { kind: 'tell', message: { kind: 'send', messages: programMessages(stand.sound) } },
      { kind: 'replace', tick, segments },
      { kind: 'tell', message: { kind: 'arm', tick, song } },
    ],
  };
}
