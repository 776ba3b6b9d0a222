import { type Band, type BandEvent, type BandStep, leads, newBand, quiet, steps } from '../band/band.js';
import { bandHeard } from '../band/hear.js';
import type { PartName } from '../band/parts.js';
import { bandWake } from '../band/play.js';
import { goodbye } from '../band/say.js';
import { type PutSong, together } from '../band/together.js';
import type { Chart } from '../chart/chart.js';
import type { NeckSight } from '../hand/neck-sight.js';
import type { Meeting, MeetingEvent, MeetingPlace } from '../link/meeting-types.js';
import { settled } from '../playback/arranging.js';
import type { Performance } from '../playback/performance.js';
import { firstSession, inTurn, type Played, type Session, unmoved } from '../playback/session.js';
import { playOrPause } from '../playback/transport.js';
import { hrtimeMs } from '../player/host.js';
import { keyName } from '../theory/key.js';
import { usualSight } from '../ui/state/sight.js';
import { barWords, headWords } from '../ui/typed/bar-words.js';
import { capoWords } from '../ui/typed/part-words.js';
import { remarksOf, resultsOf } from './band-lines.js';
import { exit, print, Stop, say } from './exit.js';
import { isLed } from './over.js';
import { type PlainOptions, PlainPlayer } from './plain-player.js';

/** How a stand plays plainly in a band. */
export interface PlainBandOptions extends Pick<PlainOptions, 'outputs' | 'stats'> {
  readonly name: string;
  readonly part: PartName;
  /** A teacher's: each student's pass comes back, as a line. */
  readonly isClass?: boolean;
  readonly begins: 'lead' | 'join';
  readonly open: (onEvent: (event: MeetingEvent) => void) => Meeting;
  /** Puts a song that was heard of on the stand. */
  readonly put: PutSong;
  /** The fret of the capo; `null`: the lowest that gives open shapes. */
  readonly capo: number | null;
  readonly neck: NeckSight;
  /** The link is up for the first time; what the stand then does in its band. */
  readonly onUp: (band: Band, at: number) => BandStep;
  /** Called after each step: what else is to be done. */
  readonly onStep: (stand: PlainBand) => void;
  /** The music has come to its end by itself. */
  readonly onStopped: (stand: PlainBand) => void;
}

/** A stand that plays plainly with others: the band, its meeting, and the player, brought together. */
export class PlainBand {
  readonly player: PlainPlayer;
  private known: Band;
  private coming: BandStep | null = null;
  private readonly meeting: Meeting;
  private timer: NodeJS.Timeout | null = null;
  private wasUp = false;
  private place = '';
  /** What the meeting said of its end; empty while it goes on. */
  private refusal = '';
  private headed: { readonly chart: Chart; readonly key: string } | null = null;
  private readonly printed = new Map<string, string>();
  private looks = false;

  constructor(private readonly options: PlainBandOptions) {
    const { name, part, isClass = false, outputs, stats } = options;
    this.known = newBand({ name, part, isClass });
    this.player = new PlainPlayer({
      outputs,
      stats,
      follow: null,
      session: firstSession,
      settle: (played, at) => this.settle(played, at),
      barText: (performance, pass, bar) => this.barText(performance, pass, bar),
      onStopped: () => options.onStopped(this),
      // Who follows finds the leader's place by itself.
      goOn: (session) => (isLed(this.known) ? unmoved(session) : playOrPause(session)),
    });
    this.meeting = options.open((event) => this.hear(event));
  }

  get band(): Band {
    return this.known;
  }

  /** Whether the link was up once. */
  get joined(): boolean {
    return this.wasUp;
  }

  /** Why the band cannot be met at all; empty where it can. */
  get refused(): string {
    return this.refusal;
  }

  /** Plays until it is ended, and takes leave. Answers the exit status. */
  async run(): Promise<number> {
    const status = await this.player.run(async () => {
      if (this.timer) clearTimeout(this.timer);
      this.obey(goodbye(this.known, hrtimeMs()));
      await this.meeting.close();
    });
    if (this.refusal !== '') throw new Stop(status, this.refusal);
    return status;
  }

