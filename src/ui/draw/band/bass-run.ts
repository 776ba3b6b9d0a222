import type { PlayedBar } from '../../../chart/chart.js';
import type { Setup } from '../../../playback/setup.js';
import { degreeNote, noteDegree } from '../../../theory/chord.js';
import type { Key } from '../../../theory/key.js';
import { degreeText } from '../../../theory/number.js';
import { noteName } from '../../../theory/pitch.js';
import { lastOf, patternOf, walks } from '../../../time/arrange.js';
import { type BassBar, bassLine } from '../../../time/bass-line.js';
import { eighth } from '../../../time/place.js';
import type { ComingChord } from './chords-ahead.js';

/** A note of the bass, by letter and by number of the key, both in ASCII, and the beat of its bar on which it is struck: `3`, `2+`. */
export interface RunNote {
  readonly letter: string;
  readonly number: string;
  readonly beat: string;
}

/** The run of the bass into a chord that comes, and the note it leads to; whether the player's own bass voice plays it. */
export interface BassRun {
  readonly notes: readonly RunNote[];
  readonly landing: RunNote;
  readonly isPlayed: boolean;
}

/** What decides of a pass how the bass goes. */
type BassSetup = Pick<Setup, 'chart' | 'pattern' | 'patterns' | 'bass'>;

const known = new WeakMap<readonly PlayedBar[], readonly BassBar[]>();

/** The bass of a pass, with every run that the trade has: made once for each pass, not once a frame. */
function lineOf(bars: readonly PlayedBar[], setup: BassSetup): readonly BassBar[] {
  const made = known.get(bars);
  if (made) return made;
  const line = bassLine(bars, {
    walks: () => true,
    endingOf: (index) => endingAt(bars, index, setup),
  });
  known.set(bars, line);
  return line;
}

function endingAt(bars: readonly PlayedBar[], index: number, { chart, pattern, patterns }: BassSetup) {
  const bar = bars[index];
  if (!bar || bar.cells.some(({ hold }) => hold !== undefined)) return null;
  const options = { ...(pattern ? { pattern } : {}), patterns };
  return patternOf(chart, bar, options, lastOf(bars, index)).ends ?? null;
}

/**
 * The run into the next chord, as the bass voice plays it where runs are asked for; `null` where players use none.
 */
export function runInto(bars: readonly PlayedBar[], setup: BassSetup, next: ComingChord): BassRun | null {
  const before = next.at > 0 ? next.index : next.index - 1;
  const index = before < 0 ? bars.length - 1 : before;
  const bar = bars[index];
  const { chord, at, early } = next.cell;
  if (!bar || !chord) return null;
  const end = next.at > 0 ? at : bar.beats;
  const left = bar.cells.findLast((cell) => cell.at < end - 1e-9);
  const notes = (lineOf(bars, setup)[index]?.notes ?? []).filter(
    (note) => note.runs && left && note.at >= left.at - 1e-9 && note.at < end - 1e-9,
  );
  if (notes.length === 0) return null;
  const struck = early ? end - eighth(bar) : at;
  return {
    notes: notes.map((note) => runNote(noteName(note.note), note.at, bar.key)),
    landing: runNote(chord.bass ?? chord.root, struck, next.bar.key),
    isPlayed: walks(setup.chart, bar, setup.bass ? { bass: setup.bass } : {}),
  };
}

function runNote(name: string, at: number, key: Key): RunNote {
  const degree = noteDegree(name, key);
  return { letter: degreeNote(degree, key), number: degreeText(degree), beat: beatText(at) };
}

/** A place in a bar as it is counted: the beat, and `+` where it is struck after it. */
function beatText(at: number): string {
  const beat = Math.floor(at + 1e-9);
  return `${beat + 1}${at - beat > 1e-6 ? '+' : ''}`;
}
