import { render } from 'ink';
import { safeText } from '../base/safe-text.js';
import { openEar } from '../ear/client.js';
import type { Pedal } from '../playback/pedals.js';
import { PlayerClient } from '../player/client.js';
import { hrtimeMs } from '../player/host.js';
import type { InSpec, LatenessReport, OutSpec } from '../player/messages.js';
import type { PassResult } from '../shed/ladder.js';
import { App } from './App.js';
import { Arranger } from './arranger.js';
import { BandMeeting } from './band-meeting.js';
import { CanvasContext, ListeningContext } from './canvas.js';
import { ErrorBoundary } from './ErrorBoundary.js';
import { JobControl } from './job-control.js';
import { KeyReader, type Pasted } from './key-reader.js';
import { Listener, type Listening } from './listener.js';
import { type Perform, Runtime } from './runtime.js';
import { ScreenWriter } from './screen-writer.js';
import type { BandCall } from './state/band.js';
import type { Choices } from './state/choices.js';
import type { HintName } from './state/hint-names.js';
import type { OpenKind, SongWishes } from './state/library.js';
import { backgroundOf, type Look } from './state/look.js';
import type { Effect, Message } from './state/messages.js';
import { firstModel, type ScreenSettings } from './state/model.js';
import type { GrowingTranscript, PassRecord } from './state/modes.js';
import type { OwnStart } from './state/stand-start.js';
import { leaveScreen, Terminal } from './terminal.js';
import { readColour } from './terminal-answer.js';
import { TtyWriter } from './tty-writer.js';

/** What the screen needs from outside: charts from files, and a memory. */
export interface Surroundings {
  readonly look: Look;
  /** Whether the terminal is asked for its background. */
  readonly asksBackground: boolean;
  readonly settings: ScreenSettings;
  /** Of these the first that can be opened; all of `also` with it. */
  readonly outs: readonly OutSpec[];
  readonly also: readonly OutSpec[];
  /** What is set for an output that is chosen later. */
  readonly setting: (out: OutSpec) => OutSpec;
  /** The outside clock that is followed. */
  readonly follow: InSpec | null;
  /** What is printed at the end about lateness, where that is asked for. */
  readonly onLateness: ((report: LatenessReport) => void) | null;
  /** Says what failed, once the terminal has been put back. */
  readonly onFailure: (message: string) => void;
  /** What is shown first. */
  readonly first: readonly Message[];
  /** Opens a chart, a set or a folder by its path, or a chart to be taken down. */
  readonly open: (file: string, wishes: SongWishes, kind: OpenKind) => Message;
  readonly keep: (file: string, choices: Partial<Choices>, played: boolean) => void;
  /** Writes a chart's text over what its file holds. */
  readonly write: (file: string, text: string, before: string) => Message;
  /** Writes a pass into the diary. */
  readonly record: (record: PassRecord, result: PassResult) => string | null;
  /** Writes a new chart. */
  readonly writeNew: (title: string, text: string) => Message;
  readonly rememberOutput: (out: OutSpec) => void;
  /** Writes a chart's text under a name of its own. */
  readonly writeCopy: (of: string, name: string, text: string) => Message;
  /** Keeps where the run of a set is, and what is being taken down; returns a sentence where it cannot be kept. */
  readonly keepRun: (file: string, run: Extract<Effect, { kind: 'keep-run' }>['run']) => string | null;
  readonly keepTranscript: (name: string, transcript: GrowingTranscript | null) => string | null;
  /** The charts among which a request can be found, and one of them as a song of the run. */
  readonly requests: () => Message;
  readonly request: (file: string, id: number) => Message;
  readonly keepHints: (left: readonly HintName[]) => void;
  readonly keepPedals: (pedals: readonly Pedal[]) => void;
  /** How the microphone is listened to, where that is asked for. */
  readonly listening: Listening;
  /** How a band is met; absent where there can be none. */
  readonly band?: BandCall | null;
  /** How charts start that come from a leader. */
  readonly followStart: OwnStart;
  /** Where pedals are listened for; `null`: nowhere, until one is to be learned. */
  readonly pedalsFrom: readonly InSpec[] | 'all' | null;
}

/** How long an answer from the terminal is expected, ms: over a slow line it comes late. */
const answerExpectedMs = 2000;

/** Signals that end the program, and the exit status they give. */
const signals = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

/**
 * Runs the full screen until it is left, by whatever way, and puts the terminal back. Returns the exit
 * status; an error of the program itself is reported in one line after the terminal has been put back.
 */
