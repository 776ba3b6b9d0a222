import { safeText } from '../base/safe-text.js';
import type { ClientMessage } from '../player/client.js';
import { armed } from './follow.js';
import {
  faulted,
  inTurn,
  type Link,
  noticed,
  type PlaybackEvent,
  type Played,
  type Session,
  unmoved,
  withPerformance,
} from './session.js';
import { clock } from './transport.js';

/** Takes in what the player's process said, as far as it concerns what is played. */
export function heard(session: Session, message: ClientMessage, at: number): Played {
  const linked = (changes: Partial<Link>): Session => ({ ...session, link: { ...session.link, ...changes } });
  switch (message.kind) {
    case 'opened': {
      const { out, label, lead, refused } = message;
      const events: PlaybackEvent[] = [{ kind: 'output-opened', out }];
      // If no output is left, the notice says where to find help.
      const help = out.kind === 'none' ? ['barkline doctor says what to do'] : [];
      if (refused.length > 0)
        events.push({ kind: 'notice', text: [...refused.map(safeText), ...help].join('; ') });
      return { session: linked({ output: label, out, lead }), commands: [], events };
    }
    case 'failed':
      return noticed(
        linked({ output: session.link.output ?? 'silent' }),
        message.reasons.map(safeText).join('; '),
      );
    case 'spans':
      return clock(linked({ spans: message.spans }), at);
    case 'state':
      return stateChanged(session, message.state, message.tick, at);
    case 'trouble':
      return faulted(session, safeText(message.message));
    case 'listening': {
      const { label, reason } = message;
      const text =
        label === null
          ? safeText(reason ?? '')
          : `follows the clock of ${safeText(label)}: it starts and stops the music`;
      const following = { label, state: null, song: 0 };
      return inTurn(noticed(linked({ following }), text), (now) => armed(now, 0));
    }
    case 'place':
      return armed(session, message.song);
    case 'following':
      return followingChanged(session, message.state);
    case 'died': {
      const text = `the player process has stopped (${safeText(message.reason)}); another is ready, press Space to go on`;
      const waiting = withPerformance(session, { eager: false });
      const stopped = halted(waiting, 'stopped', session.link.freeTick, at);
      return inTurn(stopped, (now) => faulted(now, text));
    }
    default:
      return unmoved(session);
  }
}

function followingChanged(session: Session, state: NonNullable<Link['following']['state']>): Played {
  const { following } = session.link;
  const next: Session = { ...session, link: { ...session.link, following: { ...following, state } } };
  if (state === 'holdover') return faulted(next, 'the external clock has gone; time goes on without it');
  if (state === 'locked' && following.state === 'holdover')
    return noticed(next, 'the external clock is back');
  return unmoved(next);
}

function stateChanged(session: Session, state: Link['state'], tick: number, at: number): Played {
  if (state !== 'running') {
    const { link, performance } = session;
    // A take that came to its end by itself; a pause, or the end of tuning, is no end of a pass.
    const ended = state === 'stopped' && link.state === 'running' && !performance?.tuning;
    const stopped = halted(session, state, tick, at);
    return ended ? { ...stopped, events: [...stopped.events, { kind: 'take-ended', at }] } : stopped;
  }
  const link: Link = { ...session.link, state, freeTick: beyond(session.link, tick) };
  const tuning = session.performance?.tuning ?? false;
  return { session: { ...session, link }, commands: [], events: [{ kind: 'started', at, tuning }] };
}

/** The music has stopped. */
function halted(session: Session, state: 'paused' | 'stopped', tick: number, at: number): Played {
  const { performance } = session;
  const link: Link = { ...session.link, state, freeTick: beyond(session.link, tick), spans: [] };
  const tuning = performance?.tuning ?? false;
  const events: PlaybackEvent[] = [{ kind: 'halted', at, state, tuning }];
  if (!performance) return { session: { ...session, link }, commands: [], events };
  const { setup } = performance;
  const { waits: _, ...cursor } = performance.cursor;
  // A take that played to its end begins again at its beginning; a pause stays where it is.
  const bar = state === 'stopped' && setup.passes !== null ? (setup.range?.from ?? 0) : cursor.bar;
  return {
    session: {
      ...session,
      link,
      performance: {
        ...performance,
        conductor: null,
        jump: null,
        vamp: null,
        tuning: false,
        cursor: { ...cursor, bar, beat: null, counting: false, bpm: null },
      },
    },
    commands: [],
    events: tuning ? [...events, { kind: 'notice', text: '' }] : events,
  };
}

function beyond({ freeTick }: Link, tick: number): number {
  return Math.max(freeTick, Math.ceil(tick) + 1);
}
