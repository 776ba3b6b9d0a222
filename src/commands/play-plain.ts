import { safeText } from '../base/safe-text.js';
import { type Chart, meterText } from '../chart/chart.js';
import { tempoLabel, withMarks } from '../chart/label.js';
import { fretsText } from '../hand/fingering.js';
import { plainGlance, prompt } from '../hand/prompt.js';
import { type ClientMessage, PlayerClient } from '../player/client.js';
import { hrtimeMs } from '../player/host.js';
import { latenessText } from '../player/lateness.js';
import type { InSpec, LatenessReport } from '../player/messages.js';
import { chordName } from '../theory/chord.js';
import { keyName } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import type { Arrangement } from '../time/arrange.js';
import { begin, beginAt, type Conductor, feed, positionAt, type Take } from '../time/conductor.js';
import { type Span, tickAt, timeAt } from '../time/segment.js';
import { heardLevels, type Mix, programMessages, usualSound } from '../time/sound.js';
import { exit, print, Stop, say } from './exit.js';
import type { Outputs } from './outputs.js';
import { whenOutputFails } from './print.js';

/** What is played plainly: a line a bar, no screen. */
export interface PlainTake {
  readonly chart: Chart;
  readonly arrangement: Arrangement;
  readonly take: Take;
  readonly from: number;
  readonly mix: Mix;
  readonly outputs: Pick<Outputs, 'outs' | 'also'>;
  /** The outside clock that is followed, if one is. */
  readonly follow: InSpec | null;
  /** Whether lateness is told at the end. */
  readonly stats: boolean;
}

/** The clock is looked at when a beat begins, and at least and at most this often, ms: every look takes time from others. */
const leastLookMs = 5;
const mostLookMs = 500;

/** Plays to the end, to a signal, or until nobody reads any more. Answers the exit status. */
export async function playPlain(plain: PlainTake): Promise<number> {
  printHead(plain);
  return new PlainPlay(plain).run();
}

function printHead({ chart, arrangement, take }: PlainTake): void {
  const bpm = Math.round(chart.tempo.bpm * take.share * 10) / 10;
  print(
    `${safeText(chart.title)}, key ${keyName(arrangement.key)}, ${tempoLabel({ ...chart.tempo, bpm })}, ${meterText(chart.meter)}`,
  );
}

/** One run: the conductor's state, the spans that were announced, and what has been printed. */
class PlainPlay {
  private conductor: Conductor;
  private spans: readonly Span[] = [];
  private printed = '';
  private status: number | null = null;
  private freeTick = 0;
  private timer: NodeJS.Timeout | null = null;
  /** The time that was last looked at. */
  private looked = 0;
  private finish: (status: number) => void = () => {};
  private readonly client: PlayerClient;
  private readonly segments: Parameters<PlayerClient['append']>[0];
  private quarrel = '';
  private told: (report: LatenessReport) => void = () => {};

  constructor(private readonly plain: PlainTake) {
    const begun = plain.follow ? beginAt(plain.take, 0, 0) : begin(plain.take, plain.from, 0);
    this.conductor = begun.conductor;
    this.segments = begun.segments;
    this.client = new PlayerClient((message) => this.hear(message));
  }

  async run(): Promise<number> {
    const ended = new Promise<number>((resolve) => {
      this.finish = resolve;
    });
    const numbers = { SIGINT: 2, SIGTERM: 15, SIGHUP: 1 } as const;
    for (const signal of Object.keys(numbers) as (keyof typeof numbers)[])
      process.once(signal, () => this.end(128 + numbers[signal]));
    whenOutputFails((status) => this.end(status));
    this.client.setLevels(heardLevels(this.plain.mix));
    this.client.open(this.plain.outputs.outs, this.plain.outputs.also);
    const status = await ended;
    if (this.timer) clearTimeout(this.timer);
    if (this.plain.stats) await this.tellLateness();
    await this.client.quit();
    if (this.quarrel !== '')
      throw new Stop(status, this.quarrel, 'barkline ports lists what can be heard now');
    return status;
  }

  /** Asks the player how late it was, and says so; a player that does not answer is not waited for. */
  private async tellLateness(): Promise<void> {
    await new Promise<void>((resolve) => {
      const giveUp = setTimeout(resolve, 500);
      this.told = (report) => {
        clearTimeout(giveUp);
        say(latenessText(report));
        resolve();
      };
      this.client.send({ kind: 'lateness' });
    });
  }

  private end(status: number): void {
    if (this.status !== null) return;
    this.status = status;
    this.finish(status);
  }

