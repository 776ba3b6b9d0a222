import { readChart } from '../chart/read.js';
import { recall, remember } from '../config/remembered.js';
import { mandolin } from '../hand/instrument.js';
import { type ClientMessage, PlayerClient } from '../player/client.js';
import { hrtimeMs } from '../player/host.js';
import type { OutSpec } from '../player/messages.js';
import { mostOffset } from '../player/out-settings.js';
import { outText } from '../player/out-spec.js';
import { arrange } from '../time/arrange.js';
import { begin } from '../time/conductor.js';
import { type Span, timeAt } from '../time/segment.js';
import { ticksPerQuarter } from '../time/units.js';
import { exit, print, Stop, say } from './exit.js';
import { lastWords, writePatiently } from './plain-terminal.js';
import { redrawLine } from './print.js';
import { screenLack } from './screen.js';

/** Clicks a minute, how many are heard where no key can be pressed, and how long a flash is shown. */
const bpm = 60;
const shortTest = 4;
const flashMs = 120;
/** Ms that a key press is worth. */
const step = 5;

/**
 * Lets an output be heard: a click a second, with a flash on the screen at the same instant, so that the offset can be
 * set until both come together. In a terminal with keys, until it is left; elsewhere a few clicks with a line each.
 */
export async function testOutput(out: OutSpec): Promise<number> {
  return new OutputTest(out).run();
}

class OutputTest {
  private readonly client: PlayerClient;
  private spans: readonly Span[] = [];
  private offset: number;
  private beat = 0;
  private timer: NodeJS.Timeout | null = null;
  private finish: (problem: string | null) => void = () => {};
  private readonly hasKeys = screenLack() === null;

  constructor(private readonly out: OutSpec) {
    this.offset = out.offset ?? 0;
    this.client = new PlayerClient((message) => this.hear(message));
  }

  async run(): Promise<number> {
    writePatiently();
    say('Start with the volume low: a click is sharp, and ears do not heal.');
    const ended = new Promise<string | null>((resolve) => {
      this.finish = resolve;
    });
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const)
      process.once(signal, () => this.finish(null));
    if (this.hasKeys) this.readKeys();
    this.client.open([this.out]);
    const problem = await ended;
    if (this.timer) clearTimeout(this.timer);
    if (this.hasKeys) {
      process.stdin.setRawMode(false);
      process.stdin.pause();
      redrawLine();
    }
    await this.client.quit();
    await lastWords();
    if (problem !== null)
      throw new Stop(
        exit.machine,
        problem,
        'barkline ports lists the outputs that work now; barkline doctor says what to do if something does not work',
      );
    if (this.hasKeys) this.keep();
    return exit.done;
  }

  private hear(message: ClientMessage): void {
    switch (message.kind) {
      case 'opened':
        print(`a click a second to: ${message.label}`);
        if (this.hasKeys)
          print('press Left and Right until flash and click come together; Enter saves the offset, q leaves');
        this.play();
        break;
      case 'failed':
        this.finish(message.reasons.join('; '));
        break;
      case 'spans':
        this.spans = message.spans;
        this.wait();
        break;
      case 'died':
        this.finish(`the player process ended unexpectedly (${message.reason})`);
        break;
      default:
    }
  }

  private play(): void {
    const reading = readChart(
      new TextEncoder().encode(`title: T\nkey: C\ntempo: ${bpm}\nsections:\n  V: |\n    nc\n`),
    );
    if (!reading.ok) throw new Error('the test chart cannot be read');
    const { score } = arrange(reading.value, { key: reading.value.key, instrument: mandolin, share: 1 });
    const { segments } = begin({ score, passes: null, share: 1, countIn: 0 }, 0, 0);
    this.client.append(segments);
    this.client.send({ kind: 'play', tick: 0 });
  }

  /** Waits for the next click, to flash with it. */
  private wait(): void {
    if (!this.hasKeys && this.beat >= shortTest) return;
    if (this.timer) clearTimeout(this.timer);
    const due = timeAt(this.spans, this.beat * ticksPerQuarter);
    this.timer = setTimeout(() => this.flash(), Math.max(0, due - hrtimeMs()));
  }

  private flash(): void {
    this.beat += 1;
    if (this.hasKeys) {
      this.draw(true);
      setTimeout(() => this.draw(false), flashMs).unref();
    } else print(`click ${this.beat}`);
    if (!this.hasKeys && this.beat >= shortTest) setTimeout(() => this.finish(null), 500);
    else this.wait();
  }

  private draw(isLit: boolean): void {
    const rest = `  offset ${this.offset} ms`;
    if (isLit) redrawLine('   click   ', rest);
    else redrawLine('', `           ${rest}`);
  }

  private readKeys(): void {
    process.stdin.setRawMode(true);
    process.stdin.resume();
    process.stdin.setEncoding('utf8');
    // A terminal that has gone.
    for (const event of ['end', 'error']) process.stdin.on(event, () => this.finish(null));
    process.stdin.on('data', (text: string) => {
      if (text === '\x1b[C') this.move(step);
      else if (text === '\x1b[D') this.move(-step);
      else if (text === 'q' || text === '\x03' || text === '\x1b') {
        this.offset = this.out.offset ?? 0;
        this.finish(null);
      } else if (text === '\r') this.finish(null);
    });
  }

  private move(by: number): void {
    this.offset = Math.max(-mostOffset, Math.min(mostOffset, this.offset + by));
    this.client.send({ kind: 'offset', ms: this.offset });
    this.draw(false);
  }

  private keep(): void {
    const name = outText(this.out);
    if (this.offset === (this.out.offset ?? 0)) {
      print(`${name}: offset ${this.offset} ms, as before`);
      return;
    }
    remember({ offsets: { ...recall().offsets, [name]: this.offset } });
    print(
      `${name}: offset ${this.offset} ms is saved; an offset below “outputs:” in settings.yaml overrides it`,
    );
  }
}
