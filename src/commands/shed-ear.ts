import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import { tempoLimits } from '../chart/change.js';
import { dictationDrill } from '../shed/dictation/drill.js';
import type { DictationKind } from '../shed/dictation/figures.js';
import { startFromDiary } from '../shed/dictation/from-diary.js';
import { levelAt, levelOf } from '../shed/dictation/levels.js';
import { askedMoves, moveTable } from '../shed/dictation/move-table.js';
import type { DictationStart } from '../shed/dictation/round.js';
import { chartSources, hasTuneOf } from '../shed/dictation/source.js';
import { firstStanding, standingOf } from '../shed/dictation/standing.js';
import { exit, printDocument, Stop } from './exit.js';
import { refuseListening } from './listening-flags.js';
import { loadChart } from './load.js';
import { openDrill } from './open-drill.js';
import { keyFlag } from './play-options.js';
import { screenLack } from './screen.js';
import { diaryOf, practiceCharts, type StandFlags, whoFlag } from './shed-common.js';
import { wholeFlag } from './whole-flag.js';

/** The options of `shed ear`. */
export interface EarFlags extends StandFlags {
  readonly level?: string;
  readonly chart?: readonly string[];
  readonly key?: string;
  readonly tempo?: string;
  readonly tune?: boolean;
  readonly seed?: number;
  readonly count?: number;
  readonly plain?: boolean;
  readonly json?: boolean;
  readonly who?: string;
}

/** Changes are named by ear: on the screen, or typed where there is none. Answers the exit status. */
export async function shedEar(asks: DictationKind, flags: EarFlags): Promise<number> {
  const who = whoFlag(flags.who);
  const { entries } = diaryOf(who);
  const standing = standingOf(entries, asks);
  const moves = askedMoves(entries, asks);
  if (flags.json) {
    const { name, says } = levelOf(standing.level);
    const level = asks === 'tune' ? null : { name, says };
    printDocument(jsonText({ asks, level, moves: moveTable(moves) }));
    return exit.done;
  }
  const chosen = flags.level === undefined ? null : levelAt(flags.level);
  const start: DictationStart = startFromDiary(entries, asks, {
    standing: chosen === null ? standing : { ...firstStanding, level: chosen },
    seed: flags.seed ?? Date.now() % 1_000_000,
    now: Date.now(),
    key: flags.key === undefined ? null : keyFlag(flags.key),
    bpm:
      flags.tempo === undefined ? null : wholeFlag('tempo', flags.tempo, tempoLimits.least, tempoLimits.most),
    tune: tuneFlag(asks, flags.tune),
    sources: sourcesFor(asks, flags),
  });
  refuseOtherMode(start);
  const lack = screenLack();
  if (flags.plain || lack !== null) {
    refuseListening(flags, flags.plain ? 'leave out --plain' : (lack ?? ''));
    const { earPlain } = await import('./shed-ear-plain.js');
    return earPlain(start, flags, who);
  }
  return openDrill(dictationDrill(start), flags, who);
}

/** The sections that are asked about: of the charts that are named; of all that are practised, where the tune alone sounds. */
function sourcesFor(
  asks: DictationKind,
  { chart: files = [], level, tune }: EarFlags,
): DictationStart['sources'] {
  if (files.length > 0 && level !== undefined)
    throw new Stop(exit.call, 'the changes of a chart have no level', 'leave out --level or --chart');
  if (files.length === 0 && asks !== 'tune') return [];
  if (asks === 'tune' && level !== undefined)
    throw new Stop(exit.call, 'a tune by itself has no level', 'leave out --level');
  const charts =
    files.length > 0
      ? files.map((file) => loadChart(file))
      : practiceCharts(undefined).map(({ chart }) => chart);
  const all = chartSources(charts, asks);
  const sources = tune === true ? all.filter(hasTuneOf) : all;
  if (sources.length > 0) return sources;
  const named = files.map(safeText).join(', ');
  throw new Stop(
    exit.input,
    files.length > 0
      ? `no section of ${named} can be used for questions`
      : 'no section of your charts or the demo charts can be used for questions',
    asks === 'tune' || tune === true
      ? 'use a section with a tune, in one key, of at most sixteen bars, with two or more changes and a note on each'
      : `use a section in one key, of at most sixteen bars, with two or more changes${asks === 'bass' ? ', and with the root in the bass of every chord' : ''}`,
  );
}

/** Whether a tune is led over the changes, as far as that can be asked for; `null` where nothing is said. */
function tuneFlag(asks: DictationKind, tune: boolean | undefined): boolean | null {
  if (asks === 'bass' && tune === true)
    throw new Stop(
      exit.call,
      '“bass” plays only the bass, so --tune cannot be used with it',
      'leave out --tune or “bass”',
    );
  if (asks === 'tune' && tune === false)
    throw new Stop(
      exit.call,
      '“tune” plays only a tune, so --no-tune cannot be used with it',
      'leave out --no-tune or “tune”',
    );
  return tune ?? null;
}

/** A key of the other mode would never be used. */
function refuseOtherMode({ key, standing, sources }: DictationStart): void {
  const modes =
    sources.length > 0 ? sources.map(({ chart }) => chart.key.mode) : [levelOf(standing.level).mode];
  if (key === null || modes.includes(key.mode)) return;
  throw new Stop(
    exit.call,
    `the questions are in ${modes[0] ?? 'major'}; they cannot be in a ${key.mode} key`,
    key.mode === 'minor' ? 'write --level minor, or a major key' : 'write the key as Am',
  );
}
