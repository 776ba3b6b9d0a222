import { eventSize, programAt, tiedAt, voiceAt, voices } from '../time/event.js';
import type { Lateness } from './lateness.js';
import type { Output } from './outputs/output.js';
import { Pulses, type SendMessage } from './pulses.js';
import { Sounding } from './sounding.js';
import { eventTick, type Instance, type Transport } from './transport.js';

/** Beyond this many ms a note is not worth sending any more: a late click misleads. Note-offs are always sent. */
export const lateLimit = 40;

const noteOff = 0x80;
const controlChange = 0xb0;
const allNotesOff = 123;
const clockPulse = 0xf8;
const programChange = 0xc0;

const [clickVoice, leadVoice] = [voices.indexOf('click'), voices.indexOf('lead')];

/** The most messages handed over at once; after a long stall there may be very many, and other messages must be read in between. */
const mostAtOnce = 256;
/** Deadlines that are kept of one instant for the count of lateness. */
const mostPrepared = 64;

/** What a lane is told besides the transport. */
export interface LaneOptions {
  /** Sent this many ms before its time, beyond what the output wants: for gear or ears that lag. */
  readonly offset?: number;
  /** Whether the output is sent clock pulses, start, stop and song position. */
  readonly clock?: boolean;
  /** How loud each voice is, in percent, by its number; all as written when absent. */
  readonly levels?: readonly number[];
}

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
  private readonly pulses: Pulses | null;
  private offset: number;
  private levels: readonly number[];
  /** The program that was sent last with a note, by channel. */
  private readonly programs = new Map<number, number>();
  /** Deadlines of what was handed to the output and has not left it yet. */
  private readonly prepared = new Float64Array(mostPrepared);
  private preparedCount = 0;
  private waiting = false;
  private sendTime = 0;

  constructor(
    readonly output: Output,
    private readonly transport: Transport,
    private readonly lateness: Lateness,
    options: LaneOptions = {},
  ) {
    this.pulses = options.clock ? new Pulses(transport) : null;
    this.offset = options.offset ?? 0;
    this.levels = options.levels ?? [];
  }

  /** How long before a tick's time what belongs to it is sent, ms. */
  get ahead(): number {
    return this.output.lead + this.offset;
  }

  /**
   * Finds its place again after the transport was changed. Pushes that would lie before `pushesFrom` were never
   * meant to be heard: the music was sent to the bar after them. `afresh`: time begins with `fromTick`.
   */
  seek(fromTick?: number, pushesFrom = Number.NEGATIVE_INFINITY, afresh = false): void {
    if (fromTick !== undefined) this.doneTick = fromTick;
    this.pushesFrom = pushesFrom;
    this.pulses?.seek(fromTick, afresh);
    // What began before goes on, unless what comes is from elsewhere; that may have been taken back.
    this.sounding.endVoice(leadVoice, (from, end) => this.transport.leadEnd(from, end));
    // The receiver may have been sent another program meanwhile.
    if (afresh) this.programs.clear();
    this.enter(this.transport.first());
  }

  /** Sends this many ms earlier from now on, or later when below 0. */
  setOffset(ms: number): void {
    this.offset = ms;
  }

  /** Makes voices louder or softer from now on; what sounds of one that falls silent is ended. */
  setLevels(levels: readonly number[], now: number): void {
    this.levels = levels;
    // What was sent ahead cannot be ended before it begins.
    const end = now + this.output.lead;
    for (const key of this.sounding.takeVoices((voice) => levels[voice] === 0)) this.sendOff(key, end);
    this.output.flush();
  }

  /** The time at which this lane next has something to send; infinite when nothing is queued. */
  nextTime(): number {
    const tick = Math.min(this.sounding.nextTick, this.nextEventTick(), this.nextPulseTick());
    return tick === Number.POSITIVE_INFINITY ? tick : this.transport.timeOf(tick) - this.ahead;
  }

  /** Sends everything due by `now`. */
  dispatch(now: number, clock: () => number): void {
    this.prepare(now, now);
    this.release(clock);
  }

  /**
   * Gives the output everything that is due by `until`, encoded, so that at the instant itself there is nothing left
   * to do but to let it go. Note-offs come first within an instant, then the click, the pulse and the rest. Of very many
   * only the first: what is left is due still.
   */
  prepare(until: number, now: number): void {
    for (let count = 0; count < mostAtOnce; count += 1) {
      const offTick = this.sounding.nextTick;
      const onTick = this.nextEventTick();
      const pulseTick = this.nextPulseTick();
      const tick = Math.min(offTick, onTick, pulseTick);
      if (tick === Number.POSITIVE_INFINITY) break;
      const time = this.transport.timeOf(tick);
      // The same sum as in `nextTime`, so that rounding never puts what it names just out of reach.
      if (time - this.ahead > until) break;
      if (offTick === tick) this.sendOff(this.sounding.takeNext(), time - this.offset);
      else if (onTick === tick && (pulseTick > tick || this.nextIsClick()))
        this.sendEvent(tick, time - this.offset, now);
      else this.sendPulse(time - this.offset, now);
      this.waiting = true;
    }
  }

  /** Lets go what was prepared, and counts how late it is. */
  release(clock: () => number): void {
    if (!this.waiting) return;
    this.output.flush();
    this.waiting = false;
    if (this.preparedCount === 0) return;
    const now = clock();
    for (let index = 0; index < this.preparedCount; index += 1)
      this.lateness.record(now - (this.prepared[index] as number));
    this.preparedCount = 0;
  }

  /** Ends everything that sounds, now; gear that follows is told to stop. */
  silence(now: number): void {
    for (const key of this.sounding.takeAll()) this.sendOff(key, now);
    this.sendTime = now;
    this.pulses?.halt(this.sendMessage);
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

  /** Sends messages at once, packed as `status | data1 << 8 | data2 << 16`: programs before a chart. */
  sendNow(messages: readonly number[], now: number): void {
    for (const message of messages)
      this.output.send(message & 0xff, (message >> 8) & 0x7f, (message >> 16) & 0x7f, now);
    this.output.flush();
  }

  /** A pulse while nothing runs: gear that follows learns the tempo from it. */
  idlePulse(now: number): void {
    if (!this.pulses) return;
    this.output.send(clockPulse, 0, 0, now + this.output.lead);
    this.output.flush();
  }

  private sendOff(key: number, time: number): void {
    this.output.send(noteOff | (key >> 7), key & 0x7f, 0, time);
  }

  private readonly sendMessage: SendMessage = (status, data1, data2) => {
    this.output.send(status, data1, data2, this.sendTime);
  };

  private nextPulseTick(): number {
    return this.pulses?.nextTick() ?? Number.POSITIVE_INFINITY;
  }

  private sendPulse(time: number, now: number): void {
    this.sendTime = time;
    const late = time < now - lateLimit;
    this.pulses?.take(this.sendMessage, late);
    if (!late) this.noteDeadline(time);
  }

  private noteDeadline(time: number): void {
    if (this.preparedCount === mostPrepared) return;
    this.prepared[this.preparedCount] = time - this.output.lead;
    this.preparedCount += 1;
  }

  /** Whether the next event is a click, which goes before everything else that begins with it. */
  private nextIsClick(): boolean {
    const { instance } = this;
    if (!instance) return false;
    const ownTick = this.ownTick(instance, this.index);
    const pushed = this.following
      ? this.ownTick(this.following, this.followingIndex)
      : Number.POSITIVE_INFINITY;
    const [events, index] =
      this.following && pushed < ownTick
        ? [this.following.segment.events, this.followingIndex]
        : [instance.segment.events, this.index];
    return voiceAt(events, index * eventSize) === clickVoice;
  }

  private sendEvent(tick: number, time: number, now: number): void {
    const source = this.takeEvent();
    const { events } = source.instance.segment;
    const base = source.index * eventSize;
    const message = events[base + 2] as number;
    this.doneTick = tick;
    const voice = voiceAt(events, base);
    const level = this.levels[voice] ?? 100;
    if (level === 0) return;
    const status = message & 0xff;
    const note = (message >> 8) & 0x7f;
    const length = events[base + 1] as number;
    const key = ((status & 0x0f) << 7) | note;
    const end = voice === leadVoice ? this.transport.leadEnd(tick, tick + length) : tick + length;
    // However late it comes: what it goes on from sounds.
    if (tiedAt(events, base) && this.sounding.goOn(key, voice, tick, tick + length, end)) return;
    if (time < now - lateLimit) {
      this.lateness.miss();
      return;
    }
    // A tune has one note at a time, whatever was sent.
    if (voice === leadVoice)
      for (const other of this.sounding.takeVoices((one) => one === leadVoice)) this.sendOff(other, time);
    if (length > 0 && this.sounding.start(key, end, voice, tick, tick + length)) this.sendOff(key, time);
    this.sendProgram(status & 0x0f, programAt(events, base), time);
    const velocity = (message >> 16) & 0x7f;
    const heard = level === 100 ? velocity : Math.max(1, Math.min(127, Math.round((velocity * level) / 100)));
    const lengthMs = length > 0 ? this.transport.timeOf(end) - this.offset - time : 0;
    this.output.send(status, note, heard, time, voice, lengthMs);
    this.noteDeadline(time);
  }

  /** A program goes before a note that wants it, where the channel had another. */
  private sendProgram(channel: number, program: number, time: number): void {
    if (program < 0 || this.programs.get(channel) === program) return;
    this.programs.set(channel, program);
    this.output.send(programChange | channel, program, 0, time);
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

  /** Moves on over instances that are played out; returns the tick of the next event, infinite for none. */
  private nextEventTick(): number {
    for (;;) {
      const { instance } = this;
      if (!instance) {
        const first = this.transport.first();
        if (!first) return Number.POSITIVE_INFINITY;
        this.enter(first);
        continue;
      }
      const ownTick = this.ownTick(instance, this.index);
      if (!this.following) {
        this.following = this.transport.after(instance);
        if (this.following) this.followingIndex = this.firstIndex(this.following);
      }
      const pushed = this.following
        ? this.ownTick(this.following, this.followingIndex)
        : Number.POSITIVE_INFINITY;
      const push = this.following && pushed < this.following.startTick ? pushed : Number.POSITIVE_INFINITY;
      if (ownTick !== Number.POSITIVE_INFINITY || push !== Number.POSITIVE_INFINITY)
        return Math.min(ownTick, push);
      if (!this.following) return Number.POSITIVE_INFINITY;
      // Silence that repeats: looking further would never end.
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
    const ownTick = this.ownTick(instance, this.index);
    const pushed = this.following
      ? this.ownTick(this.following, this.followingIndex)
      : Number.POSITIVE_INFINITY;
    if (this.following && pushed < ownTick) {
      this.followingIndex += 1;
      return { instance: this.following, index: this.followingIndex - 1 };
    }
    this.index += 1;
    return { instance, index: this.index - 1 };
  }
}
