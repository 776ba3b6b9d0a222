import { hrtimeMs } from '../host.js';
import type { Output } from './output.js';
import { clickSamples, noteHertz, pluckSamples } from './synth.js';

/*
 * The part of Web Audio that is used here, written out: the package is optional, and where it is not there
 * its types are not there either.
 */
interface Node {
  connect(to: Node): unknown;
  disconnect(): void;
}
interface Gain extends Node {
  readonly gain: { value: number; setTargetAtTime(value: number, when: number, constant: number): unknown };
}
interface Samples {
  copyToChannel(samples: Float32Array, channel: number): void;
}
interface Source extends Node {
  buffer: Samples | null;
  onended: (() => void) | null;
  start(when: number): void;
  stop(when?: number): void;
}
interface Audio {
  readonly currentTime: number;
  readonly sampleRate: number;
  readonly destination: Node;
  createGain(): Gain;
  createDynamicsCompressor(): Node;
  createBuffer(channels: number, length: number, rate: number): Samples;
  createBufferSource(): Source;
  close(): Promise<void>;
}
interface AudioModule {
  readonly AudioContext: new () => Audio;
}

/** How early the built-in sound wants its messages, ms: a few of the sound card's buffers. */
const leadMs = 80;
/** A moderate level to start from. */
const masterLevel = 0.4;
const clickChannel = 9;
const accentNote = 76;

/** Opens the built-in sound. Throws a sentence when there is no sound card or the package is not there. */
export async function openSound(): Promise<Output> {
  const audio = await loadAudio();
  if (!audio)
    throw new Error(
      'no built-in sound: the optional package node-web-audio-api is not installed for this machine',
    );
  let context: Audio;
  try {
    context = new audio.AudioContext();
  } catch {
    throw new Error('no built-in sound: no sound card was found');
  }
  return new SoundOutput(context);
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

/** Plays the messages of a MIDI output with its own voices: two clicks and a plucked course. */
class SoundOutput implements Output {
  readonly label = 'built-in sound';
  readonly lead = leadMs;
  private readonly master: Gain;
  private readonly samples = new Map<number, Samples>();
  private readonly sounding = new Map<number, { source: Source; gain: Gain }>();
  private readonly started = new Set<Source>();
  /** hrtime ms at which the card's clock stood at 0. */
  private offset = Number.POSITIVE_INFINITY;
  private offsetTaken = 0;

  constructor(private readonly context: Audio) {
    this.master = context.createGain();
    this.master.gain.value = masterLevel;
    const limiter = context.createDynamicsCompressor();
    this.master.connect(limiter);
    limiter.connect(context.destination);
    this.store(-1, clickSamples(context.sampleRate, 1760));
    this.store(-2, clickSamples(context.sampleRate, 1175));
  }

  send(status: number, data1: number, data2: number, atTime: number): void {
    const channel = status & 0x0f;
    const kind = status & 0xf0;
    const when = this.cardTime(atTime);
    if (kind === 0x90 && channel === clickChannel)
      this.start(this.buffer(data1 === accentNote ? -1 : -2), data2 / 127, when);
    else if (kind === 0x90)
      this.sounding.set((channel << 7) | data1, this.start(this.buffer(data1), data2 / 180, when));
    else if (kind === 0x80) this.damp((channel << 7) | data1, when);
  }

  flush(): void {}

  panic(): void {
    for (const source of this.started) stopQuietly(source);
    this.started.clear();
    this.sounding.clear();
  }

  close(): void {
    this.panic();
    this.context.close().catch(() => {});
  }

  private start(buffer: Samples, level: number, when: number): { source: Source; gain: Gain } {
    const gain = this.context.createGain();
    gain.gain.value = level;
    gain.connect(this.master);
    const source = this.context.createBufferSource();
    source.buffer = buffer;
    source.connect(gain);
    source.onended = () => {
      this.started.delete(source);
      gain.disconnect();
    };
    source.start(when);
    this.started.add(source);
    return { source, gain };
  }

  /** A choked ending: the course is damped within a few ms, not cut. */
  private damp(key: number, when: number): void {
    const voice = this.sounding.get(key);
    if (!voice) return;
    this.sounding.delete(key);
    voice.gain.gain.setTargetAtTime(0, when, 0.006);
    voice.source.stop(when + 0.06);
  }

  private buffer(note: number): Samples {
    return this.samples.get(note) ?? this.store(note, pluckSamples(this.context.sampleRate, noteHertz(note)));
  }

  private store(note: number, samples: Float32Array): Samples {
    const buffer = this.context.createBuffer(1, samples.length, this.context.sampleRate);
    buffer.copyToChannel(samples, 0);
    this.samples.set(note, buffer);
    return buffer;
  }

  /**
   * The card's time for a time on the monotonic clock. The card's clock is read in steps, so the smallest
   * difference seen is the true one; it is let grow slowly to follow drift.
   */
  private cardTime(atTime: number): number {
    const now = hrtimeMs();
    const seen = now - this.context.currentTime * 1000;
    const grown = this.offset + (now - this.offsetTaken) * 0.0005;
    this.offset = Number.isFinite(grown) ? Math.min(grown, seen) : seen;
    this.offsetTaken = now;
    return Math.max(this.context.currentTime, (atTime - this.offset) / 1000);
  }
}

function stopQuietly(source: Source): void {
  try {
    source.stop();
  } catch {
    // It had not begun or had ended already: either way it is silent.
  }
}
