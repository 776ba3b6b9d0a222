import { jsonText } from '../base/json.js';
import type { Outcome } from '../base/outcome.js';
import { safeText } from '../base/safe-text.js';
import { meterText } from '../chart/chart.js';
import { shortTempo } from '../chart/label.js';
import { keysPlayed, unroll } from '../chart/unroll.js';
import { changesOf } from '../hand/changes.js';
import { fretsText } from '../hand/fingering.js';
import { planHand } from '../hand/plan.js';
import { asPlayed, songFaults } from '../setlist/as-played.js';
import { clockText, playedSong, songSeconds } from '../setlist/running-order.js';
import type { SetEntry, SetList } from '../setlist/set.js';
import { autoCapo, capoElsewhere } from '../theory/capo.js';
import { chordName } from '../theory/chord.js';
import { keyName } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { exit, print, printDocument } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { type ChartSource, chartOf, songPath } from './load.js';
import { patternNames } from './pattern-flag.js';
import { planOf, settingsOf } from './settings.js';

/** One song of the running order, as `show SET --json` has it. */
interface OrderSong {
  readonly title: string;
  readonly key: string | null;
  readonly tempo: string;
  readonly meter: string;
  readonly first: string;
  readonly capo: string;
  readonly seconds: number;
  readonly problem: string | null;
  /** The other keys that it goes to, and what a capo comes to there. */
  readonly goesTo?: readonly { readonly key: string; readonly capo: string }[];
}

/** Prints a set's running order: keys, first chord and shape, capo for the guitars, minutes each and in all. */
export function showSet(file: string, set: SetList, flags: { readonly json?: boolean }): number {
  const songs = set.entries.map((entry, index) => orderSong(entry, chartOf(songPath(file, set, index))));
  const gaps = set.entries.reduce(
    (sum, { gap, breakBefore }) => sum + 60 * breakBefore + (gap === 'wait' ? 0 : (gap ?? 0)),
    0,
  );
  const music = songs.reduce((sum, { seconds }) => sum + seconds, 0);
  if (flags.json) {
    const order = songs.map((song, index) => ({ ...song, ...wishes(set.entries[index]) }));
    printDocument(jsonText({ title: set.title, date: set.date, songs: order, music, all: music + gaps }, 2));
  } else print(...orderText(set, songs, music, gaps));
  return songs.some(({ problem }) => problem !== null) ? exit.input : exit.done;
}

function wishes(entry: SetEntry | undefined): object {
  return { gap: entry?.gap ?? 'wait', breakBefore: entry?.breakBefore ?? 0, notes: entry?.notes ?? null };
}

function orderSong(entry: SetEntry, read: Outcome<ChartSource>): OrderSong {
  const faults = read.ok ? songFaults(read.value.chart, entry, patternNames()) : [];
  const wrong = faults.find(({ severity }) => severity === 'error');
  const problem = read.ok ? (wrong?.message ?? null) : read.fault.message;
  if (!read.ok || problem !== null)
    return { title: entry.file, key: null, tempo: '', meter: '', first: '', capo: '', seconds: 0, problem };
  const chart = asPlayed(read.value.chart, entry);
  const song = playedSong(chart, entry);
  const { bars } = unroll(chart, { key: song.key });
  const others = keysPlayed(unroll(chart, { key: song.key, final: true }).bars).filter(
    (key) => keyName(key) !== keyName(song.key),
  );
  const plan = planHand(changesOf(bars), instrumentOf(chart), planOf(settingsOf()));
  const [change] = plan.changes;
  const capo = autoCapo(song.key);
  return {
    title: chart.title,
    key: keyName(song.key),
    tempo: shortTempo({ ...chart.tempo, bpm: Math.round(song.bpm) }, false),
    meter: meterText(chart.meter),
    first: change
      ? `${numberText(change.number)} ${chordName(change.chord)}${change.fingering ? ` ${fretsText(change.fingering.frets)}` : ''}`
      : '',
    capo: capo.fret === 0 ? `${keyName(capo.shapes)}, no capo` : `${keyName(capo.shapes)}, capo ${capo.fret}`,
    ...(others.length === 0
      ? {}
      : {
          goesTo: others.map((key) => ({ key: keyName(key), capo: capoElsewhere(key, capo.fret) })),
        }),
    seconds: songSeconds(chart, song),
    problem: faults[0]?.message ?? null,
  };
}

function orderText(set: SetList, songs: readonly OrderSong[], music: number, gaps: number): string[] {
  const title = songs.reduce((most, song) => Math.max(most, safeText(song.title).length), 0);
  const lines = songs.flatMap((song, index): string[] => {
    const entry = set.entries[index] as SetEntry;
    const place = String(index + 1).padStart(2);
    const pause = entry.breakBefore > 0 ? [`    break, ${entry.breakBefore} minutes`] : [];
    const gap =
      entry.gap === null || entry.gap === 0
        ? []
        : [`    ${entry.gap === 'wait' ? 'wait' : `gap ${entry.gap} s`}`];
    const notes = entry.notes === null ? [] : [`      ${safeText(entry.notes)}`];
    if (song.key === null)
      return [...pause, ...gap, `${place}  ${safeText(song.title)}: ${song.problem}`, ...notes];
    const passes = entry.passes > 1 ? `  ${entry.passes} passes` : '';
    const line = `${place}  ${safeText(song.title).padEnd(title)}  ${song.key.padEnd(3)} ${song.tempo.padEnd(13)} ${song.meter}  ${song.first.padEnd(16)} ${song.capo.padEnd(11)} ${clockText(song.seconds)}${passes}`;
    const elsewhere = (song.goesTo ?? []).map((other) => `      key ${other.key}: ${other.capo}`);
    return [
      ...pause,
      ...gap,
      line,
      ...elsewhere,
      ...(song.problem ? [`      ${song.problem}`] : []),
      ...notes,
    ];
  });
  const head = `${safeText(set.title)}${set.date === null ? '' : `, ${safeText(set.date)}`}`;
  return [
    head,
    '',
    ...lines,
    '',
    `music ${clockText(music)}, with gaps and breaks ${clockText(music + gaps)}`,
  ];
}
