import { Loop } from '../../src/player/loop.js';
import type { FromPlayer, OutSpec } from '../../src/player/messages.js';
import { asPlayed } from '../../src/setlist/as-played.js';
import { playedSong, songSeconds } from '../../src/setlist/running-order.js';
import { type SetEntry, usualSong } from '../../src/setlist/set.js';
import { keyName } from '../../src/theory/key.js';
import { arrange } from '../../src/time/arrange.js';
import type { Action } from '../../src/ui/keys/actions.js';
import { Runtime } from '../../src/ui/runtime.js';
import type { Effect } from '../../src/ui/state/messages.js';
import { firstModel } from '../../src/ui/state/model.js';
import type { StandSong, StandStart } from '../../src/ui/state/modes.js';
import { RecordingOutput, VirtualHost } from '../player/virtual-host.js';
import { demoChart, demoText, keyOf, mandolin, usualStart } from './model.js';

/** A song of a set in a few words: the demo chart and what the set says of it. */
export type Written = { readonly name: string } & Partial<Omit<SetEntry, 'key' | 'file'>> & {
    readonly key?: string;
  };

/** A song that can be played. */
export type PlayableSong = StandSong & { readonly start: StandStart };

/** Songs as a set file would bring them onto the stand. */
export function songsOf(written: readonly Written[], gap: number | 'wait' = 5): PlayableSong[] {
  return written.map(({ name, key, ...own }, index) => {
    const entry: SetEntry = {
      ...usualSong,
      gap,
      place: { line: 1, column: 1 },
      file: `${name}.yaml`,
      ...own,
      key: key === undefined ? null : keyOf(key),
    };
    const chart = asPlayed(demoChart(name), entry);
    const song = playedSong(chart, entry);
    return {
      id: index + 1,
      file: entry.file,
      entry: index,
      title: chart.title,
      gap: entry.gap ?? 'wait',
      breakBefore: entry.breakBefore,
      seconds: songSeconds(chart, song),
      problem: null,
      chart,
      source: demoText(name),
      start: {
        ...usualStart,
        key: song.key,
        bpm: song.bpm,
        countIn: song.countIn,
        passes: song.passes,
        range: null,
        from: 0,
        instrument: mandolin,
        plan: {},
      },
      notes: entry.notes,
      singer: entry.singer,
      messages: entry.program?.channel
        ? [0xc0 | (entry.program.channel - 1) | ((entry.program.number - 1) << 8)]
        : [],
    };
  });
}

/** How long a message takes from one process to the other, ms: what is said is heard later, never at once. */
const wayMs = 1;

/** A whole evening with the program's own runtime and player, in virtual time; only screen, files and outputs are not there. */
export class Evening {
  readonly host = new VirtualHost();
  readonly output: RecordingOutput;
  readonly effects: { readonly at: number; readonly effect: Effect }[] = [];
  /** What was shown and played: when (s since the beginning), phase, title, key. */
  readonly log: string[] = [];
  private readonly loop: Loop;
  private readonly runtime: Runtime;
  private readonly began: number;
  private shown = '';

  constructor(
    readonly songs: readonly PlayableSong[],
    private readonly more: readonly StandSong[] = [],
    { out = { kind: 'none' }, lead = 0 }: { readonly out?: OutSpec; readonly lead?: number } = {},
  ) {
    this.output = new RecordingOutput(this.host, lead, undefined, out.kind === 'sound');
    this.began = this.host.now();
    this.loop = new Loop(this.host, (message) => this.later(() => this.hear(message)));
    this.loop.setOutputs([{ output: this.output, options: { clock: true } }]);
    this.runtime = new Runtime(
      firstModel({ colour: false, unicode: true }, 100, 30),
      (effect) => this.perform(effect),
      () => this.host.now(),
      this.host,
    );
    this.runtime.subscribe(() => this.note());
    this.hear({ kind: 'opened', out, label: 'here', lead, refused: [] });
    this.runtime.dispatch({
      kind: 'set-opened',
      file: 'evening.yaml',
      title: 'Evening',
      songs,
      faults: [],
      from: 0,
      waits: false,
      broken: null,
      notice: '',
      at: this.host.now(),
    });
  }

  get model() {
    return this.runtime.model();
  }

  get run() {
    const { mode } = this.model;
    if (mode.kind !== 'set') throw new Error('the set was left');
    return mode.run;
  }

