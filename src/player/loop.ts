import type { Segment, Span } from '../time/segment.js';
import { tickAt } from '../time/segment.js';
import type { Host } from './host.js';
import type { ClockFollower } from './inputs/clock-follower.js';
import { Lane, type LaneOptions } from './lane.js';
import { Lateness } from './lateness.js';
import { leastMargin, Margin } from './margin.js';
import { type FromPlayer, startDelay } from './messages.js';
import type { Output } from './outputs/output.js';
import { type Instance, Transport } from './transport.js';

/** The loop is held at most this long, ms: then messages are read, whatever is due. Not less than the greatest margin. */
const mostHold = 8;
/** Where the next deadline is farther off than this, ms, messages are read before it is waited for. */
const readingRoom = 1;
/** Segments of which is announced at once that they went by; after a long stall there may be very many. */
const mostPassed = 64;
/** Spans of a followed clock change with every pulse; they are announced at most this often, ms, unless time has jumped. */
const followAnnounceMs = 100;
const followJumpMs = 4;

/** An output with how it is to be sent to. */
export interface LaneOutput {
  readonly output: Output;
  readonly options?: Omit<LaneOptions, 'levels'>;
}

/** What an external clock says, and when it arrived. */
export type ClockEvent =
  | { readonly kind: 'pulse' | 'start' | 'continue' | 'stop'; readonly time: number }
  | { readonly kind: 'place'; readonly units: number; readonly time: number };

/**
 * The player's loop: waits for the next deadline, sends what is due, announces what changed. It owns no
 * clock and no process, so tests run it in virtual time.
 */
export class Loop {
  readonly lateness = new Lateness();
  private readonly transport = new Transport();
  private lanes: readonly Lane[] = [];
  private levels: readonly number[] = [];
  private gear: readonly number[] = [];
  private state: 'running' | 'paused' | 'stopped' = 'stopped';
  private timer: unknown = null;
  private timerDue = 0;
  private readonly margin = new Margin();
  /** Whether the loop goes on as soon as messages have been read, and whether the host has been asked for that. */
  private goesOn = false;
  private askedSoon = false;
  private current: Instance | null = null;
  private announcedVersion = -1;
  private follower: ClockFollower | null = null;
  /** While nothing runs: how far apart pulses are sent, ms, and when the next is due. */
  private idle: { readonly msPerPulse: number; readonly next: number } | null = null;
  /** Where the queue stands for a place in the song: set by the parent, taken up when the external clock runs. */
  private armed: { readonly tick: number; readonly song: number } | null = null;
  private followAnnounced = { time: Number.NEGATIVE_INFINITY, tick: 0, at: 0, state: '' };

  constructor(
    private readonly host: Host,
    private readonly announce: (message: FromPlayer) => void,
    /** Called at every turn, before anything is sent: the check of the parent may end the player there. */
    private readonly watch: () => void = () => {},
  ) {}

  /** Sends to another output from now on; what sounds on those before is ended. They are not closed. */
  setOutput(output: Output): void {
    this.setOutputs([{ output }]);
  }

  /** Sends to these outputs from now on, all at once. */
  setOutputs(outputs: readonly LaneOutput[]): void {
    const now = this.host.now();
    for (const lane of this.lanes) lane.silence(now);
    this.lanes = outputs.map(
      ({ output, options }) =>
        new Lane(output, this.transport, this.lateness, { ...options, levels: this.levelsOf(output) }),
    );
    if (this.state === 'running') {
      const spans = this.transport.spans();
      // The margin is for rounding: at the very instant of a note, that note has been dealt with.
      for (const lane of this.lanes) lane.seek(Math.floor(tickAt(spans, now + lane.ahead) + 1e-6));
    }
    this.schedule();
  }

  /** How loud each voice is, in percent, by its number; `gear`: as outputs have it that do not make the sound themselves. */
  setLevels(levels: readonly number[], gear: readonly number[] = levels): void {
    this.levels = levels;
    this.gear = gear;
    for (const lane of this.lanes) lane.setLevels(this.levelsOf(lane.output), this.host.now());
    this.schedule();
  }

  private levelsOf({ own }: Output): readonly number[] {
    return own ? this.levels : this.gear;
  }

  /** The first output is sent to this many ms earlier from now on, or later when below 0. */
  setOffset(ms: number): void {
    this.lanes[0]?.setOffset(ms);
    this.schedule();
  }

