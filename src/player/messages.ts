import type { Segment, Span } from '../time/segment.js';
import type { FollowState } from './inputs/clock-follower.js';

export type { FollowState };

/** Where the sound goes, as the command line names it. */
export type OutSpec = (
  | { readonly kind: 'midi'; readonly port: string }
  | { readonly kind: 'virtual'; readonly name: string }
  | { readonly kind: 'raw'; readonly path: string }
  | { readonly kind: 'sound' }
  | { readonly kind: 'none' }
) & {
  /** Sent this many ms earlier than its time, or later when below 0. */
  readonly offset?: number;
  /** Whether clock pulses, start, stop and song position are sent. */
  readonly clock?: boolean;
};

/** Where an external clock is heard. */
export type InSpec =
  | { readonly kind: 'midi'; readonly port: string }
  | { readonly kind: 'raw'; readonly path: string };

/** From the command to play until the first tick, beyond the output's lead: time to fill the send path, ms. */
export const startDelay = 30;

/** What the parent tells the player. All ticks are transport ticks, all times hrtime milliseconds. */
export type ToPlayer =
  /** Opens an output in place of those before: of several `outs` the first that can be opened; all of `also` with it. */
  | { readonly kind: 'open'; readonly outs: readonly OutSpec[]; readonly also?: readonly OutSpec[] }
  /** Follows the clock that is heard there, or none any more. */
  | { readonly kind: 'listen'; readonly to: InSpec | null }
  /** While following: the queue's `tick` stands for the place `song` of the external clock, both in ticks. */
  | { readonly kind: 'arm'; readonly tick: number; readonly song: number }
  /** The first output is sent to this many ms earlier, or later when below 0. */
  | { readonly kind: 'offset'; readonly ms: number }
  /** How loud each voice is, in percent, by its number; `gear`: for outputs that do not make the sound themselves, where that differs. */
  | { readonly kind: 'levels'; readonly levels: readonly number[]; readonly gear?: readonly number[] }
  /** Sends messages at once, packed as `status | data1 << 8 | data2 << 16`. */
  | { readonly kind: 'send'; readonly messages: readonly number[] }
  /** Lists the MIDI destinations and what else can be heard; `sound` `false`: MIDI alone, without opening the sound card. */
  | { readonly kind: 'list'; readonly sound?: boolean }
  | { readonly kind: 'append'; readonly segments: readonly Segment[] }
  /** From `tick` on, these segments are what is played; what sounds keeps its end. */
  | { readonly kind: 'replace'; readonly tick: number; readonly segments: readonly Segment[] }
  /** Time goes on after this segment, in which it stands still; nothing happens where it does not. */
  | { readonly kind: 'release'; readonly id: number }
  /**
   * Runs from `tick`, where the first segment in the queue starts: as soon as can be, this many ms (`after`) later where others must hear of it,
   * or so that the tick stands at `at`. What lies before what can still be reached is left out.
   */
  | { readonly kind: 'play'; readonly tick: number; readonly at?: number; readonly after?: number }
  /** Time runs along these spans, whatever tempos the segments have, also for a `play` that comes; `null`: by their own again. */
  | { readonly kind: 'line'; readonly spans: readonly Span[] | null }
  /** While nothing runs, gear that follows is sent pulses so that it knows the tempo; `null`: none. */
  | { readonly kind: 'idle'; readonly msPerPulse: number | null }
  /** Listens for pedals: on every MIDI source, or only there; `null`: no longer. */
  | { readonly kind: 'pedals'; readonly from: readonly InSpec[] | 'all' | null }
  /** Stops time and silences what sounds. */
  | { readonly kind: 'pause' }
  /** Sends note-offs for these notes, `channel << 7 | note`, and all-notes-off on their channels: after another player died. */
  | { readonly kind: 'silence'; readonly notes: readonly number[] }
  /** How the terminal is put back if the parent vanishes: `modes` for stty, `screen` to be written. `null`: nothing to do. */
  | { readonly kind: 'terminal'; readonly modes: string; readonly screen: string }
  | { readonly kind: 'lateness' }
  /** Asks for a sign of life. */
  | { readonly kind: 'ping' }
  | { readonly kind: 'quit' };

/** How late messages were sent, in milliseconds. `missed` were too late to be sent at all. */
export interface LatenessReport {
  readonly count: number;
  readonly p50: number;
  readonly p99: number;
  readonly max: number;
  readonly missed: number;
}

/**
 * What can be heard now, and the sources whose clock can be followed. `midi` and `sound` say why not, when not; `sound` is `null`, too, where
 * it was not looked at.
 * `library`: the package that MIDI ports are reached through; `null` when none loads.
 */
export interface Destinations {
  readonly ports: readonly string[];
  readonly sources: readonly string[];
  readonly midi: string | null;
  readonly library: string | null;
  readonly sound: string | null;
}

/** The player's sign of life, used only in the parent's client. */
export interface Pong {
  readonly kind: 'pong';
}

/** What the player tells the parent. */
export type FromPlayer =
  | { readonly kind: 'ready' }
  /** `refused` has the outputs that were tried first and could not be opened. */
  | {
      readonly kind: 'opened';
      readonly out: OutSpec;
      readonly label: string;
      readonly lead: number;
      readonly refused: readonly string[];
    }
  | { readonly kind: 'failed'; readonly reasons: readonly string[] }
  | { readonly kind: 'destinations'; readonly destinations: Destinations }
  | { readonly kind: 'state'; readonly state: 'running' | 'paused' | 'stopped'; readonly tick: number }
  | { readonly kind: 'segment'; readonly id: number; readonly tick: number }
  | { readonly kind: 'spans'; readonly spans: readonly Span[] }
  | { readonly kind: 'lateness'; readonly report: LatenessReport }
  /** An external clock is listened to; or it cannot be, and why. */
  | { readonly kind: 'listening'; readonly label: string | null; readonly reason: string | null }
  /** The external clock stands at this place, in ticks from the start: the queue must be armed for it. */
  | { readonly kind: 'place'; readonly song: number }
  /** A pedal was pressed or released: its message, and when it arrived (hrtime ms). */
  | {
      readonly kind: 'pedal';
      readonly status: number;
      readonly data1: number;
      readonly data2: number;
      readonly time: number;
    }
  /** How the external clock does. */
  | { readonly kind: 'following'; readonly state: FollowState }
  /** Something went wrong that the player should know; time goes on. */
  | { readonly kind: 'trouble'; readonly message: string };
