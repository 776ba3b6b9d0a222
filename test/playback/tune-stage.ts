import { readChart } from '../../src/chart/read.js';
import { barTunes } from '../../src/chart/tune/play-tune.js';
import { arranged, settled } from '../../src/playback/arranging.js';
import { heard } from '../../src/playback/heard.js';
import { passViewAt } from '../../src/playback/pass-view.js';
import { readyAt } from '../../src/playback/performance.js';
import { type Command, firstSession, inTurn, type Played, type Session } from '../../src/playback/session.js';
import { type Setup, setupOf } from '../../src/playback/setup.js';
import { clock, playOrPause } from '../../src/playback/transport.js';
import { Loop } from '../../src/player/loop.js';
import type { FromPlayer } from '../../src/player/messages.js';
import { arrange } from '../../src/time/arrange.js';
import { positionAt } from '../../src/time/conductor.js';
import { tickAt } from '../../src/time/segment.js';
import { RecordingOutput, VirtualHost } from '../player/virtual-host.js';
import { keyOf, mandolin, usualStart } from '../ui/model.js';

/** A chart with a tune whose notes are tied over bar lines, over a repeat and over its end, pick-ups, a held chord and a stop. */
export const tiedText = `title: Long Breath
key: G
tempo: 120
meter: 4/4
form: A, B (fiddle), A (me), C
sections:
  A: |
    |: 1 4 [1st 5 ] :| [2nd 1 ]
  B: |
    4 4_6 5 @wait 1
  C: |
    1 1 4 1
tune:
  A: |
    D2 |: G8- | G4 A4- |1 A6 D2 :|2 B6 B2- |
  B: |
    BA | c8 | c4 d4- | d8- | d6 z2 |
  C: |
    E8- | E8- | E8- | E8- |
`;

/** How long a message takes from one process to the other, ms. */
const wayMs = 1;
const leadChannel = 3;

/** A session and its player, in virtual time. */
export class TuneStage {
  readonly host = new VirtualHost();
  readonly output: RecordingOutput;
  private readonly loop: Loop;
  private session: Session;
  /** When something was asked for last. */
  askedAt = 0;

  constructor(text: string, changes: Partial<Setup> = {}, lead = 0) {
    const read = readChart(new TextEncoder().encode(text));
    if (!read.ok) throw new Error(JSON.stringify(read.faults));
    const setup = setupOf(read.value, {
      ...usualStart,
      key: keyOf('G'),
      bpm: 120,
      countIn: 1,
      passes: null,
      range: null,
      from: 0,
      instrument: mandolin,
      plan: {},
      melody: 'others',
      holds: true,
      ...changes,
    });
    this.output = new RecordingOutput(this.host, lead);
    this.loop = new Loop(this.host, (message) => this.later(() => this.hear(message)));
    this.loop.setOutput(this.output);
    this.session = { ...firstSession, performance: readyAt(setup, 0) };
    this.hear({ kind: 'opened', out: { kind: 'none' }, label: 'here', lead, refused: [] });
    this.wait(50);
    this.step(playOrPause);
  }

  get now(): Session {
    return this.session;
  }

  /** Something is asked for. */
  step(by: (session: Session, at: number) => Played): void {
    const at = this.host.now();
    this.askedAt = at;
    this.take(by(this.session, at));
  }

  /** Lets time go by, and looks at the clock as a screen does. */
  wait(ms: number, look: () => void = () => {}): void {
    const end = this.host.now() + ms;
    while (this.host.now() < end) {
      this.host.advance(Math.min(end, this.host.now() + 20));
      this.take(clock(this.session, this.host.now()));
      look();
    }
  }

  /** The notes of the tune that sound at this moment, as they were sent to sound. */
  sounding(): number[] {
    const now = this.host.now();
    const notes = new Set<number>();
    // Who stops an output ends what sounds, and takes back what it was sent ahead of its time.
    const stopped = this.output.panicked.at(-1) ?? Number.NEGATIVE_INFINITY;
    const sent = this.output.sent
      .filter(
        ({ status, time, sentAt }) => (status & 0x0f) === leadChannel && time <= now && sentAt > stopped,
      )
      .sort((one, other) => one.time - other.time);
    for (const { status, note } of sent) {
      if ((status & 0xf0) === 0x90) notes.add(note);
      else if ((status & 0xf0) === 0x80) notes.delete(note);
    }
    return [...notes];
  }

  /** What may sound of the tune where the music is: the notes of the bar, and of pick-ups; `null` where that is not known. */
  allowed(): ReadonlySet<number> | null {
    const { performance, link } = this.session;
    const conductor = performance?.conductor;
    if (!performance || !conductor || !performance.arrangement || link.state !== 'running') return null;
    if (performance.arranged !== performance.wanted) return null;
    const { chart, key } = performance.setup;
    // At a bar line it is either bar, by the rounding of times.
    const notes = [-1, 1].map((ms) => {
      const { bar, pass, phase } = positionAt(conductor, tickAt(link.spans, this.host.now() + ms));
      if (performance.vamp || phase === 'end') return null;
      const tunes = barTunes(chart, passViewAt(performance, pass)?.bars ?? [], { home: key });
      const pickups = tunes.flatMap(({ pickup }) => pickup.map(({ pitch }) => pitch));
      return [
        ...pickups,
        ...(phase === 'count-in' ? [] : (tunes[bar]?.notes.map(({ pitch }) => pitch) ?? [])),
      ];
    });
    return notes.includes(null) ? null : new Set(notes.flatMap((one) => one ?? []));
  }

  private later(what: () => void): void {
    this.host.setTimer(what, wayMs);
  }

  private hear(message: FromPlayer): void {
    this.take(heard(this.session, message, this.host.now()));
  }

  private take(played: Played): void {
    const { session, commands } = inTurn(played, (now) => settled(now, this.host.now()));
    this.session = session;
    for (const command of commands) this.perform(command);
  }

  private perform(command: Command): void {
    const { loop } = this;
    if (command.kind === 'append') loop.append(command.segments);
    else if (command.kind === 'replace') loop.replace(command.tick, command.segments);
    else if (command.kind === 'levels') loop.setLevels(command.levels, command.gear);
    else if (command.kind === 'arrange') {
      const { id, chart, options } = command;
      this.later(() => this.take(arranged(this.session, id, arrange(chart, options), this.host.now())));
    } else if (command.message.kind === 'play') loop.play(command.message.tick);
    else if (command.message.kind === 'pause') loop.pause();
    else if (command.message.kind === 'release') loop.release(command.message.id);
    else if (command.message.kind === 'send') loop.sendNow(command.message.messages);
  }
}
