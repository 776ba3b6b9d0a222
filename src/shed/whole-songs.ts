import { quarterTempo } from '../chart/chart.js';
import { keyName, parseKey } from '../theory/key.js';
import { daysBetween } from './day-kind.js';
import { songChart } from './path-drill.js';
import { openSongs } from './path-songs.js';
import { type PracticeChart, type SittingWishes, stateOf, type Wanted } from './wanted.js';
import { passMinutes } from './way-drill.js';

/** Shares of a song's tempo: where it is begun, and by how much it rises after a day on which it was clean. */
const firstShare = 0.8;
const rise = 1.08;
/** By how much it falls after a miss, and its least share. */
const fall = 0.94;
const leastShare = 0.6;

/**
 * Whole songs that can be played, the ones for today first: of the set, those that were played before, and of the path all that are
 * open; by turns, so that no day ends like the one before. A pass of each lasts at most this many minutes.
 */
export function wholeSongs(wishes: SittingWishes, mostMinutes: number): readonly Wanted[] {
  const own = ownSongs(wishes, mostMinutes);
  // Players with songs of their own play those; the path's songs are for players without any, or with little time.
  return own.length >= 2 ? own : [...own, ...songsOfPath(wishes, mostMinutes)];
}

/** The songs of the next set in its order, at the tempo at which they will be played. */
export function setSongs({ charts }: SittingWishes): readonly Wanted[] {
  return charts
    .filter(({ inSet }) => inSet)
    .map((one) => ownSong(one, one.chart.tempo.bpm, 'as it will be played'));
}

function ownSongs(wishes: SittingWishes, mostMinutes: number): readonly Wanted[] {
  const { charts, entries } = wishes;
  const played = new Set(
    entries
      .filter(({ what, drill, result }) => (what === 'chart' || drill === 'song') && result === 'clean')
      .map(({ title }) => title),
  );
  const known = charts
    .filter(({ chart, inSet }) => inSet || played.has(chart.title))
    .map((one) => {
      const { title, tempo } = one.chart;
      return { ...one, bpm: songTempo(wishes, title, tempo.bpm, quarterTempo(tempo) / tempo.bpm) };
    });
  const fitting = known.filter(({ chart, bpm }) => passMinutes(chart, bpm / chart.tempo.bpm) <= mostMinutes);
  return turned(fitting, dayNumber(wishes)).map((one) =>
    ownSong(one, one.bpm, one.inSet ? 'a whole song of the next set' : 'a whole song that you can play'),
  );
}

function ownSong({ chart, file }: PracticeChart, bpm: number, why: string): Wanted {
  return {
    task: { kind: 'chart', file, way: null, chords: null, bar: null },
    key: keyName(chart.key),
    tempo: sameTempo(bpm),
    why,
    id: `song ${chart.title} ${keyName(chart.key)}`,
  };
}

function songsOfPath(wishes: SittingWishes, mostMinutes: number): readonly Wanted[] {
  const { entries } = wishes;
  const lastOf = (title: string, key: string): number =>
    entries.findLast((entry) => entry.title === title && entry.key === key)?.at ?? 0;
  // The newest songs only, and of these what has waited longest.
  return openSongs(stateOf(wishes).done)
    .slice(-3)
    .flatMap(({ song, keys }, place) =>
      keys.map((key) => ({ song, key, place, last: lastOf(song.title, key) })),
    )
    .sort((one, other) => one.last - other.last || other.place - one.place)
    .map(({ song, key }) => ({ song, key, bpm: songTempo(wishes, song.title, song.bpm) }))
    .filter(({ song, key, bpm }) => {
      const read = parseKey(key);
      return read.ok && passMinutes(songChart(song, read.value, bpm)) <= mostMinutes;
    })
    .map(
      ({ song, key, bpm }): Wanted => ({
        task: { kind: 'song', song: song.id, way: null },
        key,
        tempo: sameTempo(bpm),
        why: 'something whole, for the end',
        id: `song ${song.title} ${key}`,
      }),
    );
}

/**
 * The tempo for a song today, as its chart counts: slow at first, a little quicker after each day on which it was not missed.
 *
 * @param quarters in the note that the chart counts
 */
function songTempo({ entries }: SittingWishes, title: string, target: number, quarters = 1): number {
  const own = entries.filter((entry) => entry.title === title);
  const last = own.at(-1);
  if (!last) return Math.round(target * firstShare);
  const missed = own.slice(-2).some(({ result }) => result === 'miss');
  const next = (last.bpm / quarters) * (missed ? fall : rise);
  return Math.round(Math.min(target, Math.max(target * leastShare, next)));
}

function sameTempo(bpm: number): { readonly from: number; readonly to: number } {
  return { from: bpm, to: bpm };
}

/** Which day of practice it is, from the first line of the diary on. */
export function dayNumber({ entries, now }: SittingWishes): number {
  const first = entries.reduce((least, { at }) => Math.min(least, at), now);
  return Math.max(0, daysBetween(first, now));
}

/** A list that begins elsewhere. */
export function turned<T>(list: readonly T[], by: number): readonly T[] {
  const at = list.length === 0 ? 0 : by % list.length;
  return [...list.slice(at), ...list.slice(0, at)];
}
