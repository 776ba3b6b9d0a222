import type { Key } from '../theory/key.js';
import { type Line, lineOf, type SongLines } from './unseen-line.js';
import { majorLines } from './unseen-lines-major.js';
import { minorLines } from './unseen-lines-minor.js';

function read(lines: SongLines): SongLines<Line> {
  return {
    setOut: lines.setOut.map(lineOf),
    away: lines.away.map(lineOf),
    close: lines.close.map(lineOf),
    turnHome: lines.turnHome.map(lineOf),
    twelve: lines.twelve.map((ways) => ways.map(lineOf)),
  };
}

/** The lines that songs of a mode are made of. */
export const songLines: Readonly<Record<Key['mode'], SongLines<Line>>> = {
  major: read(majorLines),
  minor: read(minorLines),
};