  append(segments: readonly Segment[]): void {
    this.transport.append(segments);
    this.changed();
  }

  replace(tick: number, segments: readonly Segment[]): void {
    this.transport.replace(tick, segments, this.host.now() + this.lead);
    // Standing still there is no place to find: a look ahead would put the first segment where it is not yet.
    if (this.state === 'running') {
      const now = tickAt(this.transport.spans(), this.host.now());
      for (const lane of this.lanes) lane.seek(undefined, now);
    }
    if (this.current) this.current = this.transport.known(this.current);
    this.changed();
  }

  /** Time goes on after the segment in which it stands still, as soon as all outputs can have what comes. */
  release(id: number): void {
    if (this.state === 'running' && this.transport.release(id, this.host.now() + this.lead)) this.changed();
  }

  /**
   * Runs from a tick: as soon as outputs are ready for it, so many ms (`after`) later, or so that it is at a time; what of it is over by
   * then is left out.
   */
  play(tick: number, { at, after = 0 }: { readonly at?: number; readonly after?: number } = {}): void {
    const { transport } = this;
    const now = this.host.now();
    if (at === undefined || transport.follows) {
      this.begin(
        tick,
        transport.follows ? transport.timeOf(tick) : now + this.lead + startDelay + after,
        tick - 1,
      );
      return;
    }
    transport.start(tick, at);
    transport.first();
    const reached = Math.ceil(tickAt(transport.spans(), now + this.lead)) - 1;
    this.started(tick, Math.max(tick - 1, reached));
  }

  /** Time runs along these spans from now on; or by the segments' own tempos again. An external clock goes before them. */
  setLine(spans: readonly Span[] | null): void {
    if (this.follower) return;
    if (spans === null && this.state === 'running') this.transport.leaveLine(this.host.now() + this.lead);
    else this.transport.follow(spans);
    if (this.state !== 'running') return;
    this.schedule();
    this.announce({ kind: 'spans', spans: this.transport.spans() });
  }

  /** While nothing runs, gear that follows is sent pulses so far apart, ms, so that it knows the tempo; `null`: none. */
  setIdle(msPerPulse: number | null): void {
    const good = msPerPulse !== null && msPerPulse >= 1;
    this.idle = good ? { msPerPulse, next: this.host.now() + msPerPulse } : null;
    if (this.state !== 'running') this.schedule();
  }

  pause(): void {
    this.armed = null;
    if (this.state !== 'running') return;
    const now = this.host.now();
    const tick = tickAt(this.transport.spans(), now);
    this.halt('paused', tick);
  }

  /** Sends messages at once to all outputs. */
  sendNow(messages: readonly number[]): void {
    for (const lane of this.lanes) lane.sendNow(messages, this.host.now());
  }

  /** Ends what sounds and whatever may sound besides. */
  silence(notes: readonly number[]): void {
    for (const lane of this.lanes) lane.silenceNotes(notes, this.host.now());
  }

  /** Ends everything: for the ways out. */
  end(): void {
    for (const lane of this.lanes) lane.silence(this.host.now());
    this.state = 'stopped';
    this.idle = null;
    this.cancel();
  }

  /** How early the output that wants it earliest wants its messages, ms. */
  get lead(): number {
    return Math.max(0, ...this.lanes.map((lane) => lane.ahead));
  }

  /** How long after its time the output that is sent to latest has its messages, ms. */
  private get lag(): number {
    return Math.max(0, ...this.lanes.map((lane) => -lane.ahead));
  }

  /** Follows an external clock from now on, or no longer. */
  follow(follower: ClockFollower | null): void {
    if (this.state === 'running') this.pause();
    this.follower = follower;
    this.armed = null;
    this.transport.follow(null);
  }

  /** The queue's `tick` stands for the place `song` (ticks): from there it is played when the external clock runs. */
  arm(tick: number, song: number): void {
    this.armed = { tick, song };
    if (this.follower?.running) this.takeUp();
  }

