import type { StrokeKind } from '../../../src/listen/expected.js';
import { meantFor } from '../../../src/listen/kind.js';
import { PassEar, type PassEarOptions, type PassTold } from '../../../src/listen/live/pass-ear.js';
import type { StrokeHeard } from '../../../src/listen/stroke-heard.js';
import type { Session } from '../../../src/playback/session.js';
import { Loop } from '../../../src/player/loop.js';
import { arrange } from '../../../src/time/arrange.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { Runtime } from '../../../src/ui/runtime.js';
import type { Effect } from '../../../src/ui/state/messages.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import type { StandStart } from '../../../src/ui/state/modes.js';
import { chart } from '../../hand/charts.js';
import { RecordingOutput, VirtualHost } from '../../player/virtual-host.js';
import { mandolin, usualStart } from '../../ui/model.js';

/** Samples a second of the clips; what is in them is silence, so that no chord is sure. */
const rate = 16_000;
/** A stroke is told so long after it sounded, ms. */
const toldAfter = 150;
/** Messages that are nearer than this are one stroke, ms. */
const oneStroke = 25;

/** What a hand does with a stroke that the program has at a time (ms since the stage began): so many ms later; `null`: nothing. */
export type Hand = (stroke: { readonly at: number; readonly kind: StrokeKind }) => number | null;

/**
 * A chart played by the program's own runtime and player in virtual time, and a hand that plays what the player sends, heard by a
 * `PassEar`. What a stroke is, and when, comes from the messages that reached the output, never from what the ear expects.
 */
export class HeardStage {
  readonly host = new VirtualHost();
  readonly output = new RecordingOutput(this.host);
  readonly told: (PassTold & { readonly at: number })[] = [];
  ear: PassEar | null = null;
  hand: Hand = () => 0;
  private readonly began = this.host.now();
  private readonly loop: Loop;
  readonly runtime: Runtime;
  private taken = 0;
  private struck = Number.NEGATIVE_INFINITY;
  private pending: StrokeHeard[] = [];

  constructor(
    written: string,
    start: Partial<StandStart> = {},
    model: (first: Model) => Model = (one) => one,
  ) {
    this.loop = new Loop(this.host, (message) =>
      this.host.setTimer(() => this.runtime.dispatch({ kind: 'player', message, at: this.host.now() }), 1),
    );
    this.loop.setOutputs([{ output: this.output, options: {} }]);
    this.runtime = new Runtime(
      model(firstModel({ colour: false, unicode: true }, 80, 24)),
      (effect) => this.perform(effect),
      () => this.host.now(),
      this.host,
    );
    const read = chart(written, { tempo: 160 });
    const { mix } = usualStart;
    this.runtime.dispatch({
      kind: 'chart-opened',
      file: '',
      source: '',
      chart: read,
      start: {
        ...usualStart,
        mix: { ...mix, on: { click: true, bass: true, low: true, chop: true, lead: true } },
        key: read.key,
        bpm: read.tempo.bpm,
        countIn: 1,
        passes: null,
        range: null,
        from: 0,
        instrument: mandolin,
        plan: {},
        ...start,
      },
    });
    this.runtime.dispatch({
      kind: 'player',
      at: this.host.now(),
      message: { kind: 'opened', out: { kind: 'none' }, label: 'here', lead: 0, refused: [] },
    });
    this.runtime.subscribe(() => this.look());
  }

  get session(): Session {
    return this.runtime.model().session;
  }

  /** Ms since the stage began. */
  get now(): number {
    return this.host.now() - this.began;
  }

  /** Listens from now on. */
  listen(options: Partial<PassEarOptions> = {}): void {
    this.ear = new PassEar(rate, { level: 'steady', offset: 0, ...options });
    this.look();
  }

  press(action: Action): void {
    this.runtime.dispatch({ kind: 'action', action, at: this.host.now() });
  }

  /** Lets so much time go by, ms. */
  wait(ms: number): void {
    const end = this.host.now() + ms;
    while (this.host.now() < end) {
      this.host.advance(Math.min(end, this.host.now() + 10));
      this.hear();
      const due = this.ear?.dueAt ?? null;
      if (due !== null && due <= this.host.now()) this.look();
    }
  }

  /** Until something holds, at most a minute. */
  until(holds: () => boolean): void {
    for (let waited = 0; !holds(); waited += 20) {
      if (waited > 60_000) throw new Error('it never held');
      this.wait(20);
    }
  }

  /** The passes that were told. */
  get passes() {
    return this.told.flatMap((one) => (one.kind === 'pass-heard' ? [one] : []));
  }

  get marks() {
    return this.told.flatMap((one) => (one.kind === 'mark' ? [one] : []));
  }

  private hear(): void {
    const { sent } = this.output;
    for (; this.taken < sent.length && (sent[this.taken]?.time ?? 0) <= this.host.now(); this.taken += 1) {
      const one = sent[this.taken];
      if (!one || (one.status & 0xf0) !== 0x90 || one.velocity === 0 || (one.status & 15) > 1) continue;
      const kind = (one.status & 15) === 0 ? 'low' : 'chop';
      if (one.time - this.struck < oneStroke) continue;
      this.struck = one.time;
      const late = this.hand({ at: one.time - this.began, kind });
      if (late !== null) this.pending.push(strokeAt(one.time + late, kind));
    }
    const due = this.pending.filter(({ ms }) => ms + toldAfter <= this.host.now());
    this.pending = this.pending.filter((stroke) => !due.includes(stroke));
    for (const stroke of due.sort((a, b) => a.ms - b.ms)) this.strike(stroke);
  }

  /** A stroke is heard. */
  strike(stroke: StrokeHeard): void {
    this.look();
    for (const told of this.ear?.stroke(stroke) ?? []) this.told.push({ ...told, at: this.host.now() });
  }

  private look(): void {
    const at = this.host.now();
    for (const told of this.ear?.look(this.session, at) ?? []) this.told.push({ ...told, at });
  }

  private perform(effect: Effect): void {
    if (effect.kind === 'arrange')
      this.host.setTimer(
        () =>
          this.runtime.dispatch({
            kind: 'arranged',
            id: effect.id,
            arrangement: arrange(effect.chart, effect.options),
            at: this.host.now(),
          }),
        1,
      );
    else if (effect.kind === 'append') this.loop.append(effect.segments);
    else if (effect.kind === 'replace') this.loop.replace(effect.tick, effect.segments);
    else if (effect.kind === 'levels') this.loop.setLevels(effect.levels, effect.gear);
    else if (effect.kind === 'tell') {
      const { message } = effect;
      if (message.kind === 'play') this.loop.play(message.tick);
      else if (message.kind === 'pause') this.loop.pause();
      else if (message.kind === 'release') this.loop.release(message.id);
    }
  }
}

/** A stroke heard at a time, ms of the stage's clock. */
export function strokeAt(ms: number, stroke: StrokeKind = 'chop'): StrokeHeard {
  return {
    kind: 'stroke',
    ms,
    sample: 0,
    strength: 1,
    stroke,
    sure: 1,
    kinds: meantFor(stroke),
    ringMs: 60,
    ringsOn: null,
    clip: new Float32Array(Math.round(0.22 * rate)),
    attack: Math.round(0.11 * rate),
  };
}
