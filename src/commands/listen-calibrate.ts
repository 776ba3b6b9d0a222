import { safeText } from '../base/safe-text.js';
import { readChart } from '../chart/read.js';
import { keepCalibration } from '../config/calibrations.js';
import { type Ear, type EarMessage, openEar } from '../ear/client.js';
import type { EarSpec, StrokeHeard } from '../ear/messages.js';
import { parseEar } from '../ear/spec.js';
import { mandolin } from '../hand/instrument.js';
import { type RoundTrip, roundTrip } from '../listen/calibration.js';
import { soundPlace } from '../listen/click-place.js';
import { type ClientMessage, PlayerClient } from '../player/client.js';
import type { OutSpec } from '../player/messages.js';
import { outText } from '../player/out-spec.js';
import { woodBlock } from '../player/synth/wood-block.js';
import { arrange } from '../time/arrange.js';
import { usualClick } from '../time/click.js';
import { begin } from '../time/conductor.js';
import { type Span, timeAt } from '../time/segment.js';
import { ticksPerQuarter } from '../time/units.js';
import { exit, print, Stop, say } from './exit.js';
import { outputsFor } from './outputs.js';
import { lastWords, writePatiently } from './plain-terminal.js';
import { settingsOf } from './settings.js';

/** What `listen --calibrate` can be told, as commander gives it. */
export interface CalibrateFlags {
  readonly out?: string;
  readonly microphone?: string;
  readonly headphones?: boolean;
}

/** How it is measured: clicks a minute; how many are let by first and how many count; round trips that are thought of, and how near they lie, ms. */
const byClicks = { bpm: 60, first: 2, count: 16, from: -60, to: 900, within: 12 } as const;
const byChops = { bpm: 100, first: 4, count: 16, from: -140, to: 450, within: 110 } as const;
/** Clicks begin softly and get louder, percent, where they are not heard: ears and loudspeakers are spared. */
const loudness = [30, 60, 100] as const;
/** So many clicks later it is looked whether they are heard. */
const lookAfter = 6;
/** A stroke is told so long after it sounded at most, ms. */
const toldMs = 900;

/**
 * Measures how long sound takes from the output in use to the microphone, says it with its spread, and keeps it for that pair. Throws `Stop`
 * with what is wrong and what to do where it cannot be heard.
 */
export async function calibrate(flags: CalibrateFlags): Promise<number> {
  const read = parseEar(flags.microphone ?? 'default');
  if (!read.ok) throw new Stop(exit.call, `--microphone ${read.fault.message}`);
  const { outs } = outputsFor(flags.out === undefined ? {} : { out: flags.out }, settingsOf());
  const heads = flags.headphones ?? false;
  writePatiently();
  say(
    heads
      ? 'Put the headphones on with the volume low. After four clicks chop along with sixteen, on the beat.'
      : 'Start with the volume low: what a loudspeaker plays next to a microphone may howl. Be still for half a minute.',
  );
  const run = new Calibration(outs, read.value, heads);
  const found = await run.run();
  await lastWords();
  return tell(found, heads);
}

interface Found {
  readonly trip: RoundTrip;
  readonly out: OutSpec;
  readonly label: string;
  readonly microphone: string;
}

function tell({ trip, out, label, microphone }: Found, heads: boolean): number {
  const { ms, spreadMs, driftMs, heard, made } = trip;
  const from = `from ${safeText(label)} to ${safeText(microphone)}`;
  const text = (value: number): string => `${value.toFixed(1)} ms`;
  if (heads) {
    print(
      `${heard} of ${made} beats were heard: ${text(ms)} behind the clicks, spread ${text(spreadMs)}, ${from}`,
      'This is sound’s way and your own lead together: strokes are judged by their spread and drift, not by an absolute lead.',
    );
  } else print(`round trip ${text(ms)}, spread ${text(spreadMs)} (${heard} of ${made} clicks), ${from}`);
  if (Math.abs(driftMs) > 3)
    print(`it ${driftMs > 0 ? 'grows' : 'shrinks'} by ${text(Math.abs(driftMs))} in a minute`);
  // Kept as it would be without the output's offset, which may be set anew.
  const kept = keepCalibration(outText(out), microphone, {
    ms: ms + (out.offset ?? 0),
    spreadMs,
    headphones: heads,
  });
  print(kept === null ? 'It is kept for this output and this microphone.' : `It is not kept: ${kept}`);
  return exit.done;
}

class Calibration {
  private readonly player: PlayerClient;
  private readonly ear: Ear;
  private readonly how: typeof byClicks | typeof byChops;
  private readonly heard: number[] = [];
  private out: { spec: OutSpec; label: string } | null = null;
  private microphone: { name: string; rate: number } | null = null;
  private spans: readonly Span[] = [];
  private playing = false;
  private stalled = false;
  private level = 0;
  private startedAt = 0;
  private timers: NodeJS.Timeout[] = [];
  private finish: (ended: { trip: RoundTrip } | Stop) => void = () => {};

  constructor(
    private readonly outs: readonly OutSpec[],
    from: EarSpec,
    private readonly headphones: boolean,
  ) {
    this.how = headphones ? byChops : byClicks;
    this.player = new PlayerClient((message) => this.played(message));
    this.ear = openEar({ from, onMessage: (message) => this.hears(message) });
  }