export async function openScreen(surroundings: Surroundings): Promise<number> {
  const writer = new TtyWriter(process.stdout);
  const terminal = new Terminal(writer);
  const screen = new ScreenWriter(writer);
  const now = hrtimeMs;
  let finish: (status: number) => void = () => {};
  const ended = new Promise<number>((resolve) => {
    finish = resolve;
  });
  let failure: Error | null = null;
  const fail = (error: unknown): void => {
    failure ??= error instanceof Error ? error : new Error(String(error));
    finish(70);
  };
  let heardLateness: (report: LatenessReport) => void = () => {};
  // The first frame does not wait for the player and the planning thread: what is asked of them waits until they are there.
  const waiting: Effect[] = [];
  let perform: Perform = (effect) => void waiting.push(effect);
  const runtime = new Runtime(
    firstModel(
      surroundings.look,
      screen.columns,
      screen.rows,
      surroundings.settings,
      surroundings.band ? { ...surroundings.band.start, stand: surroundings.followStart } : null,
    ),
    (effect) => perform(effect),
    now,
  );
  // Not `once`: Ink's own signal handler ends the process at once when it finds itself the only one.
  for (const signal of Object.keys(signals) as (keyof typeof signals)[])
    process.on(signal, () => finish(signals[signal]));
  process.on('uncaughtException', fail);
  process.on('unhandledRejection', fail);
  // The terminal is there no more: as good as the signal that says so.
  const gone = (): void => finish(signals.SIGHUP);
  writer.on('gone', gone);
  for (const stream of [process.stdin, process.stdout, process.stderr]) stream.on('error', gone);
  process.stdin.on('end', gone);
  terminal.take();
  for (const message of surroundings.first) runtime.dispatch(message);
  const begins = surroundings.band?.begins ?? null;
  if (begins !== null) runtime.dispatch({ kind: 'band-begins', begins, at: now() });
  const keys = new KeyReader(process.stdin);
  screen.on('frame', keys.hold);
  keys.on('paste', (pasted: Pasted) => runtime.dispatch({ kind: 'pasted', ...pasted }));
  keys.on('flood', () => runtime.dispatch({ kind: 'flooded' }));
  keys.on('answer', (answer: string) => {
    terminal.answered();
    const colour = readColour(answer);
    if (colour && surroundings.asksBackground)
      runtime.dispatch({ kind: 'background', background: backgroundOf(colour) });
  });
  const ask = (): void => {
    if (!surroundings.asksBackground || !keys.isTTY) return;
    keys.expectAnswer(answerExpectedMs);
    terminal.askBackground(now());
  };
  // The first frame does not wait for the answer; where other colours are better it is drawn again in them.
  ask();
  const instance = render(
    <ErrorBoundary onError={fail}>
      <CanvasContext.Provider value={screen}>
        <ListeningContext.Provider value={keys.release}>
          <App runtime={runtime} now={now} />
        </ListeningContext.Provider>
      </CanvasContext.Provider>
    </ErrorBoundary>,
    // In debug mode Ink passes on every frame whole; the writer sends what changed.
    {
      stdin: keys as unknown as NodeJS.ReadStream,
      stdout: screen as unknown as NodeJS.WriteStream,
      debug: true,
      exitOnCtrlC: false,
      patchConsole: false,
    },
  );
  const player = new PlayerClient(
    (message) => {
      if (message.kind === 'lateness') heardLateness(message.report);
      runtime.dispatch({ kind: 'player', message, at: now() });
    },
    { descriptor: 1, modes: terminal.modes, screen: leaveScreen },
  );
  const arranger = new Arranger(
    (id, arrangement) => runtime.dispatch({ kind: 'arranged', id, arrangement, at: now() }),
    fail,
  );
  const listener = new Listener(surroundings.listening, {
    open: openEar,
    session: () => runtime.model().session,
    dispatch: runtime.dispatch,
    now,
    setTimer: setTimeout,
    clearTimer: (timer) => clearTimeout(timer as NodeJS.Timeout),
  });
  runtime.subscribe(() => listener.look());
  const meeting = new BandMeeting(surroundings.band ?? null, (event) =>
    runtime.dispatch({ kind: 'meeting', event, at: now() }),
  );
  const jobs = new JobControl(
    () => runtime.dispatch({ kind: 'action', action: 'suspend', at: now() }),
    () => {
      player.guardTerminal(false);
      screen.stepAside();
      return terminal.giveBack();
    },
    () => {
      terminal.take();
      player.guardTerminal(true);
      screen.comeBack();
      // It may be another terminal, or have another theme, since.
      ask();
    },
  );
  player.guardTerminal(true);
  player.open(surroundings.outs, surroundings.also);
  if (surroundings.follow) player.listen(surroundings.follow);
  if (surroundings.pedalsFrom !== null) player.hearPedals(surroundings.pedalsFrom);
  perform = performer({
    player,
    arranger,
    listener,
    meeting,
    jobs,
    surroundings,
    dispatch: runtime.dispatch,
    finish,
  });
  for (const effect of waiting) perform(effect);
  const status = await ended;
  jobs.close();
  // Silence first, whatever the terminal does.
  player.send({ kind: 'pause' });
  // If the screen was not left by a key, what is still open has not been kept: a pass of which nothing more can be said now.
  if (status !== 0 && failure === null) runtime.dispatch({ kind: 'action', action: 'leave', at: now() });
  runtime.stop();
  const { onLateness } = surroundings;
  let report: LatenessReport | null = null;
  if (onLateness)
    report = await askLateness(player, (take) => {
      heardLateness = take;
    });
  player.guardTerminal(false);
  const silenced = player.quit();
  screen.close();
  await terminal.quiet(now());
  keys.close();
  arranger.close();
  instance.unmount();
  const [isBack] = await Promise.all([terminal.giveBack(), silenced, listener.quit(), meeting.close()]);
  // A terminal that does not read would keep the program waiting for its last words.
  if (!isBack && process.stderr.isTTY) return status;
  if (report) onLateness?.(report);
  if (failure) surroundings.onFailure((failure as Error).message);
  return status;
}

