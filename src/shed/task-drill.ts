import type { Chart } from '../chart/chart.js';
import { chartInKey } from '../chart/tune/tune-in-key.js';
import { type Key, parseKey } from '../theory/key.js';
import { chartOfText } from './chart-of-text.js';
import type { DiaryEntry } from './diary.js';
import { dictationDrill } from './dictation/drill.js';
import { startFromDiary } from './dictation/from-diary.js';
import type { ChartSource } from './dictation/source.js';
import type { Drill } from './drill.js';
import type { DrillHand } from './drills.js';
import { songChart, stepChart, stepDrill } from './path-drill.js';
import { songNamed } from './path-songs.js';
import { stepNamed } from './path-steps.js';
import type { Task, TaskWish } from './task.js';
import { dampedStrings, songDrill, wayDrill } from './way-drill.js';

/** What is needed to make a drill from a task, besides the task. */
export interface TaskSources {
  /** The chart of a file as a plan names it; `null` where there is none. */
  readonly chartOf: (file: string) => Chart | null;
  /** Decides which unseen song it is. */
  readonly seed: number;
  /** Whose hand decides which way is easy. */
  readonly hand?: DrillHand;
  /** What the diary says, for what is named by ear; nothing when absent. */
  readonly ear?: {
    readonly entries: readonly DiaryEntry[];
    /** ms since 1970. */
    readonly now: number;
    /** The sections whose tune can be asked about. */
    readonly tunes: readonly ChartSource[];
  };
}

/** Shares of the tempo at which tasks begin of which nothing is said. */
const usualShare = 0.7;

/** A task as a drill; `null` where it names what is not there. */
export function drillOfTask(
  { task, key, tempo, minutes }: Pick<TaskWish, 'task' | 'key' | 'tempo' | 'minutes'>,
  sources: TaskSources,
): Drill | null {
  const home = key === null ? null : keyOf(key);
  const share = tempo ? tempo.from / tempo.to : usualShare;
  const timed = (chart: Chart): Chart => ({
    ...(home ? chartInKey(chart, home) : chart),
    tempo: tempo ? { ...chart.tempo, bpm: tempo.to } : chart.tempo,
  });
  const made = (chart: Chart | null, says: string | null): Drill | null => {
    if (!chart) return null;
    if (task.kind === 'ear') return null;
    if (task.kind === 'chords') return wayDrill(timed(chart), 'pair', task);
    if (task.kind !== 'chart' && task.way === 'damped') return dampedStrings(timed(chart));
    if (task.way !== null)
      return wayDrill(timed(chart), task.way, {
        ...(task.kind === 'chart' ? task : {}),
        ...(sources.hand && { hand: sources.hand }),
      });
    return songDrill(
      timed(chart),
      minutes,
      says ?? 'The whole song: go on whatever happens.',
      tempo ? share : 1,
    );
  };
  switch (task.kind) {
    case 'step': {
      const step = stepNamed(task.step);
      const inKey = home ?? keyOf(step?.keys[0] ?? 'G');
      if (!step || !inKey) return null;
      const chart = stepChart(step, inKey, Math.round(tempo?.to ?? step.bpm), sources.seed);
      if (task.way === null) return stepDrill(step, chart, share);
      const drill = asked(made(chart, null), tempo);
      return drill && { ...drill, step: step.id };
    }
    case 'song': {
      const song = songNamed(task.song);
      const inKey = home ?? keyOf(song?.keys[0]?.keys[0] ?? 'G');
      return song && inKey
        ? asked(made(songChart(song, inKey, Math.round(tempo?.to ?? song.bpm)), song.says), tempo)
        : null;
    }
    case 'ear': {
      const { entries, now, tunes } = sources.ear ?? { entries: [], now: 0, tunes: [] };
      if (task.asks === 'tune' && tunes.length === 0) return null;
      return dictationDrill(
        startFromDiary(entries, task.asks, {
          seed: sources.seed,
          now,
          key: home,
          bpm: tempo?.to ?? null,
          tune: task.tune,
          sources: task.asks === 'tune' ? tunes : [],
        }),
      );
    }
    case 'chart':
      return asked(made(sources.chartOf(task.file), null), tempo);
    case 'chords': {
      const drill = asked(made(bare, null), tempo);
      const title = `${task.chords
        .trim()
        .split(/[\s,]+/)
        .join(' and ')}, by themselves`;
      return drill && { ...drill, title, chart: { ...drill.chart, title } };
    }
  }
}

/** A drill that begins where it was asked to. Lift and land has tempos of its own. */
function asked(drill: Drill | null, tempo: TaskWish['tempo']): Drill | null {
  if (!drill || !tempo || drill.kind === 'lift') return drill;
  const chart = { ...drill.chart, tempo: { ...drill.chart.tempo, bpm: tempo.to } };
  return { ...drill, chart, start: { ...drill.start, share: tempo.from / tempo.to, exact: true } };
}

function keyOf(text: string): Key | null {
  const read = parseKey(text);
  return read.ok ? read.value : null;
}

/** A chart for what is made from no chart. */
const bare = chartOfText('title: two chords\nkey: G\ntempo: 120\nsections:\n  V: |\n    1\n') as Chart;

/** What a task is called in a sentence: `the step home-and-four`. */
export function taskName(task: Task): string {
  switch (task.kind) {
    case 'step':
      return `the step ${task.step}`;
    case 'song':
      return `the song ${task.song}`;
    case 'chart':
      return task.file;
    case 'chords':
      return task.chords;
    case 'ear':
      return task.asks === 'tune' ? 'a tune by ear' : `${task.asks} by ear`;
  }
}
