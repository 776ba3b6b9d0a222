import { block } from '../block.js';
import { fillLines, fitLine, type Line, lineWidth, type Piece, piece, type Style } from '../line.js';

/** One of the two things that a pane shows large: what is above it, and what is drawn in block letters. */
export interface PaneBlock {
  readonly label: readonly Piece[];
  readonly large: string;
  readonly style: Style;
}

/** What is in place of the hand for a part that has no shapes here: what is played now and what comes, large, and what there is beside it. */
export interface PartPane {
  /** What holds for all of the song, such as a capo. */
  readonly top: Line;
  readonly now: PaneBlock;
  readonly next: PaneBlock;
  /** Lines below, the most needed first; always as many, so that nothing jumps. */
  readonly below: readonly Line[];
  readonly unicode: boolean;
}

/** What has to fit in full size: longer labels are drawn smaller. */
const usual = 'Bm';

/** The pane as a column beside the chart, on exactly `room` lines. */
export function paneColumn(
  { top, now, next, below, unicode }: PartPane,
  width: number,
  room: number,
): Line[] {
  const air = room >= 18 ? 1 : 0;
  const plain = 3 + air;
  const free = room - plain - Math.min(below.length, 3);
  const nowLines = Math.ceil(free * 0.6);
  const large = (one: PaneBlock, lines: number): Line[] =>
    block(one.large, width, lines, unicode, one.style, usual).map((drawn): Line => [drawn]);
  return fillLines(
    [
      top,
      now.label,
      ...large(now, nowLines),
      next.label,
      ...large(next, free - nowLines),
      ...Array.from({ length: air }, (): Line => []),
      ...below,
    ],
    width,
    room,
  );
}

/** The pane below the chart: both things side by side, on exactly `room` lines. */
export function paneBelow(
  { top, now, next, below, unicode }: PartPane,
  columns: number,
  room: number,
): Line[] {
  const half = Math.floor(columns / 2);
  const under = Math.max(1, Math.min(1 + below.length, room - 5));
  const lines = room - 1 - under;
  const drawn = [now, next].map((one) => block(one.large, half - 2, lines, unicode, one.style, usual));
  const side = (one: PaneBlock): Line => fitLine([piece(' '), ...one.label], half);
  return fillLines(
    [
      [...side(now), ...side(next)],
      ...Array.from(
        { length: lines },
        (_, line): Line => [
          piece(' '),
          drawn[0]?.[line] ?? piece(''),
          piece(' '.repeat(half - 1 - lineWidth([drawn[0]?.[line] ?? piece('')]))),
          piece(' '),
          drawn[1]?.[line] ?? piece(''),
        ],
      ),
      ...[below[0] ?? [], top, ...below.slice(1)].map((line): Line => [piece(' '), ...line]),
    ],
    columns,
    room,
  );
}