/** What effects are performed with. */
interface Rim {
  readonly player: PlayerClient;
  readonly arranger: Arranger;
  readonly listener: Listener;
  readonly meeting: BandMeeting;
  readonly jobs: JobControl;
  readonly surroundings: Surroundings;
  readonly dispatch: (message: Message) => void;
  readonly finish: (status: number) => void;
}

/** Does what updates ask for. */
function performer({
  player,
  arranger,
  listener,
  meeting,
  jobs,
  surroundings,
  dispatch,
  finish,
}: Rim): Perform {
  // After the update that asked for it, which must be finished first.
  const later = (answer: () => Message): void => void setImmediate(() => dispatch(answer()));
  const noticed = (reason: string | null): void => {
    if (reason !== null) later(() => ({ kind: 'not-written', reason: safeText(reason) }));
  };
  return (effect) => {
    switch (effect.kind) {
      case 'open':
        return later(() => surroundings.open(effect.file, effect.wishes, effect.from));
      case 'arrange':
        return arranger.ask(effect);
      case 'append':
        return player.append(effect.segments);
      case 'replace':
        return player.replace(effect.tick, effect.segments);
      case 'tell':
        // Where pedals are heard is set by whoever opened the program; learning only needs them to be heard at all.
        if (effect.message.kind === 'pedals') return player.hearPedals(surroundings.pedalsFrom ?? 'all');
        return player.send(effect.message);
      case 'open-output':
        return player.open(effect.outs.map(surroundings.setting));
      case 'listen':
        return listener.listen(effect.on);
      case 'hear-courses':
        return listener.tune(effect.courses);
      case 'levels':
        return player.setLevels(effect.levels, effect.gear);
      case 'remember-output':
        return surroundings.rememberOutput(effect.out);
      case 'keep':
        return surroundings.keep(effect.file, effect.choices, effect.played);
      case 'write':
        return later(() => surroundings.write(effect.file, effect.text, effect.before));
      case 'write-new':
        return later(() => surroundings.writeNew(effect.title, effect.text));
      case 'record':
        return noticed(surroundings.record(effect.record, effect.result));
      case 'mark-later':
        return noticed(surroundings.record(effect.record, 'unmarked'));
      case 'keep-run':
        return noticed(surroundings.keepRun(effect.file, effect.run));
      case 'keep-transcript':
        return noticed(surroundings.keepTranscript(effect.name, effect.transcript));
      case 'write-copy':
        return later(() => surroundings.writeCopy(effect.of, effect.name, effect.text));
      case 'list-requests':
        return later(() => surroundings.requests());
      case 'find-request':
        return later(() => surroundings.request(effect.file, effect.id));
      case 'keep-hints':
        return surroundings.keepHints(effect.left);
      case 'keep-pedals':
        return surroundings.keepPedals(effect.pedals);
      case 'meet':
        return meeting.open(effect.begins);
      case 'band-publish':
        return meeting.publish(effect.publishes);
      case 'band-subscribe':
        return meeting.subscribe(effect.topics);
      case 'band-leads':
        return meeting.setLeads(effect.leads);
      case 'turn-away':
        return meeting.turnAway(effect.id);
      case 'leave-band':
        return void meeting.close();
      case 'suspend':
        return void jobs.suspend();
      case 'leave':
        return finish(0);
    }
  };
}

/** Asks the player how late it was; one that does not answer soon is not waited for. */
function askLateness(
  player: PlayerClient,
  listen: (take: (report: LatenessReport) => void) => void,
): Promise<LatenessReport | null> {
  return new Promise((resolve) => {
    const giveUp = setTimeout(() => resolve(null), 500);
    listen((report) => {
      clearTimeout(giveUp);
      resolve(report);
    });
    player.send({ kind: 'lateness' });
  });
}
