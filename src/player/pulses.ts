import { ticksPerQuarter } from '../time/units.js';
import type { Instance, Transport } from './transport.js';

/** MIDI clock: 24 pulses a quarter; song position counts units of six pulses (MIDI 1.0). */
export const pulseTicks = ticksPerQuarter / 24;
export const positionTicks = 6 * pulseTicks;
const mostPosition = 0x3fff;

const songPosition = 0xf2;
const pulse = 0xf8;
const start = 0xfa;
const goOn = 0xfb;
const stop = 0xfc;

/** Sends one message of a length that follows from its status. */
export type SendMessage = (status: number, data1: number, data2: number) => void;

/**
 * What gear that follows is sent along the transport: pulses all the time, and where music begins or jumps the place
 * and the word to start, half a pulse before the pulse they hold for.
 */
export class Pulses {
  private instance: Instance | null = null;
  /** Everything up to this tick has been sent. */
  private done = Number.NEGATIVE_INFINITY;
  private running = false;
  /** The gear runs, but no longer where it should. */
  private astray = false;
  /** The latest segment whose jump has been told; ids grow. */
  private told = -1;

  constructor(private readonly transport: Transport) {}

  /**
   * Finds its place again after the transport was changed; `from`: nothing before this tick is sent, save the word to
   * start where the music begins afresh.
   */
  seek(from?: number, afresh = false): void {
    if (from !== undefined) this.done = afresh ? from - pulseTicks / 2 : from;
    this.instance = null;
  }

  /** The tick of what comes next; infinite when nothing is known to. */
  nextTick(): number {
    const next = this.next();
    return next ? Math.max(next.tick, this.done) : Number.POSITIVE_INFINITY;
  }

  /** Sends what comes next. `late`: it is too late for it, so it is left out, and the place told again soon. */
  take(send: SendMessage, late: boolean): void {
    const next = this.next();
    if (!next) return;
    this.done = Math.max(this.done, next.tick);
    if (next.kind === 'pulse') {
      if (late) this.astray = true;
      else send(pulse, 0, 0);
      return;
    }
    if (late) {
      // Not repaid: the place is sent with the next pulse that can be reached.
      this.astray = true;
      this.done = next.tick + pulseTicks / 2;
      return;
    }
    if (this.running) send(stop, 0, 0);
    const units = Math.min(mostPosition, Math.floor(next.song / positionTicks));
    if (units > 0) send(songPosition, units & 0x7f, units >> 7);
    send(units > 0 ? goOn : start, 0, 0);
    this.running = true;
    this.astray = false;
    this.told = next.id;
  }

  /** Tells gear that runs to stop. */
  halt(send: SendMessage): void {
    if (this.running) send(stop, 0, 0);
    this.running = false;
    this.astray = false;
    this.told = -1;
  }

  private next():
    | { readonly kind: 'pulse'; readonly tick: number }
    | { readonly kind: 'start'; readonly tick: number; readonly song: number; readonly id: number }
    | null {
    for (;;) {
      this.instance ??= this.transport.first();
      const here = this.instance;
      if (!here) return null;
      const { segment } = here;
      const phase = segment.song ?? 0;
      const jumps = segment.jump && here.skip === segment.skip && segment.id > this.told;
      if (segment.song !== null && (!this.running || this.astray || jumps)) {
        const at = nextOn(here, phase, positionTicks, this.done);
        if (at < here.endTick) {
          const between = nextOn(here, phase, pulseTicks, this.done);
          // Until then the pulses go on, so that the tempo is known; a pulse on the very place belongs to it.
          if (between < at) return { kind: 'pulse', tick: between };
          return {
            kind: 'start',
            tick: at - pulseTicks / 2,
            song: phase + here.skip + at - here.startTick,
            id: segment.id,
          };
        }
      }
      const tick = nextOn(here, phase, pulseTicks, this.done);
      if (tick < here.endTick) return { kind: 'pulse', tick };
      const after = this.transport.after(here);
      if (!after) return null;
      this.instance = after;
    }
  }
}

/** The first tick of an instance after `done` at which its place in the song is a multiple of `unit`. */
function nextOn(instance: Instance, phase: number, unit: number, done: number): number {
  const from = Math.max(instance.startTick, Math.floor(done) + 1);
  const place = phase + instance.skip + from - instance.startTick;
  return from + ((unit - (place % unit)) % unit);
}
