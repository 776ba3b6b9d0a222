import type { Weakness } from '../chart/find/sort-songs.js';
import type { DiaryEntry } from './diary.js';

/** The number of last marks that count for a song: how it went long ago says nothing about today. */
const recent = 20;

/**
 * How weak each song of the diary is, by its title: how many of its last marks were misses. A mark of a song is that of a pass of all
 * of it, of a drill made of its bars, or of a drill of a change that the song has, whatever song that drill was made from. Of such a
 * drill only those with one change there and back count: of more, a miss does not say which it was. What was not marked says nothing.
 */
export function weakSongs(entries: readonly DiaryEntry[]): ReadonlyMap<string, Weakness> {
  const changes = changesOfSongs(entries);
  const songsWith = new Map<string, string[]>();
  for (const [title, ids] of changes)
    for (const id of ids) songsWith.set(id, [...(songsWith.get(id) ?? []), title]);
  const marks = new Map<string, boolean[]>();
  for (const entry of entries) {
    if (entry.result === 'unmarked') continue;
    for (const title of songsOf(entry, changes, songsWith)) {
      const list = marks.get(title) ?? [];
      list.push(entry.result === 'miss');
      if (list.length > recent) list.shift();
      marks.set(title, list);
    }
  }
  return new Map(
    [...marks].map(([title, list]) => [title, { missed: list.filter(Boolean).length, of: list.length }]),
  );
}

/** The changes of each song as it was played last as a whole. */
function changesOfSongs(entries: readonly DiaryEntry[]): ReadonlyMap<string, readonly string[]> {
  const songs = new Map<string, readonly string[]>();
  for (const { what, title, changes } of entries)
    if (what === 'chart')
      songs.set(
        title,
        changes.map(([id]) => id),
      );
  return songs;
}

/** The songs that a mark is about. */
function songsOf(
  { what, title, changes }: DiaryEntry,
  known: ReadonlyMap<string, unknown>,
  songsWith: ReadonlyMap<string, readonly string[]>,
): ReadonlySet<string> {
  if (what === 'chart') return new Set([title]);
  if (what !== 'drill') return new Set();
  const of = songNamed(title, known);
  const own = changes.length <= 2 ? changes.flatMap(([id]) => songsWith.get(id) ?? []) : [];
  return new Set(of === null ? own : [of, ...own]);
}

/** The song in the title of a drill: `bars 5 to 8 of Half a Mile of Fog`. */
function songNamed(title: string, known: ReadonlyMap<string, unknown>): string | null {
  const plain = title.replace(/, from the end$/, '');
  for (let at = plain.indexOf(' of '); at >= 0; at = plain.indexOf(' of ', at + 1)) {
    const name = plain.slice(at + 4);
    if (known.has(name)) return name;
  }
  return null;
}
