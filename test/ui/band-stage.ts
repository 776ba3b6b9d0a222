import type { LinkEvent, Topic } from '../../src/band/link.js';
import { will } from '../../src/band/say.js';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import type { MeetingEvent } from '../../src/link/meeting-types.js';
import { Loop } from '../../src/player/loop.js';
import type { ToPlayer } from '../../src/player/messages.js';
import { arrange } from '../../src/time/arrange.js';
import { placeAt } from '../../src/time/conductor.js';
import { tickAt } from '../../src/time/segment.js';
import type { Action } from '../../src/ui/keys/actions.js';
import { Runtime } from '../../src/ui/runtime.js';
import type { BandSelf } from '../../src/ui/state/band.js';
import type { Effect, Message } from '../../src/ui/state/messages.js';
import { firstModel, type Model, usualScreen } from '../../src/ui/state/model.js';
import type { StandStart } from '../../src/ui/state/modes.js';
import { MachineClock, seeded, type Way, Wire, World } from '../band/network.js';
import { type Guest, Kept, Room, WorldHost } from '../band/stage.js';
import { mandolin, usualStart } from './model.js';

/** How long the way to the player's process and back takes, ms; and an arrangement. */
const wayMs = 0.5;
const arrangeMs = 60;

/** How a chart starts here, but for its key and tempo. */
const startHere = {
  ...usualStart,
  countIn: 1,
  passes: null,
  range: null,
  from: 0,
  instrument: mandolin,
  plan: {},
} as const;

/** Reads a chart; its text must be one. */
export function chartOf(text: string): Chart {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error(read.faults[0]?.message);
  return read.value;
}

/** How a chart starts on a stand of the stage. */
export function startsAt(chart: Chart, more: Partial<StandStart> = {}): StandStart {
  return { ...startHere, key: chart.key, bpm: chart.tempo.bpm, ...more };
}

/** The program's own runtime and player, on a machine with a clock of its own; screen, files and network are the stage's. */
export class BandStand implements Guest {
  readonly output = new Kept();
  readonly effects: Effect[] = [];
  /** Every notice that was shown, in order. */
  readonly notices: string[] = [];
  readonly runtime: Runtime;
  lastWill: { readonly topic: Topic; readonly payload: Uint8Array } | null = null;
  /** It meets the band at a broker of somebody else. */
  elsewhere = false;
  private readonly loop: Loop;
  private alive = true;
  private met = false;

  constructor(
    readonly world: World,
    readonly room: Room,
    readonly id: string,
    readonly machine: MachineClock,
    private readonly way: Way,
    private readonly random: () => number,
    as: Partial<BandSelf> = {},
    private readonly answer: (effect: Effect) => Message | null = () => null,
  ) {
    const host = new WorldHost(world, machine);
    this.loop = new Loop(host, (message) =>
      this.later(() => this.dispatch({ kind: 'player', message, at: this.at })),
    );
    this.loop.setOutput(this.output);
    const start: BandSelf = {
      name: id,
      part: 'mandolin',
      capo: null,
      isClass: false,
      stand: startsAt(chartOf(anySong)),
      ...as,
    };
    this.runtime = new Runtime(
      firstModel({ colour: false, unicode: true }, 100, 30, usualScreen, start),
      (effect) => this.perform(effect),
      () => this.at,
      {
        setTimer: (act, ms) => host.setTimer(() => this.alive && act(), ms),
        clearTimer: (t) => host.clearTimer(t),
      },
    );
    let shown = '';
    this.runtime.subscribe(() => {
      const { notice } = this.model;
      if (notice !== shown && notice !== '') this.notices.push(notice);
      shown = notice;
    });
    this.dispatch({
      kind: 'player',
      at: this.at,
      message: { kind: 'opened', out: { kind: 'none' }, label: 'here', lead: 0, refused: [] },
    });
  }

  get at(): number {
    return this.machine.read();
  }

  get model(): Model {
    return this.runtime.model();
  }

  get title(): string | null {
    return this.model.session.performance?.setup.chart.title ?? null;
  }

  dispatch(message: Message): void {
    if (this.alive) this.runtime.dispatch(message);
  }

  press(...actions: readonly Action[]): void {
    for (const action of actions) this.dispatch({ kind: 'action', action, at: this.at });
  }

  type(text: string): void {
    this.dispatch({ kind: 'typed', text });
  }

  /** A chart is opened from a file. */
  put(text: string, file = 'own.yaml', more: Partial<StandStart> = {}): void {
    const chart = chartOf(text);
    this.dispatch({ kind: 'chart-opened', file, chart, source: text, start: startsAt(chart, more) });
  }

  begin(begins: 'lead' | 'join'): void {
    this.dispatch({ kind: 'band-begins', begins, at: this.at });
  }

  hear(event: LinkEvent | MeetingEvent): void {
    this.dispatch({ kind: 'meeting', event, at: this.at });
  }

  /** The machine is switched off. */
  die(): void {
    this.alive = false;
    this.loop.end();
    this.room.disconnect(this);
  }

