import { type Voice, voices } from '../../time/event.js';
import { hrtimeMs } from '../host.js';
import { dampSeconds, type StruckNote, type Table, tableOf } from '../synth/tables.js';
import { CardClock } from './card-clock.js';
import type { Output } from './output.js';

/*
 * The part of Web Audio that is used here, written out: the package is optional, and where it is not there
 * its types are not there either.
 */
export interface Node {
  connect(to: Node): unknown;
  disconnect(): void;
}
export interface Gain extends Node {
  readonly gain: {
    setValueAtTime(value: number, when: number): unknown;
    linearRampToValueAtTime(value: number, when: number): unknown;
    cancelScheduledValues(when: number): unknown;
  };
}
export interface Samples {
  copyToChannel(samples: Float32Array, channel: number): void;
}
export interface Source extends Node {
  buffer: Samples | null;
  loop: boolean;
  loopStart: number;
  loopEnd: number;
  onended: (() => void) | null;
  start(when: number): void;
  stop(when?: number): void;
}
export interface Audio {
  readonly currentTime: number;
  readonly sampleRate: number;
  readonly destination: Node;
  createGain(): Gain;
  createBuffer(channels: number, length: number, rate: number): Samples;
  createBufferSource(): Source;
  close(): Promise<void>;
}
interface AudioModule {
  readonly AudioContext: new (options: { latencyHint: number }) => Audio;
}

/** How early the built-in sound wants its messages, ms: a few of the sound card's buffers. */
const leadMs = 150;
/** Seconds the card's buffer should last. The package's own default, a few ms, stalls for good on a slow machine. */
const bufferSeconds = 0.05;
/**
 * A card that runs out of sound while it is being opened never goes on with this package, and its thread then asks it again and again: it is closed
 * and opened afresh, so often.
 */
const attempts = 3;
/** How long a card may take until its clock is seen to run, ms, and how often it is looked at. */
const startMs = 3000;
const lookMs = 3;
/** The card's clock is then looked at this often, ms: never in step with its buffer, whatever that is. */
export const followMs: readonly number[] = [29, 37, 43, 53, 31, 47];
/**
 * A moderate level to start from, low enough that four courses, a bass and a click at their loudest stay below
 * full scale: the mix is never limited or clipped.
 */
const masterLevel = 0.24;
/** From the last sound until the card is closed, ms: its buffer, and a little. */
const closeMs = 55;
/** Tables that are kept, the newest: what a chart needs is less. */
const mostTables = 64;
/** Loudest levels of a click and of a string, at velocity 127. */
const clickLevel = 1;
const stringLevel = 127 / 180;
/** Voices by the channels they usually have, for notes of which only the channel is known; a course on any other. */
const voiceOfChannel: ReadonlyMap<number, Voice> = new Map([
  [9, 'click'],
  [2, 'bass'],
  [1, 'chop'],
  [3, 'lead'],
]);
/** A note of each sound, made before time runs: the clicks are wanted anyway, and what is compiled when it first runs is compiled then. */
const firstNotes: readonly StruckNote[] = [
  { voice: 0, note: 76, velocity: 96, length: 0 },
  { voice: 0, note: 77, velocity: 72, length: 0 },
  { voice: 1, note: 31, velocity: 92, length: 500 },
  { voice: 2, note: 55, velocity: 92, length: 500 },
  { voice: 3, note: 62, velocity: 92, length: 60 },
  { voice: 4, note: 69, velocity: 88, length: 500 },
];

/** Opens the built-in sound. Throws a sentence when there is no sound card or the package is not there. */
export async function openSound(): Promise<Output> {
  const audio = await loadAudio();
  if (!audio)
    throw new Error(
      'no built-in sound: the optional package node-web-audio-api is not installed for this machine',
    );
  for (let attempt = 0; attempt < attempts; attempt += 1) {
    let context: Audio;
    try {
      context = new audio.AudioContext({ latencyHint: bufferSeconds });
    } catch {
      throw new Error('no built-in sound: no sound card was found');
    }
    const output = new SoundOutput(context);
    await output.prepare();
    if (await output.clockRuns()) return output;
    await output.leave();
  }
  throw new Error(
    'no built-in sound: the sound card is there but takes no sound; another program may be using it',
  );
}

/** The package that makes sound, or `null`. */
async function loadAudio(): Promise<AudioModule | null> {
  try {
    const name: string = 'node-web-audio-api';
    return (await import(name)) as AudioModule;
  } catch {
    return null;
  }
}

/** A buffer that was started, at what level and card time, and when it is damped: never, until its note ends. */
interface Strike {
  readonly source: Source;
  readonly gain: Gain;
  readonly level: number;
  readonly when: number;
  /** Seconds it takes to fall silent. */
  readonly fall: number;
  dampedAt: number;
}

/** Plays the messages of a MIDI output with its own voices: a wood block, a plucked bass, courses that ring or are choked, a tune that is bowed or plucked. */
export class SoundOutput implements Output {
  readonly label = 'built-in sound';
  readonly lead = leadMs;
  readonly own = true;
  private readonly master: Gain;
  private readonly tables = new Map<number, Samples>();
  private readonly sounding = new Map<number, Strike>();
  /** The programs that were sent last, by channel. */
  private readonly programs = new Map<number, number>();
  private readonly started = new Set<Strike>();
  private follower: NodeJS.Timeout | null = null;
  private looks = 0;

  /** `clock`: how the card's time lies to ours. One that is given is taken as it is, and no longer looked after. */
  constructor(
    private readonly context: Audio,
    private readonly clock: CardClock = new CardClock(),
  ) {
    if (!clock.known) this.followOn();
    this.master = context.createGain();
    this.master.gain.setValueAtTime(masterLevel, 0);
    this.master.connect(context.destination);
  }

