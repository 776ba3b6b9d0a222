import type { Jump, Vamp } from '../playback/performance.js';
import { type Command, type Played, type Session, unmoved } from '../playback/session.js';
import type { Span } from '../time/segment.js';
import { ticksPerQuarter } from '../time/units.js';
import { type ClockLine, ownTime } from './clock-line.js';
import type { Mirrored } from './form.js';
import type { FormPlace, Now } from './now.js';

/** How a stand follows: what it plays by, all on its own clock and in its own player's ticks. */
export interface Follower {
  /** The take that is followed; `null` while none is. */
  readonly take: string | null;
  /** Own ticks are the band's plus this number. */
  readonly shift: number;
  /** The leader's spans as they were understood last; what is played; and what is to be reached by it. */
  readonly base: readonly Span[];
  readonly played: readonly Span[];
  readonly wanted: readonly Span[];
  /** The message whose form was taken over last. */
  readonly taken: Now | null;
  /** When play was sent, ms; `null` before. The player says later that it runs. */
  readonly sentAt: number | null;
}

/** A stand that follows nothing yet. */
export const firstFollower: Follower = {
  take: null,
  shift: 0,
  base: [],
  played: [],
  wanted: [],
  taken: null,
  sentAt: null,
};

/** From now until other music is in force, beyond the output's lead: the way to the player, ms. */
export const reachMs = 25;
/** The same until time runs otherwise: there is less to send. */
export const lineReachMs = 10;
/** This far ahead the line is made ready and compared. */
export const lookTicks = 64 * ticksPerQuarter;
/** A tick that lasts longer is one of time that stands still, ms. */
export const stillMs = 1e6;

/** A step of following. */
export interface Followed extends Played {
  readonly follower: Follower;
}

/** Nothing happens. */
export const still = (follower: Follower, session: Session): Followed => ({ ...unmoved(session), follower });

/** The leader's spans on our clock and in our ticks. */
export function placed(spans: readonly Span[], clock: ClockLine, shift: number): readonly Span[] {
  return spans.map(({ tick, time, msPerTick }) => ({
    tick: tick + shift,
    time: ownTime(clock, time),
    // Where time stands still, or a stop is passed over, no clock's rate makes a difference.
    msPerTick: msPerTick > stillMs || msPerTick < 1 / stillMs ? msPerTick : msPerTick / (1 + clock.drift),
  }));
}

/** Places in our ticks. */
export const moved = (places: readonly FormPlace[], shift: number): readonly FormPlace[] =>
  places.map((place) => ({ ...place, tick: place.tick + shift }));

/** What was asked for of the form, in our ticks. */
export function asked({ jump, vamp }: Now, shift: number): { jump: Jump | null; vamp: Vamp | null } {
  const ticks = jump?.ticks.map((tick) => tick + shift) ?? [];
  return {
    jump:
      jump === null
        ? null
        : jump.kind === 'again'
          ? { kind: 'again', ticks, bar: jump.bar, pass: jump.pass }
          : { kind: 'ending', ticks, bar: jump.bar, pass: jump.pass, passes: jump.passes },
    vamp: vamp && {
      ...vamp,
      from: vamp.from + shift,
      until: vamp.until === null ? null : vamp.until + shift,
    },
  };
}

/** What to send to the player. */
export function sendsOf({ sends }: Mirrored): Command[] {
  return sends.map(({ kind, tick, segments }) =>
    kind === 'append' ? { kind, segments } : { kind, tick, segments },
  );
}