  /** Where the music is: pass and bar; what it does where it does not run. */
  get where(): string {
    const { link, performance } = this.model.session;
    if (link.state !== 'running' || !performance?.conductor || link.spans.length === 0) return link.state;
    const place = placeAt(performance.conductor, tickAt(link.spans, this.at));
    return place ? `${place.counting ? 'count' : 'music'} ${place.pass}.${place.bar}` : 'end';
  }

  /** True times of the clicks, ms. */
  get clicks(): number[] {
    return this.output.sent
      .filter(({ status, velocity }) => status === 0x99 && velocity > 0)
      .map(({ time }) => this.machine.when(time));
  }

  done<K extends Effect['kind']>(kind: K): Extract<Effect, { readonly kind: K }>[] {
    return this.effects.filter((one): one is Extract<Effect, { readonly kind: K }> => one.kind === kind);
  }

  private perform(effect: Effect): void {
    this.effects.push(effect);
    const { loop, room } = this;
    const answer = this.answer(effect);
    if (answer) this.later(() => this.dispatch(answer));
    switch (effect.kind) {
      case 'arrange': {
        const { id, chart, options } = effect;
        this.world.at(this.world.now + arrangeMs, () =>
          this.dispatch({ kind: 'arranged', id, arrangement: arrange(chart, options), at: this.at }),
        );
        return;
      }
      case 'append':
        this.later(() => loop.append(effect.segments));
        return;
      case 'replace':
        this.later(() => loop.replace(effect.tick, effect.segments));
        return;
      case 'levels':
        this.later(() => loop.setLevels(effect.levels, effect.gear));
        return;
      case 'tell':
        this.later(() => this.tell(effect.message));
        return;
      case 'meet':
        this.later(() => this.meet());
        return;
      case 'band-publish':
        for (const { topic, payload, retain, qos } of effect.publishes)
          room.publish(this, topic, payload, retain, qos === 1);
        return;
      case 'band-subscribe':
        for (const topic of effect.topics) room.subscribe(this, topic);
        return;
      case 'leave-band':
        // What was said before is still sent.
        return void this.world.at(this.world.now + 50, () => room.disconnect(this, false));
    }
  }

  private meet(): void {
    this.lastWill = will(this.id);
    if (this.met) {
      this.room.connect(this);
      return;
    }
    this.met = true;
    const { world, way, random } = this;
    this.room.come(this, new Wire(world, way, random), new Wire(world, way, random));
    this.hear({ kind: 'met', place: { word: 'otter-lamp', address: '10.0.0.2', carried: !this.elsewhere } });
  }

  private tell(message: ToPlayer): void {
    const { loop } = this;
    if (message.kind === 'play') loop.play(message.tick, message);
    else if (message.kind === 'pause') loop.pause();
    else if (message.kind === 'line') loop.setLine(message.spans);
    else if (message.kind === 'release') loop.release(message.id);
    else if (message.kind === 'send') loop.sendNow(message.messages);
    else if (message.kind !== 'idle') throw new Error(`the stage does not know ${message.kind}`);
  }

  private later(act: () => void): void {
    this.world.at(this.world.now + wayMs, () => {
      if (this.alive) act();
    });
  }
}

const anySong = 'title: Any\nkey: C\ntempo: 100\nmeter: 4/4\nform: V\nsections:\n  V: 1 4 5 1\n';

/** A way as over a cable. */
export const wired: Way = { delay: 0.3, jitter: 0.4, loss: 0, doubled: 0, reorders: false };

/** A band in a room, in virtual time. */
export class BandStage {
  readonly world = new World();
  readonly room = new Room();
  private readonly random: () => number;
  private count = 0;

  constructor(
    seed = 7,
    private readonly way: Way = wired,
  ) {
    this.random = seeded(seed);
  }

  /** Somebody comes, with a machine of their own. */
  come(as: Partial<BandSelf> = {}, answer?: (effect: Effect) => Message | null): BandStand {
    const { world, room, way, random } = this;
    const clock = new MachineClock(world, 1e6 * random(), (random() - 0.5) * 2e-4);
    this.count += 1;
    return new BandStand(world, room, `stand-${this.count}`, clock, way, random, as, answer);
  }

  /** Lets so much time go by, ms. */
  wait(ms: number): void {
    this.world.advance(this.world.now + ms);
  }

  /** A leader with a chart on the stand, and so many who follow it. */
  band(song: string, followers = 1, more: Partial<StandStart> = {}, as: Partial<BandSelf> = {}) {
    const leader = this.come({ name: 'Ansa', ...as });
    leader.put(song, 'own.yaml', more);
    leader.begin('lead');
    this.wait(200);
    const others = Array.from({ length: followers }, (_, index) => {
      const other = this.come({ name: `Bo${index + 1}`, part: 'guitar' });
      other.begin('join');
      return other;
    });
    this.wait(1500);
    return { leader, others, other: others[0] as BandStand };
  }
}

/** How far, ms, each click of a stand is from the nearest of another. */
export function clicksOff(leader: BandStand, other: BandStand): number[] {
  const clicks = leader.clicks;
  return other.clicks.map((time) => Math.min(...clicks.map((click) => Math.abs(click - time))));
}