  private hear(message: ClientMessage): void {
    switch (message.kind) {
      case 'opened':
        for (const reason of message.refused) say(reason);
        say(`playing to: ${message.label}`);
        this.client.send({ kind: 'send', messages: programMessages(this.plain.take.sound ?? usualSound) });
        this.client.append(this.segments);
        if (this.plain.follow) this.client.listen(this.plain.follow);
        else this.client.send({ kind: 'play', tick: 0 });
        this.lookAgain();
        break;
      case 'failed':
        this.quarrel = message.reasons.join('; ');
        this.end(exit.machine);
        break;
      case 'spans':
        this.spans = message.spans;
        this.lookAgain();
        break;
      case 'state':
        this.freeTick = Math.max(this.freeTick, Math.ceil(message.tick) + 1);
        if (message.state !== 'running') this.spans = [];
        if (message.state === 'stopped') {
          this.look();
          this.end(exit.done);
        }
        break;
      case 'trouble':
        say(safeText(message.message));
        break;
      case 'lateness':
        this.told(message.report);
        break;
      case 'listening':
        this.listening(message.label, message.reason);
        break;
      case 'place':
        this.moveTo(message.song);
        break;
      case 'following':
        if (message.state === 'riding') say('the outside clock has gone; time goes on without it');
        else if (message.state === 'locked') say('following the outside clock');
        break;
      case 'died':
        this.quarrel = `the player died (${message.reason})`;
        this.end(exit.machine);
    }
  }

  private listening(label: string | null, reason: string | null): void {
    if (label === null) {
      this.quarrel = safeText(reason ?? 'the outside clock cannot be heard');
      this.end(exit.machine);
      return;
    }
    say(`waiting for the clock of: ${safeText(label)}`);
    this.client.send({ kind: 'arm', tick: 0, song: 0 });
  }

  /** The outside clock stands elsewhere: the music is made ready from there. */
  private moveTo(song: number): void {
    const { take } = this.plain;
    const begun = beginAt(take, song, this.freeTick, this.conductor.nextId);
    this.conductor = begun.conductor;
    this.client.replace(this.freeTick, begun.segments);
    this.client.send({ kind: 'arm', tick: this.freeTick, song });
  }

  private lookAgain(): void {
    if (this.timer) clearTimeout(this.timer);
    const now = hrtimeMs();
    // From what was looked at, not from now: a beat that has begun in between is not passed over.
    const tick = this.spans.length === 0 ? 0 : Math.max(0, tickAt(this.spans, this.looked));
    const next =
      this.spans.length === 0
        ? now + leastLookMs
        : timeAt(this.spans, tick + positionAt(this.conductor, tick).ticksLeft);
    const wait = Math.min(mostLookMs, Math.max(leastLookMs, next - now + 1));
    this.timer = setTimeout(() => {
      this.look();
      if (this.status === null) this.lookAgain();
    }, wait);
  }

  /** Prints the bar that has just begun, and has more of the music made ready. */
  private look(): void {
    if (this.spans.length === 0 || this.status !== null) return;
    this.looked = hrtimeMs();
    const tick = Math.max(0, tickAt(this.spans, this.looked));
    const fed = feed(this.conductor, tick);
    this.conductor = fed.conductor;
    this.client.append(fed.segments);
    const { phase, pass, bar } = positionAt(this.conductor, tick);
    const here = `${phase} ${pass} ${bar}`;
    if (here === this.printed || phase === 'end') return;
    this.printed = here;
    print(phase === 'count-in' ? 'count-in' : barLine(this.plain, pass, bar));
  }
}

/** One bar as a line: pass and bar, section, numbers, chords, frets, and how the hand gets there. */
export function barLine(
  { arrangement, take }: Pick<PlainTake, 'arrangement' | 'take'>,
  pass: number,
  bar: number,
): string {
  const last = take.passes !== null && pass >= take.passes;
  const { bars, plan, changeAt } = (last ? arrangement.final : null) ?? arrangement;
  const played = bars[bar];
  if (!played) return '';
  const chords = played.cells.map((cell, index) => {
    if (!cell.number || !cell.chord) return 'no chord';
    const change = plan.changes[changeAt[bar]?.[index] ?? -1];
    const isNew = change?.bar === bar && Math.abs(change.beat - cell.at) < 1e-9;
    const way = isNew && change.motion ? `, ${plainGlance(prompt(change.motion).glance)}` : '';
    const shape = change?.fingering ? ` ${fretsText(change.fingering.frets)}` : ' no shape';
    return `${withMarks(numberText(cell.number), cell)} ${chordName(cell.chord)}${shape}${way}`;
  });
  return `pass ${pass} bar ${bar + 1} ${safeText(played.section)}: ${chords.join('; ')}`;
}
