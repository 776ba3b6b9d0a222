import { basename, resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { keysPlayed, unroll } from '../chart/unroll.js';
import { recallChoices } from '../config/choices.js';
import { type KeptRun, recallRun } from '../config/run-file.js';
import type { Settings } from '../config/settings.js';
import { hrtimeMs } from '../player/host.js';
import { asPlayed, songFaults } from '../setlist/as-played.js';
import { playedSong, songSeconds } from '../setlist/running-order.js';
import { type SetEntry, type SetList, usualSong } from '../setlist/set.js';
import { type Key, keyName, parseKey } from '../theory/key.js';
import type { Message } from '../ui/state/messages.js';
import type { StandSong } from '../ui/state/modes.js';
import { brokenOff } from './broken-off.js';
import { exit, Stop } from './exit.js';
import { chartOf, songPath } from './load.js';
import { patternNames } from './pattern-flag.js';
import type { PlayFlags } from './play-options.js';
import { standStart } from './stand-start.js';

/** What a set is opened with. */
export interface SetOpening {
  readonly flags: PlayFlags;
  readonly settings: Settings;
}

/** A song as it is wanted, before its chart is read: by the set, or by somebody who asks for it. */
interface Wanted {
  readonly id: number;
  readonly file: string;
  readonly entry: SetEntry;
  /** Its place in the set's file. */
  readonly place: number | null;
}

/** Reads a set with all its charts, so that whatever is wrong is known now, and not only when its turn comes. */
export function openSet(
  file: string,
  set: SetList,
  opening: SetOpening,
): Extract<Message, { kind: 'set-opened' }> {
  const path = resolve(file);
  const broken = recallRun(path);
  const resumes = opening.flags.resume === true;
  if (resumes && !broken)
    throw new Stop(
      exit.call,
      `there is no interrupted run of ${safeText(set.title)}`,
      'without --resume it begins with the first song',
    );
  const wanted = resumes && broken ? keptSongs(path, set, broken) : setSongs(path, set);
  const names = patternNames();
  const read = wanted.map((one) => standSong(one, opening, names));
  const songs = read.map(({ song }) => song);
  return {
    kind: 'set-opened',
    file: path,
    title: set.title,
    songs,
    faults: read.flatMap((one) => one.faults),
    from: resumes && broken ? broken.at : 0,
    waits: resumes,
    broken: resumes ? null : brokenOff(path, set, broken),
    notice: resumes && broken ? `continuing at song ${broken.at + 1} of ${songs.length}` : '',
    at: hrtimeMs(),
  };
}

function setSongs(path: string, set: SetList): Wanted[] {
  return set.entries.map((entry, index) => ({
    id: index + 1,
    file: songPath(path, set, index),
    entry,
    place: index,
  }));
}

/** The songs of a run that was broken off, in their order then. What the set no longer has is as it was asked for. */
function keptSongs(path: string, set: SetList, { songs }: KeptRun): Wanted[] {
  return songs.map(({ file, entry, key }, index) => {
    const inSet = entry === null ? undefined : set.entries[entry];
    if (inSet && entry !== null && songPath(path, set, entry) === file)
      return { id: index + 1, file, entry: inSet, place: entry };
    const read = parseKey(key);
    const asked: SetEntry = {
      ...usualSong,
      file,
      key: read.ok ? read.value : null,
      gap: 'wait',
      place: { line: 1, column: 1 },
    };
    return { id: index + 1, file, entry: asked, place: null };
  });
}

/** A chart that somebody asks for, as it comes onto the stand in the middle of a run. */
export function requestSong(file: string, id: number, opening: SetOpening): Message {
  const entry: SetEntry = { ...usualSong, file, gap: 'wait', place: { line: 1, column: 1 } };
  const { song } = standSong({ id, file, entry, place: null }, opening, []);
  return song.problem === null
    ? { kind: 'request-found', song }
    : { kind: 'open-failed', reason: `${song.title}: ${song.problem}` };
}

/** A song with all that is needed to play it; one that cannot be played says why. */
function standSong(
  wanted: Wanted,
  { flags, settings }: SetOpening,
  patternNames: readonly string[],
): { song: StandSong; faults: readonly string[] } {
  const { id, file, entry } = wanted;
  const read = chartOf(file);
  if (!read.ok) {
    const title = safeText(basename(entry.file));
    const { message } = read.fault;
    return { song: faultySong(wanted, title, message), faults: [`song ${id}, ${title}: ${message}`] };
  }
  const { chart, source } = read.value;
  const found = patternNames.length === 0 ? [] : songFaults(chart, entry, patternNames);
  const title = safeText(chart.title);
  const faults = found.map(({ message }) => `song ${id}, ${title}: ${message}`);
  const wrong = found.find(({ severity }) => severity === 'error');
  if (wrong) return { song: faultySong(wanted, title, wrong.message), faults };
  const inSet = asPlayed(chart, entry);
  const played = playedSong(inSet, entry);
  const moved = entry.key !== null || entry.singer !== null;
  const wishes = {
    key: moved ? played.key : null,
    tempo: entry.tempo === null ? null : { ...chart.tempo, bpm: played.bpm },
    singer: entry.singer,
  };
  const usual = standStart(inSet, wishes, flags, settings, recallChoices(file).choices);
  const start = {
    ...usual,
    passes: usual.passes ?? entry.passes,
    countIn: flags.countIn === undefined && entry.countIn !== null ? entry.countIn : usual.countIn,
    pattern: entry.pattern !== null && flags.pattern === undefined ? null : usual.pattern,
    range: null,
    from: 0,
  };
  const { key, bpm, passes, countIn } = start;
  const share = bpm / chart.tempo.bpm;
  const song: StandSong = {
    ...faultySong(wanted, title, ''),
    seconds: songSeconds(inSet, { key, bpm, share, passes, countIn }),
    problem: null,
    chart: inSet,
    source,
    start,
    notes: [entry.notes, chart.notes].filter((text) => text !== null && text !== '').join('\n') || null,
    singer: entry.singer,
    ...otherKeys(inSet, key),
    messages:
      entry.program && entry.program.channel !== null
        ? [0xc0 | (entry.program.channel - 1) | ((entry.program.number - 1) << 8)]
        : [],
  };
  return { song, faults };
}

/** A song that cannot be played, as far as that is known of one. */
function faultySong({ id, file, entry, place }: Wanted, title: string, problem: string): StandSong {
  return {
    id,
    file,
    entry: place,
    title,
    gap: entry.gap ?? 'wait',
    breakBefore: entry.breakBefore,
    seconds: 0,
    problem,
    chart: null,
    source: '',
    start: null,
    notes: null,
    singer: null,
    messages: [],
  };
}

/** The other keys that a song goes to, for what is shown of it. */
function otherKeys(chart: Chart, key: Key): Pick<StandSong, 'goesTo'> {
  const others = keysPlayed(unroll(chart, { key, final: true }).bars).map(keyName);
  const goesTo = others.filter((name) => name !== keyName(key));
  return goesTo.length === 0 ? {} : { goesTo };
}
