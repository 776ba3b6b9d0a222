import { type Band, type BandEvent, type BandStep, leads, newBand } from '../../src/band/band.js';
import { bandHeard } from '../../src/band/hear.js';
import type { LinkEvent, Topic } from '../../src/band/link.js';
import { bandPlayed, bandWake, forBand } from '../../src/band/play.js';
import { hello, will } from '../../src/band/say.js';
import { readChart } from '../../src/chart/read.js';
import { arranged, settled } from '../../src/playback/arranging.js';
import { heard } from '../../src/playback/heard.js';
import { readyAt } from '../../src/playback/performance.js';
import {
  type Command,
  firstSession,
  inTurn,
  type Played,
  type Session,
  unmoved,
} from '../../src/playback/session.js';
import { setupOf } from '../../src/playback/setup.js';
import { clock } from '../../src/playback/transport.js';
import type { Host } from '../../src/player/host.js';
import { Loop } from '../../src/player/loop.js';
import type { ToPlayer } from '../../src/player/messages.js';
import type { Output } from '../../src/player/outputs/output.js';
import { arrange } from '../../src/time/arrange.js';
import { barEnd, placeAt } from '../../src/time/conductor.js';
import { tickAt } from '../../src/time/segment.js';
import { keyOf, mandolin, usualStart } from '../ui/model.js';
import { type MachineClock, type Way, Wire, type World } from './network.js';

/** A player's machine in the world's time, by its own clock. While it blocks, the rest of the world goes on. */
export class WorldHost implements Host {
  private ahead = Number.NEGATIVE_INFINITY;
  private dead = new Set<unknown>();

  constructor(
    private readonly world: World,
    private readonly machine: MachineClock,
  ) {}

  now(): number {
    return Math.max(this.machine.read(), this.ahead);
  }

  setTimer(callback: () => void, ms: number): unknown {
    const timer = {};
    const due = this.now() + Math.max(1, Math.floor(ms));
    this.world.at(this.machine.when(due), () => {
      if (!this.dead.delete(timer)) callback();
    });
    return timer;
  }

  clearTimer(timer: unknown): void {
    this.dead.add(timer);
  }

  soon(callback: () => void): void {
    this.world.at(this.machine.when(this.now()), callback);
  }

  waitUntil(time: number): void {
    this.ahead = Math.max(this.ahead, time);
  }
}

/** What an output was sent, for when by its own clock. */
interface Struck {
  readonly status: number;
  readonly note: number;
  readonly velocity: number;
  readonly time: number;
}

export class Kept implements Output {
  readonly label = 'kept';
  readonly lead = 0;
  readonly sent: Struck[] = [];

  send(status: number, note: number, velocity: number, time: number): void {
    this.sent.push({ status, note, velocity, time });
  }

  flush(): void {}
  panic(): void {}
  close(): void {}

  /** Notes that have begun and not ended. */
  get hanging(): number {
    const open = new Set<number>();
    for (const { status, note, velocity } of this.sent) {
      const key = ((status & 15) << 7) | note;
      if ((status & 0xf0) === 0x90 && velocity > 0) open.add(key);
      if ((status & 0xf0) === 0x80 || ((status & 0xf0) === 0x90 && velocity === 0)) open.delete(key);
    }
    return open.size;
  }
}

/** Whoever is connected to a broker. */
export interface Guest {
  readonly id: string;
  readonly machine: MachineClock;
  readonly lastWill: { readonly topic: Topic; readonly payload: Uint8Array } | null;
  hear(event: LinkEvent): void;
}

/** A broker, with what it keeps, and everybody's wires to it. */
export class Room {
  readonly kept = new Map<string, { topic: Topic; payload: Uint8Array }>();
  readonly places = new Map<
    Guest,
    { to: Wire; from: Wire; filters: Set<string>; connected: boolean; session: number }
  >();
  /** Messages that went through, both ways. */
  messages = 0;
  bytes = 0;

  come(stand: Guest, to: Wire, from: Wire): void {
    this.places.set(stand, { to, from, filters: new Set(), connected: false, session: 0 });
    this.connect(stand);
  }

  connect(stand: Guest): void {
    const place = this.places.get(stand);
    if (!place) return;
    place.connected = true;
    place.session += 1;
    place.filters.clear();
    stand.hear({ kind: 'up', id: stand.id });
  }

  /** The stand's connection is lost: it notices, and so does the broker, which says its goodbye. */
  disconnect(stand: Guest, told = true): void {
    const place = this.places.get(stand);
    if (!place?.connected) return;
    place.connected = false;
    const last = stand.lastWill;
    stand.hear({ kind: 'down', reason: 'the network has gone' });
    if (told && last) this.spread(last.topic, last.payload, true, true);
  }