  async run(): Promise<Found> {
    const ended = new Promise<{ trip: RoundTrip } | Stop>((resolve) => {
      this.finish = resolve;
    });
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const)
      process.once(signal, () =>
        this.finish(new Stop(130, 'the calibration was broken off', 'nothing was kept')),
      );
    const result = await ended;
    for (const timer of this.timers) clearTimeout(timer);
    await Promise.all([this.player.quit(), this.ear.quit()]);
    if (result instanceof Stop) throw result;
    const { out, microphone } = this;
    if (!out || !microphone) throw new Error('nothing was opened');
    return { trip: result.trip, out: out.spec, label: out.label, microphone: microphone.name };
  }

  private hears(message: EarMessage): void {
    switch (message.kind) {
      case 'opened':
        if (this.microphone) break;
        this.microphone = { name: message.name, rate: message.rate };
        this.player.setLevels(this.levels());
        this.player.open([...this.outs]);
        break;
      case 'failed':
      case 'gone':
      case 'died':
        this.finish(new Stop(exit.machine, message.sentence));
        break;
      case 'stalled':
        // Some devices deliver nothing before something sounds: it matters only where no click is heard in the end.
        this.stalled = true;
        break;
      case 'condition':
        if (message.sentence !== null) say(message.sentence);
        break;
      case 'stroke':
        this.heard.push(this.headphones ? message.ms : this.placeOf(message));
        break;
      default:
    }
  }

  /** When a click that was heard began: by the built-in sound where it is that, more exactly than any stroke is placed. */
  private placeOf({ ms, clip, attack }: StrokeHeard): number {
    const { rate } = this.microphone ?? { rate: 48_000 };
    const place = soundPlace(clip, woodBlock(rate, false));
    return place === null ? ms : ms + (1000 * (place - attack)) / rate;
  }

  private played(message: ClientMessage): void {
    switch (message.kind) {
      case 'opened':
        if (message.out.kind === 'none') {
          const why = message.refused.length > 0 ? `: ${message.refused.join('; ')}` : '';
          this.finish(
            new Stop(
              exit.machine,
              `there is nothing to play clicks through${why}`,
              'barkline ports lists what can be heard now',
            ),
          );
          break;
        }
        this.out = { spec: message.out, label: message.label };
        if (!this.playing) this.play();
        break;
      case 'failed':
        this.finish(
          new Stop(exit.machine, message.reasons.join('; '), 'barkline ports lists what can be heard now'),
        );
        break;
      case 'spans':
        this.spans = message.spans;
        break;
      case 'died':
        this.finish(new Stop(exit.machine, `the player died (${message.reason})`));
        break;
      default:
    }
  }

  private play(): void {
    this.playing = true;
    const { bpm, first, count } = this.how;
    const text = `title: T\nkey: C\ntempo: ${bpm}\nsections:\n  V: |\n    nc\n`;
    const reading = readChart(new TextEncoder().encode(text));
    if (!reading.ok) throw new Error('the chart of clicks does not read');
    const { score } = arrange(reading.value, { key: reading.value.key, instrument: mandolin, share: 1 });
    const click = { ...usualClick, accents: false };
    const { segments } = begin({ score, passes: null, share: 1, countIn: 0, click }, 0, 0);
    this.player.append(segments);
    this.player.send({ kind: 'play', tick: 0 });
    print('playing clicks…');
    const beatMs = 60_000 / bpm;
    if (!this.headphones) this.later((first + lookAfter) * beatMs + toldMs, () => this.look());
    this.later((first + count) * beatMs + toldMs + 500, () => this.end());
  }

  /** Makes the clicks louder, and begins anew, where they are not heard. */
  private look(): void {
    const begun = this.due().slice(this.startedAt, this.startedAt + this.how.first + lookAfter);
    if (roundTrip(begun, this.heard, this.how) || this.level + 1 >= loudness.length) return;
    this.level += 1;
    this.startedAt += this.how.first + lookAfter;
    this.player.setLevels(this.levels());
    for (const timer of this.timers.splice(0)) clearTimeout(timer);
    const beatMs = 60_000 / this.how.bpm;
    this.later((this.how.first + lookAfter) * beatMs, () => this.look());
    this.later((this.how.first + this.how.count) * beatMs + toldMs, () => this.end());
  }

  private end(): void {
    const { first, count } = this.how;
    const due = this.due().slice(this.startedAt + first, this.startedAt + first + count);
    const trip = roundTrip(due, this.heard, this.how);
    if (trip) this.finish({ trip });
    else if (this.headphones)
      this.finish(
        new Stop(
          exit.input,
          'too few chops were heard beside the clicks',
          'chop on each click, near the microphone, and try again',
        ),
      );
    else if (this.stalled && this.heard.length === 0)
      this.finish(
        new Stop(
          exit.machine,
          'no sound at all comes from the microphone',
          'look whether it is connected; barkline ports lists what there is',
        ),
      );
    else
      this.finish(
        new Stop(
          exit.machine,
          'the clicks are not heard by the microphone',
          'turn the volume up a little, move the microphone nearer to the loudspeaker; with headphones, write --headphones',
        ),
      );
  }

  /** When the clicks were and are due, ms. */
  private due(): number[] {
    return Array.from({ length: this.startedAt + this.how.first + this.how.count }, (_, beat) =>
      timeAt(this.spans, beat * ticksPerQuarter),
    );
  }

  private levels(): number[] {
    return [this.headphones ? 60 : (loudness[this.level] as number), 0, 0, 0];
  }

  private later(ms: number, then: () => void): void {
    this.timers.push(setTimeout(then, ms));
  }
}
