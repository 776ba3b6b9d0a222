import { hrtimeMs } from '../../player/host.js';
import { PieceReader } from './pieces.js';
import { CannotHear, type Source, type SourceEvents } from './source.js';
import { cannotOpen, hasGone } from './trouble.js';

/*
 * The part of the package decibri that is used here, written out: it is optional, and where it is not there its types are not
 * there either.
 */
interface Capture {
  on(event: 'data', listener: (chunk: Buffer) => void): unknown;
  on(event: 'error', listener: (error: Error) => void): unknown;
  on(event: 'close', listener: () => void): unknown;
  stop(): void;
  readonly overrunCount: number;
}
/** A microphone as the package lists it. */
export interface ListedDevice {
  readonly name: string;
  readonly id: string;
  readonly defaultSampleRate: number;
  readonly isDefault: boolean;
}
interface CaptureModule {
  readonly Microphone: {
    new (options: {
      sampleRate: number;
      framesPerBuffer: number;
      dtype: 'float32';
      device?: { id: string };
    }): Capture;
    devices(): readonly ListedDevice[];
  };
}

/** A piece lasts this long, seconds; the second value is used if the system cannot keep up. */
const pieces = [0.01, 0.035] as const;
/** The rate where the system names no usual microphone. */
const usualRate = 48_000;
/** How long a card may take to deliver its first piece, ms. */
const firstMs = 8000;
/** A stream that broke off is opened again so often within a minute before its longer pieces, and then the next means, are tried. */
const mostBreaks = 4;

/** What the package can hear; `null` when it is not installed for this machine. */
export async function listDecibri(): Promise<readonly ListedDevice[] | null> {
  const module = await load();
  if (!module) return null;
  try {
    return module.Microphone.devices();
  } catch {
    return [];
  }
}

/** Opens a microphone by its id as the package lists it, or the usual one. Throws `CannotHear`. */
export async function openDecibri(device: ListedDevice | null, events: SourceEvents): Promise<Source> {
  const module = await load();
  if (!module)
    throw new CannotHear(
      'the optional package decibri is not installed for this machine; run npm install --no-save decibri',
      'means',
    );
  const capture = new DecibriSource(module, device, events);
  const fault = await capture.begins();
  if (fault === null) return capture;
  capture.close();
  throw cannotOpen(device?.name ?? null, fault);
}

/** A stream of the package. It ends when the system loses sound; it is then opened again, and the loss is reported. */
class DecibriSource implements Source {
  readonly by = 'decibri';
  readonly name: string;
  readonly rate: number;
  private capture: Capture | null = null;
  private readonly reader = new PieceReader({ kind: 'float', bits: 32 });
  private breaks: number[] = [];
  private overruns = 0;
  private closed = false;
  private heard = false;
  private begun: (fault: string | null) => void = () => {};

  constructor(
    private readonly module: CaptureModule,
    private readonly device: ListedDevice | null,
    private readonly events: SourceEvents,
  ) {
    this.name = device?.name ?? 'default';
    this.rate = device?.defaultSampleRate || usualRate;
  }

  /** Resolves to `null` when sound comes, or to what was said when none does. */
  begins(): Promise<string | null> {
    return new Promise((resolve) => {
      const timer = setTimeout(() => resolve('it delivers no sound'), firstMs);
      this.begun = (fault) => {
        clearTimeout(timer);
        this.begun = () => {};
        resolve(fault);
      };
      this.open();
    });
  }

  close(): void {
    this.closed = true;
    try {
      this.capture?.stop();
    } catch {
      // The stream has already ended.
    }
  }

  private open(): void {
    const seconds = pieces[this.breaks.length < mostBreaks ? 0 : 1];
    try {
      const capture = new this.module.Microphone({
        sampleRate: this.rate,
        framesPerBuffer: Math.round(seconds * this.rate),
        dtype: 'float32',
        ...(this.device ? { device: { id: this.device.id } } : {}),
      });
      this.capture = capture;
      this.overruns = 0;
      capture.on('data', (data) => this.take(capture, data, hrtimeMs()));
      capture.on('error', (error) => this.broke(capture, error.message));
      capture.on('close', () => this.broke(capture, 'it ended'));
    } catch (error) {
      this.broke(this.capture, (error as Error).message);
    }
  }

  private take(capture: Capture, data: Buffer, ms: number): void {
    if (this.closed || capture !== this.capture) return;
    this.begun(null);
    this.heard = true;
    if (capture.overrunCount > this.overruns) this.events.onLost('here');
    this.overruns = capture.overrunCount;
    const samples = this.reader.take(data);
    if (samples.length > 0) this.events.onSound(samples, ms);
  }

  private broke(capture: Capture | null, said: string): void {
    if (this.closed || capture !== this.capture) return;
    this.capture = null;
    const now = hrtimeMs();
    this.breaks = [...this.breaks.filter((time) => now - time < 60_000), now];
    const isLost = /overrun|underrun|POLLERR|broken pipe/i.test(said);
    if (!isLost || this.breaks.length > 2 * mostBreaks) {
      this.begun(said);
      if (!this.heard) return;
      this.closed = true;
      this.events.onGone(hasGone(this.name));
      return;
    }
    if (this.heard) this.events.onLost('here');
    this.open();
  }
}

async function load(): Promise<CaptureModule | null> {
  try {
    const name: string = 'decibri';
    const module = (await import(name)) as CaptureModule & { default?: CaptureModule };
    return module.Microphone ? module : (module.default ?? null);
  } catch {
    return null;
  }
}
