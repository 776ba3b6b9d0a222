import { safeText } from '../../base/safe-text.js';
import { type FormPart, partAt } from './layout.js';
import { fitText, type Line, type Piece, piece, textWidth } from './line.js';

/** What the strip is drawn from: the form, where the pass stands, and the bars that are played. */
export interface StripView {
  readonly parts: readonly FormPart[];
  readonly bar: number;
  readonly range: { readonly from: number; readonly to: number };
  readonly unicode: boolean;
}

/**
 * The whole form as one line: every part as long as its bars are many, named where its name fits; what has been played
 * is drawn thick, the part being played is marked, and what lies outside the loop is faint.
 */
export function formStrip({ parts, bar, range, unicode }: StripView, width: number): Line {
  if (parts.length === 0 || width < 1) return [];
  const here = partAt(parts, bar);
  const thin = unicode ? '─' : '-';
  const thick = unicode ? '━' : '=';
  const tick = unicode ? '╴' : '.';
  return placed(parts, width).flatMap(({ part, index, width: partWidth }): Piece[] => {
    const played = part.to <= range.from || part.from >= range.to ? 0 : playedShare(part, bar);
    const outside = part.to <= range.from || part.from >= range.to;
    const track = partWidth - (partWidth > 1 ? 1 : 0);
    const name = partName(part, track);
    const done = Math.round(played * track);
    const line = Array.from({ length: track }, (_, at) => (at < done ? thick : thin)).join('');
    const rest = line.slice(name.length);
    const style = outside ? 'dim' : index === here ? 'here' : 'plain';
    return [
      piece(name, style),
      piece(rest, outside ? 'dim' : index === here ? 'rail-on' : 'rail'),
      ...(partWidth > 1 ? [piece(index + 1 < parts.length ? tick : ' ', 'dim')] : []),
    ];
  });
}

function playedShare(part: FormPart, bar: number): number {
  return Math.max(0, Math.min(1, (bar + 1 - part.from) / (part.to - part.from)));
}

/** A part's name, and how loud it is where both fit. */
function partName({ section, level }: FormPart, room: number): string {
  const both = `${safeText(section)} ${level ?? ''}`;
  return level !== null && textWidth(both) <= room ? both : fitName(section, room);
}

/** A name as far as it fits; of one that does not, its beginning, so that V stays V. */
function fitName(name: string, room: number): string {
  const safe = safeText(name);
  if (room <= 0) return '';
  return room >= 4 ? fitText(safe, room) : [...safe].slice(0, Math.min(room, 2)).join('');
}

/** A part that has columns of its own. */
interface Placed {
  readonly part: FormPart;
  readonly index: number;
  readonly width: number;
}

/**
 * The parts that have columns, with how many. Worked out once for a form: it is drawn at every beat, and of very many parts most
 * have none.
 */
function placed(parts: readonly FormPart[], width: number): readonly Placed[] {
  const before = known.get(parts);
  if (before?.width === width) return before.shown;
  const shown = shares(parts, width).flatMap((columns, index): Placed[] =>
    columns === 0 ? [] : [{ part: parts[index] as FormPart, index, width: columns }],
  );
  known.set(parts, { width, shown });
  return shown;
}

const known = new WeakMap<
  readonly FormPart[],
  { readonly width: number; readonly shown: readonly Placed[] }
>();

/** Columns for each part: by its bars, at least enough for a name where there is room for that; together exactly `width` at most. */
function shares(parts: readonly FormPart[], width: number): number[] {
  const bars = parts.reduce((sum, part) => sum + part.to - part.from, 0);
  const wanted = parts.map((part) => Math.min(8, [...part.section].length) + 2);
  const base = wanted.reduce((sum, one) => sum + one, 0);
  // Named throughout where that fits, else a column or two each, else as many parts to a column as must be.
  const least = base <= width ? wanted : parts.map(() => (2 * parts.length <= width ? 2 : 1));
  const used = least.reduce((sum, one) => sum + one, 0);
  if (used > width) return crowded(parts.length, width);
  const free = Math.min(width - used, 3 * bars);
  let given = 0;
  let seen = 0;
  return parts.map((part, index) => {
    seen += part.to - part.from;
    const until = Math.floor((free * seen) / Math.max(1, bars));
    const share = (least[index] as number) + until - given;
    given = until;
    return share;
  });
}

/** More parts than columns: one column for several. */
function crowded(count: number, width: number): number[] {
  return Array.from({ length: count }, (_, index) => {
    const before = Math.floor((index * width) / count);
    return Math.floor(((index + 1) * width) / count) - before;
  });
}
