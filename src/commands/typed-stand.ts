import { safeText } from '../base/safe-text.js';
import { openEar } from '../ear/client.js';
import { PlayerClient } from '../player/client.js';
import { hrtimeMs } from '../player/host.js';
import type { LatenessReport } from '../player/messages.js';
import { arrange } from '../time/arrange.js';
import type { ArrangeRequest } from '../ui/arrange-worker.js';
import { BandMeeting } from '../ui/band-meeting.js';
import { ItemReader } from '../ui/item-reader.js';
import { Listener } from '../ui/listener.js';
import { askLateness, performer } from '../ui/perform.js';
import { Runtime } from '../ui/runtime.js';
import type { Effect } from '../ui/state/messages.js';
import { firstModel, type Model } from '../ui/state/model.js';
import type { Surroundings } from '../ui/surroundings.js';
import { readLine } from '../ui/typed/language.js';
import { type Obeying, obey } from '../ui/typed/obey.js';
import type { Talk } from '../ui/typed/order.js';
import { toldOfChange } from '../ui/typed/told.js';
import { exit, print, Stop, say } from './exit.js';
import { lastWords, type Obedient, obeyOutside, writePatiently } from './plain-terminal.js';
import { isIdle, onlyPlays, unattended } from './typed-ends.js';
import { eachLine, inForeground } from './typed-input.js';

/** How the stand is played plainly, with typed commands. */
export interface TypedHow {
  /** It begins to play as soon as it can. */
  readonly begins: boolean;
  /** The list of charts, where one is wanted. */
  readonly library: Obeying['library'];
  /** So many stands are waited for before a leader's music begins. */
  readonly wait: number;
}

/** So long an answer from another process is waited for, ms. */
const answerMs = 3000;
/** How long the player may take to fall silent before the program stops as the shell asked, ms. */
const restMs = 300;
/** After a tap an empty line is the next one for so long, ms: slower than any tempo there is. */
const tapMs = 3200;
/** A leader without a network begins alone after so long, ms. */
const networkMs = 5000;
/** So long a band is looked for, ms. */
const joinMs = 30_000;
/** The size of a screen that nobody sees: what is laid out for it is not shown. */
const nowhere = { columns: 80, rows: 24 };

/** The stand without a screen: lines come in, lines go out, and the rest is what the screen has, too. */
export class TypedStand implements Obedient {
  private readonly runtime: Runtime;
  private readonly player: PlayerClient;
  private readonly reader: ItemReader;
  private readonly listener: Listener;
  private readonly meeting: BandMeeting;
  private seen: Model;
  private talk: Talk = 'everything';
  private busy = false;
  /** Effects that were performed: where none comes any more, all is quiet. */
  private performed = 0;
  private status: number | null = null;
  private finish: (status: number) => void = () => {};
  private quarrel = '';
  private instead = 'barkline ports lists what can be heard now';
  private typed = false;
  private inputEnded = false;
  private toldBar = '';
  private readonly kept: string[] = [];
  private tappedAt = Number.NEGATIVE_INFINITY;
  private rested = false;
  private waiting = true;
  private readonly began = hrtimeMs();
  private tellLateness: (report: LatenessReport) => void = () => {};
  private readonly watchers = new Set<() => void>();

