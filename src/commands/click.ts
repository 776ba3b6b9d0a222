import { safeText } from '../base/safe-text.js';
import { parseMeter, tempoLimits } from '../chart/change.js';
import type { Chart } from '../chart/chart.js';
import { clickChart } from '../chart/click-chart.js';
import { settled } from '../playback/arranging.js';
import { readyAt } from '../playback/performance.js';
import { firstSession, inTurn } from '../playback/session.js';
import { setupOf } from '../playback/setup.js';
import type { StandStart } from '../ui/state/modes.js';
import { clickWords } from '../ui/typed/bar-words.js';
import { exit, print, Stop, say } from './exit.js';
import { outputsFor } from './outputs.js';
import { PlainPlayer } from './plain-player.js';
import { lastWords, writePatiently } from './plain-terminal.js';
import type { PlayFlags } from './play-options.js';
import { followFlag } from './play-sound.js';
import { screenLack } from './screen.js';
import { settingsOf } from './settings.js';
import { standStart } from './stand-start.js';
import { canBeTyped } from './typed-input.js';

/** The options of `click`, as commander gives them. */
export interface ClickFlags
  extends Pick<
    PlayFlags,
    | 'click'
    | 'gaps'
    | 'accents'
    | 'voices'
    | 'countIn'
    | 'out'
    | 'sendClock'
    | 'follow'
    | 'pedal'
    | 'stats'
    | 'plain'
    | 'unicode'
  > {
  readonly meter?: string;
  /** After how many bars it stops. */
  readonly bars?: number;
}

/** The usual tempo of a click, felt beats a minute. */
const usualTempo = 100;

/** A click without a song: on a screen of its own, or a line a bar. Answers the exit status. */
export async function click(tempo: string | undefined, flags: ClickFlags): Promise<number> {
  const chart = chartOf(tempo, flags);
  const { bars, meter: _, ...rest } = flags;
  const played: PlayFlags = {
    ...rest,
    countIn: flags.countIn ?? 0,
    listen: false,
    ...(bars === undefined ? {} : { passes: bars }),
  };
  // Mistakes of the command line are reported before the screen opens.
  const start = standStart(chart, null, played, settingsOf());
  const lack = screenLack();
  const plainly = flags.plain || lack !== null;
  if (plainly) {
    if (!flags.plain && process.stdout.isTTY && process.stdin.isTTY)
      say(`${lack}; one line is printed for each bar instead`);
    if (!(await canBeTyped())) return clickPlainly(chart, start, played);
  }
  const { openStand } = await import('./stand.js');
  return openStand({
    flags: played,
    ...(plainly ? { plain: { begins: true } } : {}),
    first: () => ({ kind: 'chart-opened', file: '', chart, start, source: '', click: true }),
  });
}

function chartOf(tempo: string | undefined, { meter = '4/4' }: ClickFlags): Chart {
  const counted = parseMeter(meter);
  if (!counted.ok) throw new Stop(exit.call, `--meter ${counted.fault.message}`);
  const bpm = tempo === undefined ? usualTempo : Number(tempo);
  const isTempo = tempo === undefined || /^\d+(\.\d+)?$/.test(tempo);
  if (isTempo && bpm >= tempoLimits.least && bpm <= tempoLimits.most) return clickChart(counted.value, bpm);
  throw new Stop(
    exit.call,
    `“${safeText(tempo ?? '')}” is not a tempo from ${tempoLimits.least} to ${tempoLimits.most}`,
    'write barkline click 120',
  );
}

/** Clicks to the end, to a signal, or until nobody reads any more; prints a line when a bar begins. */
async function clickPlainly(chart: Chart, start: StandStart, flags: PlayFlags): Promise<number> {
  const settings = settingsOf();
  const follow = followFlag(flags.follow);
  writePatiently();
  const { sight: _, ...from } = start;
  const setup = setupOf(chart, from);
  print(clickWords(setup));
  const performance = { ...readyAt(setup, 0), eager: follow === null };
  const player = new PlainPlayer({
    outputs: outputsFor(flags, settings),
    follow,
    stats: flags.stats ?? false,
    session: { ...firstSession, performance },
    settle: (played, at) => inTurn(played, (now) => settled(now, at)),
    barText: (_playing, pass) => `bar ${pass}`,
    onStopped: (ended) => ended.end(exit.done),
  });
  const status = await player.run();
  await lastWords();
  return status;
}
