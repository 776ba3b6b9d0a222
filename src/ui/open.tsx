import { render } from 'ink';
import { openEar } from '../ear/client.js';
import { PlayerClient } from '../player/client.js';
import { hrtimeMs } from '../player/host.js';
import type { LatenessReport } from '../player/messages.js';
import { App } from './App.js';
import { Arranger } from './arranger.js';
import { BandMeeting } from './band-meeting.js';
import { CanvasContext, ListeningContext } from './canvas.js';
import { ErrorBoundary } from './ErrorBoundary.js';
import { ItemReader } from './item-reader.js';
import { JobControl } from './job-control.js';
import { KeyReader, type Pasted } from './key-reader.js';
import { Listener } from './listener.js';
import { askLateness, performer } from './perform.js';
import { type Perform, Runtime } from './runtime.js';
import { ScreenWriter } from './screen-writer.js';
import { backgroundOf } from './state/look.js';
import type { Effect } from './state/messages.js';
import { firstModel } from './state/model.js';
import type { Surroundings } from './surroundings.js';
import { leaveScreen, Terminal } from './terminal.js';
import { readColour } from './terminal-answer.js';
import { TtyWriter } from './tty-writer.js';

/** How long an answer from the terminal is expected, ms: over a slow line it comes late. */
const answerExpectedMs = 2000;

/**
 * A beat was on the terminal so long after the look at the clock that drew it, ms: the median of 1000 on a laptop's two cores
 * (`npm run bench -- stand`), timers' lateness with it. So much sooner is looked, and the beat is seen when it is heard.
 */
const drawMs = 4;

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
    undefined,
    drawMs,
  );
  // Not `once`: Ink's own signal handler ends the process at once when it finds itself the only one.
  for (const signal of Object.keys(signals) as (keyof typeof signals)[])
    process.on(signal, () => finish(signals[signal]));
  process.on('uncaughtException', fail);
  process.on('unhandledRejection', fail);
  // The terminal has gone: the same as the signal for that.
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
  const reader = new ItemReader({
    read: surroundings.readItem,
    told: (items) => runtime.dispatch({ kind: 'items-read', items }),
    done: surroundings.keepItems,
    now,
    setTimer: setTimeout,
    clearTimer: (timer) => clearTimeout(timer as NodeJS.Timeout),
  });
  perform = performer({
    player,
    reader,
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
  reader.stop();
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