  /** Something that the stand does in its band, with a step of its session. */
  act(by: (band: Band, at: number) => BandStep, step: (session: Session) => Played = unmoved): void {
    this.player.step((session, at) => {
      const own = by(this.known, at);
      // At once: an answer to a clock's question has its time in it.
      this.send(own);
      this.coming = { ...own, publishes: [], subscribes: [] };
      return step(session);
    });
  }

  private barText(performance: Performance, pass: number, bar: number): string {
    const { part, name, capo, neck } = this.options;
    const band = { part, name, capo, leads: leads(this.known) };
    return barWords(performance, pass, bar, { sight: usualSight, neck, band });
  }

  private hear(event: MeetingEvent): void {
    if (event.kind === 'notice') {
      say(event.sentence);
      return;
    }
    if (event.kind === 'met') {
      this.met(event.place);
      return;
    }
    if (event.kind === 'refused') {
      this.refusal = event.reason;
      this.player.end(this.wasUp ? exit.input : exit.call);
      return;
    }
    if (event.kind === 'down' && !this.wasUp) say(event.reason);
    const first = event.kind === 'up' && !this.wasUp;
    this.wasUp ||= first;
    this.act((band, at) =>
      steps(bandHeard(band, event, at), (now) => (first ? this.options.onUp(now, at) : quiet(now))),
    );
  }

  private settle(played: Played, at: number): Played {
    const step = this.coming ?? quiet(this.known);
    this.coming = null;
    // A program that is about to be stopped plays nothing, whatever the leader does.
    if (this.player.rests) {
      this.obey(step);
      return inTurn(played, (now) => settled(now, at));
    }
    const all = together(step, played, at, this.options.put);
    this.obey(all);
    this.head(all.played.session);
    this.wake(all.played.session);
    this.lookLater();
    return all.played;
  }

  private obey(step: BandStep): void {
    const { band, events } = step;
    const wasLeader = leads(this.known);
    this.known = band;
    this.send(step);
    if (leads(band) !== wasLeader) this.meeting.setLeads(!wasLeader);
    for (const event of events) this.tell(event);
  }

  private send({ publishes, subscribes }: BandStep): void {
    if (subscribes.length > 0) this.meeting.subscribe(subscribes);
    for (const { topic, payload, retain, qos } of publishes)
      this.meeting.publish(topic, payload, { retain, qos });
  }

  private met({ address, word }: MeetingPlace): void {
    if (address === this.place) return;
    this.place = address;
    if (this.options.begins === 'lead') print(`join word: ${word}`, `join address: ${address}`);
    else say(`joined the band at ${address}`);
  }

  private tell(event: BandEvent): void {
    this.printOnce(event);
    for (const line of remarksOf(event)) say(line);
    if (event.kind === 'turned-away') this.player.end(exit.input);
  }

  /** Running order and notes are told again to anybody who comes: each is printed when it is another. */
  private printOnce(event: BandEvent): void {
    const lines = resultsOf(event);
    const text = lines.join('\n');
    if (lines.length === 0 || this.printed.get(event.kind) === text) return;
    this.printed.set(event.kind, text);
    for (const line of lines) print(line);
  }

  /** Says which song is on the stand, once its key and tempo are known, and what a change of key comes to. */
  private head({ performance }: Session): void {
    const { known, headed } = this;
    const isTold = leads(known) || known.now?.body.song === known.song?.id;
    if (!performance || !isTold) return;
    const { chart, key } = performance.setup;
    const next = { chart, key: keyName(key) };
    if (headed?.chart === chart && headed.key === next.key) return;
    this.headed = next;
    if (headed?.chart !== chart) {
      this.player.anew();
      print(headWords(performance.setup));
    }
    for (const line of capoWords(key, this.options)) print(line);
  }

  private wake(session: Session): void {
    if (this.timer) clearTimeout(this.timer);
    const due = bandWake(this.known, session);
    if (!Number.isFinite(due)) return;
    this.timer = setTimeout(() => this.player.step(unmoved), Math.max(1, Math.ceil(due - hrtimeMs())));
  }

  /** After the step, which must be finished first. */
  private lookLater(): void {
    if (this.looks) return;
    this.looks = true;
    setImmediate(() => {
      this.looks = false;
      this.options.onStep(this);
    });
  }
}
