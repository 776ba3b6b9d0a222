import type { ToldEntry } from './chord-faults.js';
import { median } from './estimate.js';

/** One time a change was made. */
interface Made {
  readonly bar: number;
  /** Ms that its first stroke came behind the player's own time; `null` when not heard. */
  readonly late: number | null;
  /** Ms that the old chord went on; 0 when it did not. */
  readonly old: number;
  readonly isLate: boolean;
}

/** How a change, from one number to another, went in a pass. */
export interface ChangeFigures {
  readonly from: string;
  readonly to: string;
  /** How often it comes, and how often it was heard. */
  readonly times: number;
  readonly heard: number;
  /** How often it was late, the bars of those (from 0), and their median: ms that the new chord came late. */
  readonly late: number;
  readonly bars: readonly number[];
  readonly lateMs: number | null;
  /** How many of the late ones were late because the old chord was struck once more. */
  readonly withOldChord: number;
}

/** The changes of a pass by their pairs of numbers, those that cost most first. A change is late from `limit` ms on. */
export function changeFigures(entries: readonly ToldEntry[], limit: number): ChangeFigures[] {
  const pairs = new Map<string, { from: string; to: string; made: Made[] }>();
  for (const entry of entries) {
    if (!entry.from) continue;
    const [from, to] = [entry.from.number, entry.chord.number];
    const name = `${from} ${to}`;
    const pair = pairs.get(name) ?? { from, to, made: [] };
    pair.made.push(madeOf(entry, limit));
    pairs.set(name, pair);
  }
  const figures = [...pairs.values()].map(({ from, to, made }): ChangeFigures => {
    const late = made.filter(({ isLate }) => isLate);
    const by = late.map((one) => (one.old > 0 ? one.old : (one.late ?? 0)));
    return {
      from,
      to,
      times: made.length,
      heard: made.filter((one) => one.late !== null || one.old > 0).length,
      late: late.length,
      bars: late.map(({ bar }) => bar),
      lateMs: late.length > 0 ? median(by) : null,
      withOldChord: late.filter(({ old }) => old > 0).length,
    };
  });
  const cost = ({ late, lateMs }: ChangeFigures): number => late * (lateMs ?? 0);
  return figures.sort((one, other) => cost(other) - cost(one));
}

function madeOf({ strokes, story }: ToldEntry, limit: number): Made {
  const first = strokes[0];
  const late = first?.lateOfOwn ?? null;
  const firstNew = story.kind === 'old' ? strokes[story.strokes] : undefined;
  const old = firstNew && first ? firstNew.expected.at - first.expected.at : 0;
  return { bar: first?.expected.bar ?? 0, late, old, isLate: old > 0 || (late !== null && late > limit) };
}