  constructor(
    private readonly surroundings: Surroundings,
    private readonly how: TypedHow,
  ) {
    const { look, settings, band } = surroundings;
    const first = firstModel(
      look,
      nowhere.columns,
      nowhere.rows,
      settings,
      band ? { ...band.start, stand: surroundings.followStart } : null,
    );
    this.seen = first;
    let perform: (effect: Effect) => void = () => {};
    this.runtime = new Runtime(
      first,
      (effect) => {
        this.performed += 1;
        perform(effect);
      },
      hrtimeMs,
    );
    this.runtime.subscribe(() => this.changed());
    this.player = new PlayerClient((message) => {
      if (message.kind === 'lateness') this.tellLateness(message.report);
      this.hearPlayer(message.kind, 'reasons' in message ? message.reasons.join('; ') : '');
      if (message.kind === 'listening' && message.label === null && surroundings.follow)
        this.refuse(message.reason ?? 'the external clock cannot be heard');
      this.runtime.dispatch({ kind: 'player', message, at: hrtimeMs() });
    });
    this.listener = new Listener(surroundings.listening, {
      open: openEar,
      session: () => this.runtime.model().session,
      dispatch: this.runtime.dispatch,
      now: hrtimeMs,
      setTimer: setTimeout,
      clearTimer: (timer) => clearTimeout(timer as NodeJS.Timeout),
    });
    this.runtime.subscribe(() => this.listener.look());
    this.meeting = new BandMeeting(band ?? null, (event) =>
      this.runtime.dispatch({ kind: 'meeting', event, at: hrtimeMs() }),
    );
    this.reader = new ItemReader({
      read: surroundings.readItem,
      told: (items) => this.runtime.dispatch({ kind: 'items-read', items }),
      done: surroundings.keepItems,
      now: hrtimeMs,
      setTimer: setTimeout,
      clearTimer: (timer) => clearTimeout(timer as NodeJS.Timeout),
    });
    perform = performer({
      player: this.player,
      reader: this.reader,
      // Making a plan is a step of its own: the player has what it plays meanwhile.
      arranger: { ask: (asked) => this.plan(asked) },
      listener: this.listener,
      meeting: this.meeting,
      jobs: { suspend: async () => {} },
      surroundings,
      dispatch: this.runtime.dispatch,
      finish: (status) => this.end(status),
    });
  }

  /** Plays and obeys until it is left, until the input and the music are over, or a signal comes. Answers the exit status. */
  async run(): Promise<number> {
    writePatiently();
    const ended = new Promise<number>((resolve) => {
      this.finish = resolve;
    });
    const disobey = obeyOutside(this);
    const { first, outs, also, follow, pedalsFrom, band } = this.surroundings;
    for (const message of first) this.runtime.dispatch(message);
    if (band?.begins) this.runtime.dispatch({ kind: 'band-begins', begins: band.begins, at: hrtimeMs() });
    if (this.runtime.model().mode.kind === 'library' && band?.begins !== 'join')
      print('the list of charts: list prints it, open NUMBER or TITLE opens one, help lists all commands');
    this.player.open(outs, also);
    if (follow) this.player.listen(follow);
    if (pedalsFrom !== null) this.player.hearPedals(pedalsFrom);
    this.beginIfReady();
    const look = setInterval(() => this.look(), 500);
    void eachLine(process.stdin, hrtimeMs, (line, at) => this.line(line, at)).then(() => {
      this.inputEnded = true;
      this.endless();
      this.look();
    });
    const status = await ended;
    clearInterval(look);
    // Silence first.
    this.player.send({ kind: 'pause' });
    if (status !== 0) this.runtime.dispatch({ kind: 'action', action: 'leave', at: hrtimeMs() });
    this.runtime.stop();
    this.reader.stop();
    const { onLateness } = this.surroundings;
    if (onLateness) {
      const report = await askLateness(this.player, (take) => {
        this.tellLateness = take;
      });
      if (report) onLateness(report);
    }
    await Promise.all([this.player.quit(), this.listener.quit(), this.meeting.close()]);
    process.stdin.destroy();
    disobey();
    await lastWords();
    if (this.quarrel !== '') throw new Stop(status, this.quarrel, this.instead);
    return status;
  }

  end(status: number): void {
    if (this.status !== null) return;
    this.status = status;
    this.finish(status);
  }

  async rest(): Promise<void> {
    if (this.runtime.model().session.link.state !== 'running') return;
    this.rested = true;
    this.runtime.dispatch({ kind: 'action', action: 'play', at: hrtimeMs() });
    await this.holds(({ session }) => session.link.state !== 'running', restMs);
  }

