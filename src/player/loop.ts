import type { Segment } from '../time/segment.js';
import { tickAt } from '../time/segment.js';
import type { Host } from './host.js';
import { Lane } from './lane.js';
import { Lateness } from './lateness.js';
import type { FromPlayer } from './messages.js';
import type { Output } from './outputs/output.js';
import { type Instance, Transport } from './transport.js';

/** How long before a deadline the coarse timer is to fire, at least and at most, ms. */
const leastMargin = 2;
const mostMargin = 8;
/** From the command to play until the first tick, beyond the output's lead: time to fill the send path, ms. */
const startDelay = 30;

/**
 * The player's loop: waits for the next deadline, sends what is due, announces what changed. It owns no
 * clock and no process, so tests run it in virtual time.
 */
export class Loop {
  readonly lateness = new Lateness();
  private readonly transport = new Transport();
  private lane: Lane | null = null;
  private state: 'running' | 'paused' | 'stopped' = 'stopped';
  private timer: unknown = null;
  private timerDue = 0;
  private margin = leastMargin;
  private current: Instance | null = null;
  private announcedVersion = -1;

  constructor(
    private readonly host: Host,
    private readonly announce: (message: FromPlayer) => void,
  ) {}

  /** Sends to another output from now on; what sounds on the one before is ended. It is not closed. */
  setOutput(output: Output): void {
    this.lane?.silence(this.host.now());
    const fromTick =
      // The margin is for rounding: at the very instant of a note, that note has been dealt with.
      this.state === 'running'
        ? Math.floor(tickAt(this.transport.spans(), this.host.now() + output.lead) + 1e-6)
        : undefined;
    this.lane = new Lane(output, this.transport, this.lateness);
    if (fromTick !== undefined) this.lane.seek(fromTick);
    this.schedule();
  }

  append(segments: readonly Segment[]): void {
    this.transport.append(segments);
    this.changed();
  }

  replace(tick: number, segments: readonly Segment[]): void {
    this.transport.replace(tick, segments);
    // Standing still there is no place to find: a look ahead would put the first segment where it is not yet.
    if (this.state === 'running') this.lane?.seek(undefined, tickAt(this.transport.spans(), this.host.now()));
    if (this.current) this.current = this.transport.known(this.current);
    this.changed();
  }

  play(tick: number): void {
    const time = this.host.now() + (this.lane?.output.lead ?? 0) + startDelay;
    this.transport.start(tick, time);
    this.lane?.seek(tick - 1);
    this.current = null;
    this.state = 'running';
    this.announce({ kind: 'state', state: 'running', tick });
    this.changed();
  }

  pause(): void {
    if (this.state !== 'running') return;
    const now = this.host.now();
    const tick = tickAt(this.transport.spans(), now);
    this.halt('paused', tick);
  }

  /** Ends what sounds and whatever may sound besides. */
  silence(notes: readonly number[]): void {
    this.lane?.silenceNotes(notes, this.host.now());
  }

  /** Ends everything: for the ways out. */
  end(): void {
    this.lane?.silence(this.host.now());
    this.state = 'stopped';
    this.cancel();
  }

  private halt(state: 'paused' | 'stopped', tick: number): void {
    this.lane?.silence(this.host.now());
    this.state = state;
    this.cancel();
    this.transport.clear();
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
  }

  /** Sets the coarse timer for the next deadline or the end of what is playing. */
  private schedule(): void {
    this.cancel();
    if (this.state !== 'running') return;
    const deadline = Math.min(this.nextTime(), this.boundary());
    const wait = Math.min(1000, deadline - this.host.now() - this.margin);
    this.timerDue = this.host.now() + wait;
    this.timer = this.host.setTimer(() => this.wake(), Math.max(0, wait));
  }

  /** When the playing segment ends, or the first one begins. */
  private boundary(): number {
    if (this.current) return this.transport.timeOf(this.current.endTick);
    const first = this.transport.first();
    return first ? this.transport.timeOf(first.startTick) : Number.POSITIVE_INFINITY;
  }

  private wake(): void {
    this.timer = null;
    if (this.state !== 'running') return;
    this.adaptMargin();
    // What follows within a timer's reach is waited for here: another timer would be late for it.
    for (let next = this.nextTime(); next - this.host.now() <= this.margin; next = this.nextTime()) {
      this.host.waitUntil(next);
      this.lane?.dispatch(this.host.now(), this.clock);
    }
    this.follow();
    this.schedule();
  }

  private nextTime(): number {
    return this.lane?.nextTime() ?? Number.POSITIVE_INFINITY;
  }

  private readonly clock = (): number => this.host.now();

  /** Timers that were late lately make the next one fire earlier. */
  private adaptMargin(): void {
    const late = this.host.now() - this.timerDue;
    const wanted = Math.min(mostMargin, Math.max(leastMargin, late + 1));
    this.margin = wanted > this.margin ? wanted : this.margin * 0.95 + wanted * 0.05;
  }

  /** Keeps account of which segment is playing, and notices the end. */
  private follow(): void {
    const now = this.host.now();
    for (;;) {
      const next: Instance | null = this.current
        ? this.transport.after(this.current)
        : this.transport.first();
      if (next && this.transport.timeOf(next.startTick) <= now) {
        this.current = next;
        this.announce({ kind: 'segment', id: next.segment.id, tick: next.startTick });
        this.transport.forget(next.startTick);
        continue;
      }
      if (!next && this.current && this.boundary() <= now) this.finish(this.current);
      break;
    }
    if (this.state === 'running') this.announceSpans();
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
