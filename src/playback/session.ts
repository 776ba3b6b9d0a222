import type { Chart } from '../chart/chart.js';
import type { FollowState, OutSpec, ToPlayer } from '../player/messages.js';
import type { ArrangeOptions } from '../time/arrange.js';
import type { Segment, Span } from '../time/segment.js';
import type { Performance } from './performance.js';
import type { Setup } from './setup.js';

/** What is known about the player's process. */
export interface Link {
  readonly state: 'running' | 'paused' | 'stopped';
  readonly spans: readonly Span[];
  /** How early the output wants its messages, ms. */
  readonly lead: number;
  /** What it is called, and as what it was asked for; `null` before one is open. */
  readonly output: string | null;
  readonly out: OutSpec | null;
  /** A transport tick beyond everything that was played. */
  readonly freeTick: number;
  /** The external clock: its source (`null`: none), its state, and its place in ticks. */
  readonly following: {
    readonly label: string | null;
    readonly state: FollowState | null;
    readonly song: number;
  };
}

/** The player, and what it plays. */
export interface Session {
  readonly link: Link;
  readonly performance: Performance | null;
  /** The id of the arrangement that was asked for last: counted across all charts, so that one is never taken for another's. */
  readonly asked: number;
  /** How loud each voice is, as the player was told last, in percent by its number; `null` before it was. */
  readonly levels: readonly number[] | null;
  /** The same for outputs that do not make the sound themselves. */
  readonly gear: readonly number[] | null;
}

/** What is wanted of the machine: of the planning thread and of the player's process. */
export type Command =
  | { readonly kind: 'arrange'; readonly id: number; readonly chart: Chart; readonly options: ArrangeOptions }
  | { readonly kind: 'append'; readonly segments: readonly Segment[] }
  | { readonly kind: 'replace'; readonly tick: number; readonly segments: readonly Segment[] }
  | { readonly kind: 'levels'; readonly levels: readonly number[]; readonly gear?: readonly number[] }
  | { readonly kind: 'tell'; readonly message: ToPlayer };

/** What has happened in a session that others may care about. Times are hrtime ms. */
export type PlaybackEvent =
  /** A line for the player to read; empty: the one before is no longer true. */
  /** `isFault`: something is wrong; else it is news. */
  | { readonly kind: 'notice'; readonly text: string; readonly isFault?: boolean }
  | { readonly kind: 'output-opened'; readonly out: OutSpec }
  /** Play was asked for, and begins. */
  | { readonly kind: 'play-sent' }
  /** The music runs from now on, or no longer runs, because it was paused or stopped. */
  | { readonly kind: 'started'; readonly at: number; readonly tuning: boolean }
  | {
      readonly kind: 'halted';
      readonly at: number;
      readonly state: 'paused' | 'stopped';
      readonly tuning: boolean;
    }
  /** Time has gone on while the music runs. */
  | { readonly kind: 'moved'; readonly at: number; readonly newBeat: boolean }
  | { readonly kind: 'pass-began'; readonly at: number }
  /** A pass is over while the music goes on. `began`: when it did; `null` when it was not a whole one. */
  | { readonly kind: 'pass-ended'; readonly at: number; readonly began: number | null }
  /** The pass that is played is at least half over. */
  | { readonly kind: 'pass-half-over' }
  /** The last pass has come to its end by itself. */
  | { readonly kind: 'take-ended'; readonly at: number };

/** The result of one step of a session. */
export interface Played {
  readonly session: Session;
  readonly commands: readonly Command[];
  readonly events: readonly PlaybackEvent[];
}

/** A session before anything has happened. */
export const firstSession: Session = {
  link: {
    state: 'stopped',
    spans: [],
    lead: 0,
    output: null,
    out: null,
    freeTick: 0,
    following: { label: null, state: null, song: 0 },
  },
  performance: null,
  asked: 0,
  levels: null,
  gear: null,
};

/** Nothing happens. */
export function unmoved(session: Session): Played {
  return { session, commands: [], events: [] };
}

/** Nothing happens except that a line is shown. */
export function noticed(session: Session, text: string): Played {
  return { session, commands: [], events: [{ kind: 'notice', text }] };
}

/** The same of a fault. */
export function faulted(session: Session, text: string): Played {
  return { session, commands: [], events: [{ kind: 'notice', text, isFault: true }] };
}

/** One step after another: the session of the last, commands and events of all in order. */
export function inTurn(first: Played, ...steps: readonly ((session: Session) => Played)[]): Played {
  return steps.reduce((before, step) => {
    const next = step(before.session);
    return {
      session: next.session,
      commands: [...before.commands, ...next.commands],
      events: [...before.events, ...next.events],
    };
  }, first);
}

/** The session with some of its performance changed; the same where nothing is performed. */
export function withPerformance(session: Session, changes: Partial<Performance>): Session {
  const { performance } = session;
  return performance ? { ...session, performance: { ...performance, ...changes } } : session;
}

/** The session with some of the setup changed: `settled` then asks for what that needs. */
export function withSetup(session: Session, changes: Partial<Setup>): Session {
  const { performance } = session;
  return performance ? withPerformance(session, { setup: { ...performance.setup, ...changes } }) : session;
}

/** Stops the music, where it runs. */
export function pause(session: Session): Played {
  const commands: Command[] =
    session.link.state === 'running' ? [{ kind: 'tell', message: { kind: 'pause' } }] : [];
  return { session, commands, events: [] };
}