  goOn(): void {
    // A program that goes on in the background leaves the terminal to the shell.
    if (process.stdin.isTTY && !inForeground()) process.stdin.pause();
    if (!this.rested || this.status !== null) return;
    this.rested = false;
    if (this.runtime.model().session.link.state !== 'running')
      this.runtime.dispatch({ kind: 'action', action: 'play', at: hrtimeMs() });
  }

  /** One line was typed; answers whether another is wanted. */
  private async line(line: string, at: number): Promise<boolean> {
    if (this.status !== null) return false;
    this.typed = true;
    const { mode } = this.runtime.model();
    const taps = at - this.tappedAt < tapMs;
    const calls = mode.kind === 'transcribe' || ('play' in mode && mode.play?.dictation != null);
    const reading = readLine(line, { empty: taps ? 'tap' : 'where', calls });
    this.tappedAt = reading.ok && reading.word.name === 'tap' ? at : Number.NEGATIVE_INFINITY;
    // What is asked about the hand or the form is asked of the plan that was wanted last.
    await this.holds(isPlanned, answerMs);
    this.busy = true;
    const { lines, talk } = await obey(reading, at, {
      model: this.runtime.model,
      dispatch: this.runtime.dispatch,
      watch: this.runtime.subscribe,
      quiet: () => this.quiet(),
      until: (holds) => this.holds(holds, answerMs),
      library: this.how.library,
    });
    this.busy = false;
    this.talk = talk ?? this.talk;
    print(...lines, ...this.kept.splice(0));
    this.look();
    // A file of commands is no reason to be late: the clock is looked at between two of them.
    await new Promise((resolve) => setImmediate(resolve));
    return this.status === null;
  }

  private plan({ id, chart, options }: ArrangeRequest): void {
    setImmediate(() => {
      const { session } = this.runtime.model();
      // Only the last plan that was asked for is wanted.
      if (this.status !== null || session.asked !== id) return;
      const arrangement = arrange(chart, options);
      this.performed += 1;
      this.runtime.dispatch({ kind: 'arranged', id, arrangement, at: hrtimeMs() });
    });
  }

  private hearPlayer(kind: string, reasons: string): void {
    if (kind === 'failed' && this.runtime.model().session.link.output === null) this.refuse(reasons);
    if (kind === 'died' && unattended(this.attendance)) this.refuse('the player died');
  }

  /** Nothing can be played, and nobody is there who could change that. */
  private refuse(why: string): void {
    this.quarrel = safeText(why);
    this.end(exit.machine);
  }

  private get attendance() {
    return { typed: this.typed, ended: this.inputEnded, isTTY: process.stdin.isTTY ?? false };
  }

  private changed(): void {
    const [before, after] = [this.seen, this.runtime.model()];
    this.seen = after;
    // Who has left is told nothing more.
    if (this.status !== null) return;
    const { music, bar, remarks } = toldOfChange(before, after, this.talk, this.busy);
    if (remarks.length > 0) say(...remarks);
    this.tell(...music);
    if (after.session.link.state !== 'running') this.toldBar = '';
    this.tellBar(bar, after);
    for (const watcher of this.watchers) watcher();
    const isOver =
      before.session.link.state === 'running' &&
      after.session.link.state === 'stopped' &&
      !before.session.performance?.tuning;
    // Behind the update, which must be finished first.
    setImmediate(() => {
      this.beginIfReady();
      this.look();
      if (isOver && onlyPlays(this.runtime.model(), this.attendance)) this.end(exit.done);
    });
  }

  /** Prints lines at once, or after the answer that is being made. */
  private tell(...lines: readonly string[]): void {
    if (this.busy) this.kept.push(...lines);
    else if (lines.length > 0) print(...lines);
  }

