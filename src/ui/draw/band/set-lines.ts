import type { SharedSet } from '../../../band/band.js';
import { capoFor, type PartName, sights } from '../../../band/parts.js';
import { safeText } from '../../../base/safe-text.js';
import { type Key, keyName, parseKey, withSigns } from '../../../theory/key.js';
import { fitText, type Line, padText, piece, textWidth } from '../line.js';

/** For whom a running order is shown. */
export interface SetReader {
  readonly part: PartName;
  readonly capo: number | null;
  readonly unicode: boolean;
}

/** What a key becomes for a part: for a guitar or banjo what is played behind the capo; empty for the others. */
export function capoIn(key: string | null, { part, capo, unicode }: SetReader): string {
  const read = key === null ? null : parseKey(key);
  if (!sights[part].capo || !read?.ok) return '';
  const { fret, shapes } = capoFor(read.value, capo);
  const name = (one: Key): string => (unicode ? withSigns(keyName(one)) : keyName(one));
  return fret === 0 ? 'no capo' : `capo ${fret}, as ${name(shapes)}`;
}

/** The running order on at most `room` lines, round the song at hand: number, title, key, and what that means for the part. */
export function setLines(set: SharedSet, reader: SetReader, columns: number, room: number): Line[] {
  const { songs } = set;
  const at = set.at ?? -1;
  const shown = Math.max(0, Math.min(songs.length, room));
  const from = Math.max(0, Math.min(songs.length - shown, at - Math.floor(shown / 3)));
  const digits = String(songs.length).length;
  const most = columns - digits - 30;
  const title = Math.min(most, Math.max(0, ...songs.map((song) => textWidth(safeText(song.title)))));
  return songs.slice(from, from + shown).map((song, place): Line => {
    const index = from + place;
    const isHere = index === at;
    const mark = isHere ? (reader.unicode ? '  ▸ ' : '  > ') : '    ';
    const key = song.key === null ? '' : reader.unicode ? withSigns(song.key) : song.key;
    return [
      piece(mark, 'count'),
      piece(`${String(index + 1).padStart(digits)}  `, 'dim'),
      piece(padText(safeText(song.title), title), isHere ? 'here' : index < at ? 'dim' : 'plain'),
      piece(`  ${padText(key, 4)}`, 'key'),
      piece(fitText(`  ${capoIn(song.key, reader)}`, Math.max(0, columns - title - digits - 13)), 'dim'),
    ];
  });
}