  /** Takes in what the external clock says. */
  hear(event: ClockEvent): void {
    const { follower } = this;
    if (!follower) return;
    switch (event.kind) {
      case 'pulse':
        follower.pulse(event.time);
        if (this.state === 'running') this.followPulse();
        else if (follower.running) this.takeUp();
        break;
      case 'start':
        if (this.state === 'running') this.halt('paused', this.tickNow());
        follower.start(event.time);
        if (this.armed?.song !== 0) this.announcePlace(0);
        break;
      case 'continue':
        follower.continueFrom(event.time);
        break;
      case 'stop': {
        follower.stop(event.time);
        const place = Math.max(0, Math.round(follower.now(event.time).tick));
        if (this.state === 'running') this.halt('paused', this.tickNow());
        this.announcePlace(place);
        break;
      }
      case 'place':
        follower.songPosition(event.units);
        if (this.state !== 'running') this.announcePlace(event.units * 240);
    }
  }

  private announcePlace(song: number): void {
    this.armed = null;
    this.announce({ kind: 'place', song });
  }

  private tickNow(): number {
    return tickAt(this.transport.spans(), this.host.now());
  }

  /** The external clock runs and the queue is armed: they are put together. */
  private takeUp(): void {
    const { follower, armed } = this;
    if (!follower || !armed || this.state === 'running') return;
    const now = this.host.now();
    const { tick, time, msPerTick } = follower.now(now);
    if (!(msPerTick > 0) || !Number.isFinite(msPerTick)) return;
    this.transport.follow({ tick: armed.tick - armed.song + tick, time, msPerTick });
    this.transport.start(armed.tick, time);
    // Rounding must not lose the first note: what lies a moment after is still struck.
    const here = Math.max(armed.tick - 1, Math.floor(this.tickNow()) - Math.ceil(followJumpMs / msPerTick));
    this.started(armed.tick, here);
    // The first note is due with this very pulse: a timer would be late for it.
    this.cancel();
    this.turn();
  }

  private followPulse(): void {
    const { follower, armed } = this;
    if (!follower || !armed) return;
    const now = this.host.now();
    const { tick, time, msPerTick } = follower.now(now);
    this.transport.follow({ tick: armed.tick - armed.song + tick, time, msPerTick });
    this.watchFollowed(now);
    this.schedule();
  }

  /** Announces how the followed clock does: its spans now and then, and whether it is there. */
  private watchFollowed(now: number): void {
    const { follower, armed } = this;
    if (!follower || !armed) return;
    const { state } = follower.now(now);
    const spans = this.transport.spans();
    const tick = tickAt(spans, now);
    const last = this.followAnnounced;
    const msPerTick = spans[0]?.msPerTick ?? 1;
    const expected = last.tick + (now - last.at) / msPerTick;
    const jumped = Math.abs(tick - expected) * msPerTick > followJumpMs;
    if (state !== last.state && last.state !== '') this.announce({ kind: 'following', state });
    if (now - last.time < followAnnounceMs && !jumped && state === last.state) return;
    this.followAnnounced = { time: now, tick, at: now, state };
    this.announce({ kind: 'spans', spans });
  }

  private begin(tick: number, time: number, from: number): void {
    this.transport.start(tick, time);
    this.started(tick, from);
  }

  private started(tick: number, from: number): void {
    for (const lane of this.lanes) lane.seek(from, undefined, true);
    this.current = null;
    this.idle = null;
    this.state = 'running';
    this.announce({ kind: 'state', state: 'running', tick });
    this.changed();
  }

  private halt(state: 'paused' | 'stopped', tick: number): void {
    for (const lane of this.lanes) lane.silence(this.host.now());
    this.state = state;
    this.armed = null;
    this.cancel();
    this.transport.clear();
    // A line is given for one run; an external clock stays.
    if (!this.follower) this.transport.follow(null);
    this.announce({ kind: 'state', state, tick });
  }

  private changed(): void {
    if (this.state !== 'running') return;
    this.schedule();
    this.announceSpans();
  }

  private announceSpans(): void {
    if (this.transport.version === this.announcedVersion) return;
    this.announcedVersion = this.transport.version;
    this.announce({ kind: 'spans', spans: this.transport.spans() });
  }

  private cancel(): void {
    if (this.timer !== null) this.host.clearTimer(this.timer);
    this.timer = null;
    this.goesOn = false;
  }

