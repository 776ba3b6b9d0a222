import { eventSize } from '../time/event.js';
import type { Lateness } from './lateness.js';
import type { Output } from './outputs/output.js';
import { Sounding } from './sounding.js';
import { eventTick, type Instance, type Transport } from './transport.js';

/** Beyond this many ms a note is not worth sending any more: a late click misleads. Note-offs are always sent. */
export const lateLimit = 40;

const noteOff = 0x80;
const controlChange = 0xb0;
const allNotesOff = 123;

/** One output's way along the transport: what it has sent, and what sounds on it. */
export class Lane {
  private instance: Instance | null = null;
  private index = 0;
  private following: Instance | null = null;
  private followingIndex = 0;
  /** Everything before this tick has been dealt with. */
  private doneTick = Number.NEGATIVE_INFINITY;
  private pushesFrom = Number.NEGATIVE_INFINITY;
  private readonly sounding = new Sounding();

  constructor(
    readonly output: Output,
    private readonly transport: Transport,
    private readonly lateness: Lateness,
  ) {}

  /**
   * Finds its place again after the transport was changed. Pushes that would lie before `pushesFrom` were never
   * meant to be heard: the music was sent to the bar behind them.
   */
  seek(fromTick?: number, pushesFrom = Number.NEGATIVE_INFINITY): void {
    if (fromTick !== undefined) this.doneTick = fromTick;
    this.pushesFrom = pushesFrom;
    this.enter(this.transport.first());
  }

  /** The time at which this lane next has something to send; infinite when nothing is queued. */
  nextTime(): number {
    const tick = Math.min(this.sounding.nextTick, this.nextEventTick());
    return tick === Number.POSITIVE_INFINITY ? tick : this.transport.timeOf(tick) - this.output.lead;
  }

  /** Sends everything due by `now`. Note-offs go first within an instant, then the click. */
  dispatch(now: number, clock: () => number): void {
    const horizon = now + this.output.lead;
    let sent = false;
    for (;;) {
      const offTick = this.sounding.nextTick;
      const onTick = this.nextEventTick();
      const tick = Math.min(offTick, onTick);
      if (tick === Number.POSITIVE_INFINITY) break;
      const time = this.transport.timeOf(tick);
      if (time > horizon) break;
      if (offTick <= onTick) this.sendOff(this.sounding.takeNext(), time);
      else this.sendEvent(tick, time, now, clock);
      sent = true;
    }
    if (sent) this.output.flush();
  }

  /** Ends everything that sounds, now. */
  silence(now: number): void {
    for (const key of this.sounding.takeAll()) this.sendOff(key, now);
    this.output.flush();
    this.output.panic();
  }

  /** Note-offs for notes that another player may have left sounding, and all-notes-off on their channels. */
  silenceNotes(keys: readonly number[], now: number): void {
    for (const key of keys) this.sendOff(key, now);
    for (const channel of new Set(keys.map((key) => key >> 7)))
      this.output.send(controlChange | channel, allNotesOff, 0, now);
    this.output.flush();
  }

  private sendOff(key: number, time: number): void {
    this.output.send(noteOff | (key >> 7), key & 0x7f, 0, time);
  }

  private sendEvent(tick: number, time: number, now: number, clock: () => number): void {
    const source = this.takeEvent();
    const { events } = source.instance.segment;
    const base = source.index * eventSize;
    const message = events[base + 2] as number;
    this.doneTick = tick;
    if (time < now - lateLimit) {
      this.lateness.miss();
      return;
    }
    const status = message & 0xff;
    const note = (message >> 8) & 0x7f;
    const length = events[base + 1] as number;
    if (length > 0) {
      const key = ((status & 0x0f) << 7) | note;
      if (this.sounding.start(key, tick + length)) this.sendOff(key, time);
    }
    this.output.send(status, note, (message >> 16) & 0x7f, time);
    this.lateness.record(clock() - (time - this.output.lead));
  }

  private enter(instance: Instance | null): void {
    this.instance = instance;
    this.index = instance ? this.firstIndex(instance) : 0;
    this.following = null;
    this.followingIndex = 0;
  }

  /** The first event of an instance that belongs to it and has not been dealt with. */
  private firstIndex(instance: Instance): number {
    const { events } = instance.segment;
    const count = events.length / eventSize;
    const from = instance.skip > 0 ? instance.startTick : Math.min(instance.startTick, this.pushesFrom);
    let low = 0;
    let high = count;
    while (low < high) {
      const middle = (low + high) >> 1;
      const tick = eventTick(instance, middle);
      if (tick < from || tick <= this.doneTick) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** Moves on over instances that are played out; answers the tick of the next event, infinite for none. */
  private nextEventTick(): number {
    for (;;) {
      const { instance } = this;
      if (!instance) {
        const first = this.transport.first();
        if (!first) return Number.POSITIVE_INFINITY;
        this.enter(first);
        continue;
      }
      const own = this.ownTick(instance, this.index);
      if (!this.following) {
        this.following = this.transport.after(instance);
        if (this.following) this.followingIndex = this.firstIndex(this.following);
      }
      const pushed = this.following
        ? this.ownTick(this.following, this.followingIndex)
        : Number.POSITIVE_INFINITY;
      const push = this.following && pushed < this.following.startTick ? pushed : Number.POSITIVE_INFINITY;
      if (own !== Number.POSITIVE_INFINITY || push !== Number.POSITIVE_INFINITY) return Math.min(own, push);
      if (!this.following) return Number.POSITIVE_INFINITY;
      // Silence that repeats itself: to look further would never end.
      if (instance.segment.events.length === 0 && this.following.segment === instance.segment) {
        this.enter(this.transport.known(instance));
        return Number.POSITIVE_INFINITY;
      }
      const index = this.followingIndex;
      this.enter(this.following);
      this.index = index;
    }
  }

  private ownTick(instance: Instance, index: number): number {
    if (index * eventSize >= instance.segment.events.length) return Number.POSITIVE_INFINITY;
    const tick = eventTick(instance, index);
    return tick < instance.endTick ? tick : Number.POSITIVE_INFINITY;
  }

  private takeEvent(): { instance: Instance; index: number } {
    const instance = this.instance as Instance;
    const own = this.ownTick(instance, this.index);
    const pushed = this.following
      ? this.ownTick(this.following, this.followingIndex)
      : Number.POSITIVE_INFINITY;
    if (this.following && pushed < own) {
      this.followingIndex += 1;
      return { instance: this.following, index: this.followingIndex - 1 };
    }
    this.index += 1;
    return { instance, index: this.index - 1 };
  }
}