  /** Makes the first sounds, one at a time: the card's thread must have its turn between them, or the card runs dry on a machine with one core. */
  async prepare(): Promise<void> {
    for (const note of firstNotes) {
      await new Promise((resolve) => setTimeout(resolve, lookMs));
      this.buffer(tableOf(note));
    }
  }

  send(
    status: number,
    data1: number,
    data2: number,
    atTime: number,
    voice = voices.indexOf(voiceOfChannel.get(status & 0x0f) ?? 'low'),
    lengthMs = 0,
  ): void {
    const key = ((status & 0x0f) << 7) | data1;
    const kind = status & 0xf0;
    const when = this.cardTime(atTime);
    if (kind === 0x80) this.damp(key, when);
    if (kind === 0xc0) this.programs.set(status & 0x0f, data1);
    if (kind !== 0x90) return;
    const program = this.programs.get(status & 0x0f);
    const table = tableOf({
      voice,
      note: data1,
      velocity: data2,
      length: lengthMs,
      ...(program === undefined ? {} : { program }),
    });
    const isClick = voices[voice] === 'click';
    const level = ((isClick ? clickLevel : stringLevel) * data2) / 127;
    const strike = this.start(table, level, when);
    // A wood block is not damped: what its message's length says is no matter.
    if (!isClick) this.sounding.set(key, strike);
  }

  flush(): void {}

  /** Looks at the card's clock until it has gone on a few times, so that it is known where it stands. */
  async clockRuns(): Promise<boolean> {
    const end = hrtimeMs() + startMs;
    let steps = 0;
    let before = this.context.currentTime;
    while (steps < 4 && hrtimeMs() < end) {
      await new Promise((resolve) => setTimeout(resolve, lookMs));
      if (this.context.currentTime === before) continue;
      before = this.context.currentTime;
      steps += 1;
      this.look();
    }
    return steps >= 4;
  }

  panic(): void {
    const now = this.context.currentTime;
    for (const strike of this.started)
      if (strike.when > now) retract(strike);
      else if (strike.dampedAt > now) fade(strike, now);
    this.started.clear();
    this.sounding.clear();
  }

  close(): void {
    this.still();
    // What sounds is left the time to fade.
    setTimeout(() => this.leave(), closeMs);
  }

  /** Lets the card go at once; resolves when it is free. */
  async leave(): Promise<void> {
    this.still();
    await this.context.close().catch(() => {});
  }

  private still(): void {
    if (this.follower) clearTimeout(this.follower);
    this.panic();
  }

  private start(table: Table, level: number, when: number): Strike {
    const { fall = dampSeconds, sustained } = table;
    const gain = this.context.createGain();
    gain.gain.setValueAtTime(level, when);
    gain.connect(this.master);
    const source = this.context.createBufferSource();
    source.buffer = this.buffer(table);
    source.connect(gain);
    if (sustained) {
      const { from, to } = sustained(this.context.sampleRate);
      source.loop = true;
      source.loopStart = from / this.context.sampleRate;
      source.loopEnd = to / this.context.sampleRate;
    }
    const strike: Strike = { source, gain, level, when, fall, dampedAt: Number.POSITIVE_INFINITY };
    source.onended = () => {
      this.started.delete(strike);
      gain.disconnect();
    };
    source.start(when);
    this.started.add(strike);
    return strike;
  }

  /** The end of a note: it is damped within a few ms, not cut. */
  private damp(key: number, when: number): void {
    const strike = this.sounding.get(key);
    if (!strike) return;
    this.sounding.delete(key);
    fade(strike, Math.max(when, strike.when));
  }

  /** The samples of a table, made when they are first wanted; those not wanted for longest make room. */
  private buffer({ key, samples }: Table): Samples {
    const buffer = this.tables.get(key) ?? this.store(samples(this.context.sampleRate));
    this.tables.delete(key);
    this.tables.set(key, buffer);
    if (this.tables.size > mostTables)
      for (const oldest of this.tables.keys()) {
        this.tables.delete(oldest);
        break;
      }
    return buffer;
  }

  private store(samples: Float32Array): Samples {
    const buffer = this.context.createBuffer(1, samples.length, this.context.sampleRate);
    buffer.copyToChannel(samples, 0);
    return buffer;
  }

  private followOn(): void {
    this.looks += 1;
    this.follower = setTimeout(
      () => {
        this.look();
        this.followOn();
      },
      followMs[this.looks % followMs.length],
    );
  }

  private look(): void {
    this.clock.look(hrtimeMs(), this.context.currentTime);
  }

  /** The card's time for a time on the monotonic clock. */
  private cardTime(atTime: number): number {
    return Math.max(this.context.currentTime, this.clock.cardTime(atTime));
  }
}

/** Brings a strike to silence within a few ms. */
function fade(strike: Strike, from: number): void {
  const { gain, level, source, fall } = strike;
  strike.dampedAt = from;
  // Its end may have been sent ahead: it would be loud again there for a moment.
  gain.gain.cancelScheduledValues(from);
  gain.gain.setValueAtTime(level, from);
  gain.gain.linearRampToValueAtTime(0, from + fall);
  stopQuietly(source, from + fall);
}

/** Lets a strike that has not begun never be heard: it is let off the wire, for where its end is set already it would still sound until then. */
function retract({ source, gain }: Strike): void {
  gain.disconnect();
  stopQuietly(source);
}

/** Stops what may have been stopped before: to the package a second stop is a fault, and the first holds. */
function stopQuietly(source: Source, when?: number): void {
  try {
    source.stop(when);
  } catch {
    // It ends where it was told to first; nothing is heard of it until then.
  }
}
