import { type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import { type Chord, chordName } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import type { NumberChord } from '../theory/number.js';

/** One chord as it comes in a pass: where (bar from 0, beat from 0), in which written section, and what it is. */
export interface ChordChange {
  readonly bar: number;
  readonly beat: number;
  /** Quarters in a beat there; 1 when absent. */
  readonly quarters?: number;
  readonly section: string;
  readonly number: NumberChord;
  readonly chord: Chord;
  /** The key that the number counts in. */
  readonly key: Key;
}

/**
 * The chords of a pass as they come, each once for as long as it lasts; what has no chord is passed over.
 * The first is an entry even where the last is the same chord: there the hand stays.
 */
export function changesOf(bars: readonly PlayedBar[]): readonly ChordChange[] {
  const changes: ChordChange[] = [];
  let last = '';
  bars.forEach((bar, index) => {
    for (const cell of bar.cells) {
      if (!cell.number || !cell.chord) continue;
      const name = chordName(cell.chord);
      if (name !== last)
        changes.push({
          bar: index,
          beat: cell.at,
          quarters: quartersPerBeat(bar.meter),
          section: String(bar.source.section),
          number: cell.number,
          chord: cell.chord,
          key: bar.key,
        });
      last = name;
    }
  });
  return changes;
}

/** A chord's name without a bass of its own: the hand plays the same. */
export function plainName(chord: Chord): string {
  return chordName({ ...chord, bass: null });
}