  /** Sets the coarse timer for the next deadline or the end of what is playing. */
  private schedule(): void {
    this.cancel();
    if (this.state !== 'running') {
      this.scheduleIdle();
      return;
    }
    const now = this.host.now();
    const next = this.nextTime();
    if (next - now <= this.margin.ms) {
      this.goOnSoon();
      return;
    }
    const boundary = this.boundary();
    const deadline = Math.min(next, boundary <= now ? boundary + this.lag : boundary);
    const wait = Math.min(this.follower ? 250 : 1000, deadline - now - this.margin.ms);
    this.timerDue = now + wait;
    this.timer = this.host.setTimer(this.wake, Math.max(0, wait));
  }

  /** Goes on once messages have been read: a timer would be late for what comes next. */
  private goOnSoon(): void {
    this.goesOn = true;
    if (this.askedSoon) return;
    this.askedSoon = true;
    this.host.soon(this.goOn);
  }

  private scheduleIdle(): void {
    if (!this.idle) return;
    this.timer = this.host.setTimer(
      this.wakeIdle,
      Math.max(0, this.idle.next - this.host.now() - leastMargin),
    );
  }

  private readonly wakeIdle = (): void => {
    this.timer = null;
    const { idle } = this;
    if (!idle || this.state === 'running') return;
    if (idle.next - this.host.now() > leastMargin) {
      this.scheduleIdle();
      return;
    }
    this.host.waitUntil(idle.next);
    const now = this.host.now();
    for (const lane of this.lanes) lane.idlePulse(now);
    // After a stall pulses are not repaid.
    const next = Math.max(idle.next + idle.msPerPulse, now + 1);
    this.idle = { ...idle, next };
    this.scheduleIdle();
  };

  /** When the playing segment ends, or the first one begins. */
  private boundary(): number {
    if (this.current) return this.transport.timeOf(this.current.endTick);
    const first = this.transport.first();
    return first ? this.transport.timeOf(first.startTick) : Number.POSITIVE_INFINITY;
  }

  private readonly wake = (): void => {
    this.timer = null;
    if (this.state !== 'running') return;
    this.margin.fired(this.host.now() - this.timerDue);
    this.turn();
  };

  private readonly goOn = (): void => {
    this.askedSoon = false;
    if (!this.goesOn) return;
    this.goesOn = false;
    if (this.state !== 'running') return;
    this.margin.met();
    this.turn();
  };

  /** One turn: sends what is due, keeps account, and sees to it that there will be another. */
  private turn(): void {
    this.watch();
    this.sendDue();
    if (this.state !== 'running') return;
    this.keepAccount();
    if (this.follower) this.watchFollowed(this.host.now());
    this.schedule();
  }

  /**
   * Sends what is due, and waits for what follows within a timer's reach. However much that is, messages are read in
   * between: wherever there is room for it, and at the latest when the loop has been held for `mostHold`.
   */
  private sendDue(): void {
    const from = this.host.now();
    for (let next = this.nextTime(), sent = false; this.state === 'running'; next = this.nextTime()) {
      const now = this.host.now();
      if (!(next - now <= this.margin.ms) || Math.max(next, now) - from > mostHold) return;
      if (sent && next - now > readingRoom) return;
      const until = Math.max(next, now);
      for (const lane of this.lanes) lane.prepare(until, now);
      this.host.waitUntil(next);
      for (const lane of this.lanes) lane.release(this.clock);
      sent = true;
    }
  }

  private nextTime(): number {
    let next = Number.POSITIVE_INFINITY;
    for (const lane of this.lanes) next = Math.min(next, lane.nextTime());
    return next;
  }

  private readonly clock = (): number => this.host.now();

  /** Keeps account of which segment is playing, and notices the end. */
  private keepAccount(): void {
    const now = this.host.now();
    for (let passed = 0; passed < mostPassed; passed += 1) {
      const next: Instance | null = this.current
        ? this.transport.after(this.current)
        : this.transport.first();
      if (next && this.transport.timeOf(next.startTick) <= now) {
        this.current = next;
        this.announce({ kind: 'segment', id: next.segment.id, tick: next.startTick });
        this.transport.forget(next.startTick);
        continue;
      }
      if (!next && this.current && this.boundary() + this.lag <= now) this.finish(this.current);
      break;
    }
    if (this.state === 'running' && !this.follower) this.announceSpans();
  }

  private finish(last: Instance): void {
    const ranOut = last.segment.onEnd === 'next';
    this.halt('stopped', last.endTick);
    if (ranOut)
      this.announce({
        kind: 'trouble',
        message: 'the music ran out before more of it came; press play to go on',
      });
  }
}