  publish(from: Guest, topic: Topic, payload: Uint8Array, retain: boolean, sure: boolean): void {
    const place = this.places.get(from);
    if (!place?.connected) return;
    this.messages += 1;
    this.bytes += payload.length;
    const { session } = place;
    place.to.send(() => {
      if (place.session === session) this.spread(topic, payload, retain, sure);
    }, sure);
  }

  subscribe(stand: Guest, filter: Topic): void {
    const place = this.places.get(stand);
    if (!place?.connected) return;
    place.to.send(() => {
      place.filters.add(filter.join('/'));
      for (const { topic, payload } of this.kept.values())
        if (fits(filter, topic)) this.deliver(stand, topic, payload, true);
    }, true);
  }

  private spread(topic: Topic, payload: Uint8Array, retain: boolean, sure: boolean): void {
    if (retain) this.kept.set(topic.join('/'), { topic, payload });
    for (const [stand, { filters }] of this.places)
      if ([...filters].some((filter) => fits(filter.split('/'), topic)))
        this.deliver(stand, topic, payload, sure);
  }

  private deliver(stand: Guest, topic: Topic, payload: Uint8Array, sure: boolean): void {
    const place = this.places.get(stand);
    if (!place?.connected) return;
    this.messages += 1;
    this.bytes += payload.length;
    const { session } = place;
    place.from.send(() => {
      if (place.connected && place.session === session)
        stand.hear({ kind: 'message', topic, payload, at: stand.machine.read() });
    }, sure);
  }

  /** The same for what nobody of the band has sent. */
  forge(topic: Topic, payload: Uint8Array): void {
    this.spread(topic, payload, false, true);
  }
}

function fits(filter: Topic, topic: Topic): boolean {
  return (
    filter.length === topic.length && filter.every((level, index) => level === '+' || level === topic[index])
  );
}

/** How long the way to the player's process and back takes, ms; and an arrangement. */
const wayMs = 0.5;
const arrangeMs = 60;

/** A whole stand: its band, session and player, on a machine with a clock of its own. */
export class Stand {
  band: Band;
  session: Session = firstSession;
  readonly output = new Kept();
  readonly events: BandEvent[] = [];
  lastWill: { topic: Topic; payload: Uint8Array } | null = null;
  alive = true;
  private readonly loop: Loop;
  private room: Room | null = null;
  private due = Number.POSITIVE_INFINITY;

  constructor(
    private readonly world: World,
    readonly id: string,
    readonly machine: MachineClock,
    private readonly holds = true,
  ) {
    this.band = newBand({ name: id, part: 'mandolin' });
    this.loop = new Loop(new WorldHost(world, machine), (message) =>
      this.later(() => this.play((session, at) => heard(session, message, at))),
    );
    this.loop.setOutput(this.output);
    this.play((session, at) =>
      heard(session, { kind: 'opened', out: { kind: 'none' }, label: 'here', lead: 0, refused: [] }, at),
    );
    const look = (): void => {
      if (!this.alive) return;
      this.play(clock);
      this.world.at(this.world.now + 20, look);
    };
    look();
  }

  get leads(): boolean {
    return leads(this.band);
  }

  join(room: Room, to: Way, from: Way, random: () => number): void {
    this.room = room;
    const last = will(this.id);
    this.lastWill = last;
    room.come(this, new Wire(this.world, to, random), new Wire(this.world, from, random));
  }

  back(): void {
    this.lastWill = will(this.id);
    this.room?.connect(this);
  }

  die(): void {
    this.alive = false;
    this.loop.end();
    this.room?.disconnect(this);
  }

  /** A chart is put on the stand. */
  put(text: string, more: Partial<Parameters<typeof setupOf>[1]> = {}): void {
    const read = readChart(new TextEncoder().encode(text));
    if (!read.ok) throw new Error(read.faults[0]?.message);
    const chart = read.value;
    const setup = setupOf(chart, {
      ...usualStart,
      key: keyOf(chart.key.tonic),
      bpm: chart.tempo.bpm,
      countIn: 1,
      passes: null,
      range: null,
      from: 0,
      instrument: mandolin,
      plan: {},
      holds: this.holds,
      ...more,
    });
    this.play((session) => unmoved({ ...session, performance: readyAt(setup, 0) }));
  }

  hear(event: Parameters<typeof bandHeard>[1]): void {
    if (!this.alive) return;
    this.obey(bandHeard(this.band, event, this.machine.read()));
    this.play(unmoved);
  }

  /** Something that the stand does in its band. */
  act(by: (band: Band, at: number) => BandStep): void {
    this.obey(by(this.band, this.machine.read()));
    this.play(unmoved);
  }

