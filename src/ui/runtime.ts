import { nextBeatTime } from '../playback/next-beat.js';
import { drawnAlike } from './state/drawn-alike.js';
import type { Effect, Message } from './state/messages.js';
import type { Model } from './state/model.js';
import { dueAt } from './state/schedule.js';
import { nextNoteTime } from './state/tune-sight.js';
import { update } from './update/update.js';

/** Does what an update asks for. */
export type Perform = (effect: Effect) => void;

/** How the runtime waits: the system's timers, or a test's. */
export interface Timers {
  setTimer(callback: () => void, ms: number): unknown;
  clearTimer(timer: unknown): void;
}

/** Even between beats the clock is looked at this often, ms: the coming music must be sent ahead in time. */
const mostMs = 500;
const leastMs = 4;
/** A look so long after a beat's beginning finds it begun, whatever the last figure of its time is rounded to, ms. */
const marginMs = 0.2;

/**
 * Holds the model, feeds it messages and has its effects performed. The one place where the program's
 * state changes.
 */
export class Runtime {
  private readonly listeners = new Set<() => void>();
  private timer: unknown = null;
  /** The time for which the cursor was last worked out. */
  private looked = 0;

  constructor(
    private current: Model,
    private readonly perform: Perform,
    private readonly now: () => number,
    private readonly timers: Timers = {
      setTimer: setTimeout,
      clearTimer: (timer) => clearTimeout(timer as NodeJS.Timeout),
    },
    /** So long what was looked at takes to be seen, ms: the look at the clock for a beat comes so much before it. */
    private readonly drawMs = 0,
  ) {}

  readonly model = (): Model => this.current;

  /** Calls back after every change; returns how to stop that. */
  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  /** Takes in what happened. */
  readonly dispatch = (given: Message): void => {
    const isLook = given.kind === 'clock' || given.kind === 'player';
    // The cursor that was worked out for a beat which is about to begin does not go back.
    const message = isLook && given.at < this.looked ? { ...given, at: this.looked } : given;
    const { model, effects } = update(this.current, message);
    if (message.kind === 'clock' || message.kind === 'player') this.looked = message.at;
    const changed = model !== this.current && !drawnAlike(model, this.current);
    this.current = model;
    for (const effect of effects) this.perform(effect);
    if (changed) for (const listener of this.listeners) listener();
    this.setClock();
  };

  /** Stops looking at the clock. */
  stop(): void {
    if (this.timer !== null) this.timers.clearTimer(this.timer);
    this.timer = null;
  }

  private lookIn(ms: number, beat = Number.NEGATIVE_INFINITY): void {
    // Whole ms, upward: timers are cut to whole ones, and would come a little before the beat.
    const wait = Math.max(leastMs, Math.ceil(ms));
    this.timer = this.timers.setTimer(() => {
      const at = this.now();
      this.dispatch({ kind: 'clock', at: beat - at <= this.drawMs ? Math.max(at, beat) : at });
    }, wait);
  }

  /** The next look at the clock is when the next beat begins: redrawing follows the music, not a timer. */
  private setClock(): void {
    this.stop();
    const due = dueAt(this.current);
    // The beat that comes after the one that was drawn last: a beat that begins while it is being drawn is not passed over.
    const beat = nextBeatTime(this.current.session, this.looked);
    if (beat === null) {
      if (due !== null) this.lookIn(due - this.now());
      return;
    }
    // Where the tune is shown, the note that sounds is marked, and notes begin within beats.
    const note = nextNoteTime(this.current, this.looked);
    const next = (note === null ? beat : Math.min(beat, note)) + marginMs;
    const wait = Math.min(mostMs, next - this.drawMs - this.now(), due === null ? mostMs : due - this.now());
    this.lookIn(wait, next);
  }
}