  /** Seconds since the beginning. */
  get seconds(): number {
    return (this.host.now() - this.began) / 1000;
  }

  /** Calls back after every change of the model. */
  watch(act: () => void): void {
    this.runtime.subscribe(act);
  }

  press(action: Action): void {
    this.runtime.dispatch({ kind: 'action', action, at: this.host.now() });
  }

  pedal(status: number, data1: number, data2: number): void {
    this.hear({ kind: 'pedal', status, data1, data2, time: this.host.now() });
  }

  type(text: string): void {
    this.runtime.dispatch({ kind: 'typed', text });
  }

  /** Lets so many seconds go by. */
  wait(seconds: number): void {
    this.host.advance(this.host.now() + 1000 * seconds);
  }

  /** Lets time go by until something holds, at most so many seconds. */
  until(holds: (evening: Evening) => boolean, seconds = 20_000): void {
    const end = this.host.now() + 1000 * seconds;
    while (!holds(this)) {
      if (this.host.now() >= end) throw new Error(`it never held; the log is\n${this.log.join('\n')}`);
      this.host.advance(this.host.now() + 50);
    }
  }

  /** Until a song is played that begins so. */
  untilSong(title: string): void {
    this.until(({ run }) => run.phase === 'song' && (run.songs[run.at]?.title ?? '').startsWith(title));
  }

  private later(what: () => void): void {
    this.host.setTimer(what, wayMs);
  }

  private hear(message: FromPlayer): void {
    this.runtime.dispatch({ kind: 'player', message, at: this.host.now() });
  }

  private note(): void {
    const { mode, session } = this.model;
    if (mode.kind !== 'set') return;
    const { run } = mode;
    const { performance, link } = session;
    const song = run.songs[run.at];
    const plays = run.phase === 'song' && link.state === 'running' && performance?.cursor.beat !== null;
    const what = run.phase === 'song' ? (plays ? 'plays' : '') : run.phase;
    const key = performance && run.phase !== 'break' ? ` ${keyName(performance.setup.key)}` : '';
    const line = `${what} ${song && run.phase !== 'over' ? `${song.title}${key}` : ''}`.trim();
    if (what === '' || line === this.shown) return;
    this.shown = line;
    this.log.push(`${this.seconds.toFixed(1).padStart(7)} ${line}`);
  }

  private perform(effect: Effect): void {
    this.effects.push({ at: this.host.now(), effect });
    switch (effect.kind) {
      case 'arrange':
        this.later(() => this.arranged(effect));
        break;
      case 'append':
        this.loop.append(effect.segments);
        break;
      case 'replace':
        this.loop.replace(effect.tick, effect.segments);
        break;
      case 'levels':
        this.loop.setLevels(effect.levels, effect.gear);
        break;
      case 'list-requests':
        this.later(() => this.listRequests());
        break;
      case 'find-request':
        this.later(() => this.findRequest(effect));
        break;
      case 'tell':
        this.tell(effect.message);
    }
  }

  private arranged({ id, chart, options }: Extract<Effect, { kind: 'arrange' }>): void {
    this.runtime.dispatch({
      kind: 'arranged',
      id,
      arrangement: arrange(chart, options),
      at: this.host.now(),
    });
  }

  private listRequests(): void {
    const items = this.more.map(({ file, title }) => ({
      file,
      title,
      kind: 'chart' as const,
      detail: '',
      wishes: { key: null, bpm: null },
    }));
    const library = { title: 'Requests', index: 0, from: null, query: '', items };
    this.runtime.dispatch({ kind: 'requests', library });
  }

  private findRequest({ file, id }: Extract<Effect, { kind: 'find-request' }>): void {
    const song = this.more.find((one) => one.file === file);
    if (song) this.runtime.dispatch({ kind: 'request-found', song: { ...song, id, gap: 'wait' } });
  }

  private tell(message: Extract<Effect, { kind: 'tell' }>['message']): void {
    if (message.kind === 'play') this.loop.play(message.tick);
    else if (message.kind === 'pause') this.loop.pause();
    else if (message.kind === 'release') this.loop.release(message.id);
    else if (message.kind === 'send') this.loop.sendNow(message.messages);
    else if (message.kind === 'idle') this.loop.setIdle(message.msPerPulse);
  }
}
