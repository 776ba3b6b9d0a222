import { beginAt } from '../time/conductor.js';
import { programMessages } from '../time/sound.js';
import { takeNow } from './send.js';
import { type Played, type Session, unmoved, withPerformance } from './session.js';

/** Makes the music ready at a place of the external clock (ticks from its start), so that it runs when the clock does. */
export function armed(session: Session, song: number): Played {
  const { performance } = session;
  const link = { ...session.link, following: { ...session.link.following, song } };
  const placed: Session = { ...session, link };
  const take = performance && takeNow(performance);
  if (!take || link.following.label === null) return unmoved(placed);
  const tick = link.freeTick;
  const { conductor, segments } = beginAt(take, song, tick, performance.conductor?.nextId ?? 1);
  const first = conductor.sent[0];
  const cursor = {
    ...performance.cursor,
    bar: first?.firstBar ?? 0,
    pass: first?.pass ?? 1,
    beat: null,
    counting: false,
  };
  return {
    session: withPerformance(placed, { conductor, cursor }),
    commands: [
      { kind: 'tell', message: { kind: 'send', messages: programMessages(performance.setup.sound) } },
      { kind: 'replace', tick, segments },
      { kind: 'tell', message: { kind: 'arm', tick, song } },
    ],
    events: [],
  };
}