  /** Tells a bar once, where its beats follow each other; what of it is told may have changed meanwhile. */
  private tellBar(bar: string, { session }: Model): void {
    const { counting, pass, bar: number } = session.performance?.cursor ?? {};
    const here = `${counting} ${pass} ${number}`;
    if (bar === '' || here === this.toldBar) return;
    this.toldBar = here;
    this.tell(bar);
  }

  /** Begins to play where that was asked for: a leader when those are there who are waited for. */
  private beginIfReady(): void {
    const { band, session, mode } = this.runtime.model();
    if (!this.waiting || !this.how.begins || this.status !== null) return;
    const at = hrtimeMs();
    if (band) {
      const gone = this.how.wait === 0 && at - this.began >= networkMs;
      const isUp = band.band.up && !band.wantsLead && band.band.members.size >= this.how.wait;
      if (!isUp && !gone) return;
    }
    if (mode.kind === 'chart' && session.performance) {
      this.waiting = false;
      if (!this.surroundings.follow) this.runtime.dispatch({ kind: 'action', action: 'play', at });
    } else this.waiting = false;
  }

  /** Where the input is over, what goes on without end by itself ends with its pass; a loop was asked for, and goes on. */
  private endless(): void {
    const { mode, session } = this.runtime.model();
    const { performance } = session;
    // A loop and a click were asked for without an end.
    if (!performance || mode.kind === 'click') return;
    if (performance.setup.passes !== null || performance.setup.range) return;
    this.runtime.dispatch({
      kind: 'asked',
      ask: { kind: 'passes', passes: performance.cursor.pass },
      at: hrtimeMs(),
    });
  }

  /** A band that cannot be met, or that was not met in time, ends what has come for it. */
  private lookAtBand(): void {
    const { band, notice } = this.runtime.model();
    if (!band || this.surroundings.band?.begins == null) return;
    const wasUp = band.band.id !== null;
    if (band.refused) this.unmet(wasUp ? exit.input : exit.call, band.trouble || notice);
    else if (band.began === 'join' && !wasUp && hrtimeMs() - this.began >= joinMs)
      this.unmet(exit.machine, 'no band was joined');
  }

  private unmet(status: number, why: string): void {
    this.quarrel = why;
    this.instead = 'start the leader, and see that word and address are its';
    this.end(status);
  }

  /** What nobody will ask for any more is done, and where nothing comes any more it ends. */
  private look(): void {
    this.lookAtBand();
    if (this.status !== null || this.busy || !this.inputEnded || this.rested) return;
    if (this.how.begins && this.waiting) return;
    const next = isIdle(this.runtime.model(), hrtimeMs());
    if (next === 'waits') return;
    if (next === 'over') this.end(exit.done);
    else if (next === 'lost') this.end(exit.machine);
    else this.runtime.dispatch({ kind: 'action', action: next, at: hrtimeMs() });
  }

  /** Resolves when no effect leads to another any more. */
  private async quiet(): Promise<void> {
    let before = -1;
    while (before !== this.performed && this.status === null) {
      before = this.performed;
      for (let turn = 0; turn < 3; turn += 1) await new Promise((resolve) => setImmediate(resolve));
    }
  }

  private holds(test: (model: Model) => boolean, ms: number): Promise<void> {
    if (test(this.runtime.model())) return Promise.resolve();
    return new Promise((resolve) => {
      const done = (): void => {
        clearTimeout(limit);
        this.watchers.delete(watcher);
        resolve();
      };
      const watcher = (): void => {
        if (this.status !== null || test(this.runtime.model())) done();
      };
      const limit = setTimeout(done, ms);
      this.watchers.add(watcher);
    });
  }
}

/** Whether the hand is planned for what is on the stand. */
function isPlanned({ session: { performance } }: Model): boolean {
  return (
    performance === null || (performance.arrangement !== null && performance.arranged === performance.wanted)
  );
}

/** Opens the stand without a screen, with typed commands. Answers the exit status. */
export function openTyped(surroundings: Surroundings, how: TypedHow): Promise<number> {
  return new TypedStand(surroundings, how).run();
}