  /** A step of the session, and all that comes of it. */
  play(step: (session: Session, at: number) => Played): void {
    if (!this.alive) return;
    const at = this.machine.read();
    this.take(inTurn(step(this.session, at), (now) => settled(now, at)));
    const joined = bandPlayed(this.band, this.session, at);
    this.obey(joined);
    this.take(inTurn(joined.played, (now) => settled(now, at)));
    const wake = bandWake(this.band, this.session);
    if (wake < this.due && Number.isFinite(wake)) {
      this.due = wake;
      this.world.at(this.machine.when(Math.max(wake, at + 1)), () => {
        this.due = Number.POSITIVE_INFINITY;
        this.play(unmoved);
      });
    }
  }

  private take(played: Played): void {
    this.session = played.session;
    for (const command of forBand(this.band, played.commands)) this.perform(command);
  }

  private obey({ band, publishes, subscribes, events }: BandStep): void {
    this.band = band;
    for (const topic of subscribes) this.room?.subscribe(this, topic);
    for (const { topic, payload, retain, qos } of publishes)
      this.room?.publish(this, topic, payload, retain, qos === 1);
    for (const event of events) {
      this.events.push(event);
      if (event.kind === 'song') this.putSong(event.song.chart);
    }
  }

  private putSong(chart: Parameters<typeof setupOf>[0]): void {
    const setup = setupOf(chart, {
      ...usualStart,
      key: chart.key,
      bpm: chart.tempo.bpm,
      countIn: 1,
      passes: null,
      range: null,
      from: 0,
      instrument: mandolin,
      plan: {},
      holds: this.holds,
    });
    this.session = { ...this.session, performance: readyAt(setup, 0) };
  }

  private perform(command: Command): void {
    const { loop } = this;
    if (command.kind === 'arrange') {
      this.world.at(this.world.now + arrangeMs, () => {
        const arrangement = arrange(command.chart, command.options);
        this.play((session, at) => arranged(session, command.id, arrangement, at));
      });
      return;
    }
    this.later(() => {
      if (command.kind === 'append') loop.append(command.segments);
      else if (command.kind === 'replace') loop.replace(command.tick, command.segments);
      else if (command.kind === 'levels') loop.setLevels(command.levels, command.gear);
      else this.tell(command.message);
    });
  }

  /** What the player's process does with what it is told. */
  private tell(message: ToPlayer): void {
    const { loop } = this;
    if (message.kind === 'play') loop.play(message.tick, message);
    else if (message.kind === 'pause') loop.pause();
    else if (message.kind === 'line') loop.setLine(message.spans);
    else if (message.kind === 'release') loop.release(message.id);
    else if (message.kind === 'send') loop.sendNow(message.messages);
    else throw new Error(`the stage does not know ${message.kind}`);
  }

  private later(act: () => void): void {
    this.world.at(this.world.now + wayMs, () => {
      if (this.alive) act();
    });
  }

  /** Its hello again, for a stand that was renamed. */
  sayHello(): void {
    this.act(hello);
  }

  /** Where the music is in true time: pass, bar and ticks into it, as one text; what it is doing where it does not run. */
  where(trueTime = this.world.now): string {
    const { link, performance } = this.session;
    if (link.state !== 'running' || !performance?.conductor || link.spans.length === 0) return link.state;
    const place = placeAt(performance.conductor, tickAt(link.spans, this.machine.of(trueTime)));
    if (!place) return 'end';
    return `${place.counting ? 'count' : 'music'} ${place.pass}.${place.bar}`;
  }

  /** How far, ms, it is ahead of another stand in the bar that both play; not a number where they do not, or where time stands still. */
  ticksApart(other: Stand): number {
    const [mine, theirs] = [this.within(), other.within()];
    if (!mine || !theirs || mine.bar !== theirs.bar) return Number.NaN;
    // Where one bar goes round, one of them may have begun it again.
    const off = mine.into - theirs.into;
    const turns = Math.round(off / mine.length);
    return (off - turns * mine.length) * theirs.ms;
  }

  private within(): { bar: number; into: number; length: number; ms: number } | null {
    const { link, performance } = this.session;
    const tick = tickAt(link.spans, this.machine.read());
    const ms = link.spans.findLast((one) => one.tick <= tick)?.msPerTick ?? 1e9;
    const place = performance?.conductor ? placeAt(performance.conductor, tick) : null;
    if (!place || !performance?.conductor || ms > 1e6) return null;
    return { ...place, length: place.into + barEnd(performance.conductor, tick) - tick, ms };
  }

  /** True times of the notes of a channel that were struck, ms. */
  strikes(channel: number): number[] {
    return this.output.sent
      .filter(({ status, velocity }) => status === (0x90 | channel) && velocity > 0)
      .map(({ time }) => this.machine.when(time));
  }
}
