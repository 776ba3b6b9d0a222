import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { hrtimeMs } from '../../player/host.js';
import { arecordSays, type ListedPcm, readPcmList } from './arecord-says.js';
import { PieceReader } from './pieces.js';
import { CannotHear, type Source, type SourceEvents } from './source.js';
import { cannotOpen, hasGone } from './trouble.js';

/** The rates that are asked for, one after another: what nearly all cards have comes first. */
const rates = [48_000, 44_100, 96_000, 32_000, 16_000] as const;
/** Floating point numbers lose nothing that a card delivers; a card without conversion may have only integers. */
const formats = ['FLOAT_LE', 'S16_LE'] as const;
/** Sound comes in pieces of this length, and the system keeps so much when nobody takes it, microseconds. */
const periodUs = 10_000;
const bufferUs = 2_000_000;
/** How long a card may take to deliver its first piece, and the list to be made, ms. */
const firstMs = 8000;
const listMs = 5000;

/** Whether the system's recorder is here, and what it can record from; `null` when it is not. */
export function listArecord(): Promise<readonly ListedPcm[] | null> {
  return new Promise((resolve) => {
    execFile('arecord', ['-L'], { env: english(), timeout: listMs, maxBuffer: 1 << 20 }, (error, text) =>
      resolve(error && text === '' ? null : readPcmList(text)),
    );
  });
}

/** Opens a device by the system's name for it with the recorder of ALSA. Throws `CannotHear`. */
export async function openArecord(name: string | null, events: SourceEvents): Promise<Source> {
  let said = '';
  for (const format of formats)
    for (const rate of rates) {
      const recorder = new Recorder(name ?? 'default', format, rate, events);
      const fault = await recorder.begins();
      if (fault === null) return recorder;
      recorder.close();
      if (fault instanceof CannotHear) throw fault;
      said = fault;
      // Only what it cannot do may be asked for otherwise.
      if (!/non available|not available|invalid argument|unable to install/i.test(said))
        throw cannotOpen(name, said);
    }
  throw cannotOpen(name, said);
}

/** The recorder as a process whose sound comes through a pipe. */
class Recorder implements Source {
  readonly by = 'arecord';
  private readonly child: ChildProcess;
  private readonly reader: PieceReader;
  private errors = '';
  private fault = '';
  private closed = false;
  private heard = false;
  private begun: (fault: string | CannotHear | null) => void = () => {};

  constructor(
    readonly name: string,
    format: (typeof formats)[number],
    public rate: number,
    private readonly events: SourceEvents,
  ) {
    this.reader = new PieceReader(
      format === 'FLOAT_LE' ? { kind: 'float', bits: 32 } : { kind: 'whole', bits: 16 },
    );
    this.child = spawn(
      'arecord',
      ['-q', '-t', 'raw', '-D', name, '-f', format, '-c', '1', '-r', String(rate)].concat(
        `--period-time=${periodUs}`,
        `--buffer-time=${bufferUs}`,
      ),
      { env: english(), stdio: ['ignore', 'pipe', 'pipe'] },
    );
    this.child.stdout?.on('data', (data: Buffer) => this.take(data, hrtimeMs()));
    this.child.stderr?.on('data', (data: Buffer) => this.read(data.toString('utf8')));
    for (const stream of [this.child.stdout, this.child.stderr]) stream?.on('error', () => {});
    this.child.on('error', (error: NodeJS.ErrnoException) =>
      this.begun(
        error.code === 'ENOENT'
          ? new CannotHear('the program arecord is not installed; install alsa-utils', 'means')
          : error.message,
      ),
    );
    this.child.on('close', () => this.ended());
  }

  /** Resolves to `null` when sound comes, or to what was said when none does. */
  begins(): Promise<string | CannotHear | null> {
    return new Promise((resolve) => {
      const timer = setTimeout(() => resolve('it delivers no sound'), firstMs);
      this.begun = (fault) => {
        clearTimeout(timer);
        this.begun = () => {};
        resolve(fault);
      };
    });
  }

  close(): void {
    this.closed = true;
    this.child.kill('SIGKILL');
  }

  private take(data: Buffer, ms: number): void {
    if (this.closed) return;
    this.begun(null);
    this.heard = true;
    const samples = this.reader.take(data);
    if (samples.length > 0) this.events.onSound(samples, ms);
  }

  private read(text: string): void {
    this.errors = (this.errors + text).slice(-4000);
    const lines = this.errors.split('\n');
    this.errors = lines.pop() ?? '';
    for (const line of lines) {
      const says = arecordSays(line);
      // What it says comes another way than its sound, and may overtake it.
      if (says?.kind === 'lost' && this.heard && !this.closed) this.events.onLost('about');
      // Said before the first sound.
      else if (says?.kind === 'rate' && !this.heard) this.rate = says.rate;
      else if (says?.kind === 'fault') this.fault += `${says.said}\n`;
    }
  }

  private ended(): void {
    this.begun(this.fault || this.errors || 'it ended at once');
    if (this.closed || !this.heard) return;
    this.closed = true;
    this.events.onGone(hasGone(this.name));
  }
}

function english(): NodeJS.ProcessEnv {
  return { ...process.env, LC_ALL: 'C' };
}
