import { feltBeats, type PlayedBar, type PlayedCell } from '../chart/chart.js';
import { samePart } from '../chart/part.js';
import { chordName } from '../theory/chord.js';
import { sameKey } from '../theory/key.js';
import { type MidiNote, midiNote } from '../theory/pitch.js';
import { type BassNote, bassNotes, fifthNote, lowest, rootNote, untilNext } from './bass.js';
import { answerPlaces, type Ending, endingRun, isMinor } from './ending.js';
import { eighth } from './place.js';
import { type Walk, walkInto } from './walk.js';

/** What the bass of a pass is told beside the bars. */
export interface BassOptions {
  /** Whether the bass runs into the changes after the chords of a bar. */
  readonly walks: (bar: PlayedBar) => boolean;
  /** The ending that is played in a bar, by its index; `null` elsewhere. */
  readonly endingOf: (index: number) => Ending | null;
}

/** The bass of one bar; `leads` where it ends with a run into what comes next in the pass. */
export interface BassBar {
  readonly notes: readonly BassNote[];
  readonly leads: boolean;
}

/** The cell that follows another in a pass, and whether it is in the next bar, or in the first one again. */
interface Follower {
  readonly cell: PlayedCell;
  readonly bar: PlayedBar;
  readonly within: boolean;
  readonly again: boolean;
}

/** The bass of a pass, bar by bar. */
export function bassLine(bars: readonly PlayedBar[], options: BassOptions): readonly BassBar[] {
  let landing: MidiNote | null = null;
  let answers = false;
  return bars.map((bar, index): BassBar => {
    const ending = options.endingOf(index);
    const notes: BassNote[] = [];
    let leads = false;
    answers = fifthIsDue(bars[index - 1], bar, answers);
    bar.cells.forEach((cell, at) => {
      const next = followerOf(bars, index, at);
      const end = cell.at + cell.beats - (next?.cell.early ? eighth(bar) : 0);
      const before = { landing, answers: at === 0 && answers };
      const own = ending ? endingBass(ending, bar, cell, end, landing) : bassNotes(bar, cell, end, before);
      const aim = next && !next.within ? options.endingOf(index + 1) : null;
      const walk: Walk | null =
        ending || cell.hold !== undefined || bar.wait !== undefined || !options.walks(bar)
          ? null
          : walkOn(bar, cell, end, next, own, aim === 'run' || aim === 'two');
      landing = walk?.landing ?? null;
      notes.push(...(walk ? withWalk(own, walk, end) : own));
      leads = walk !== null && next?.within === false;
    });
    return { notes, leads };
  });
}

/** Where one chord holds through bars of three, root and fifth stand on their first beats by turns; each part of the form begins with the root. */
function fifthIsDue(before: PlayedBar | undefined, bar: PlayedBar, wasDue: boolean): boolean {
  const last = before?.cells.at(-1);
  const [first] = bar.cells;
  if (!before || !last?.chord || !first?.chord) return false;
  if (!samePart(before, bar)) return false;
  const inThree = feltBeats(bar.meter) === 3 && feltBeats(before.meter) === 3;
  const holds = before.cells.length === 1 && last.ending === 'plain' && first.ending === 'plain';
  if (!inThree || !holds || first.early || chordName(last.chord) !== chordName(first.chord)) return false;
  return !wasDue;
}

function followerOf(bars: readonly PlayedBar[], index: number, cell: number): Follower | null {
  const bar = bars[index] as PlayedBar;
  const own = bar.cells[cell + 1];
  if (own) return { cell: own, bar, within: true, again: false };
  const again = index + 1 === bars.length;
  const next = bars[again ? 0 : index + 1] as PlayedBar;
  const [first] = next.cells;
  return first ? { cell: first, bar: next, within: false, again } : null;
}

function walkOn(
  bar: PlayedBar,
  cell: PlayedCell,
  end: number,
  next: Follower | null,
  own: readonly BassNote[],
  fixed: boolean,
): Walk | null {
  const [first] = own;
  if (!next || !first || !sameKey(bar.key, next.bar.key)) return null;
  return walkInto({ bar, cell, end, next: next.cell, before: first.note, fixed: fixed || next.again });
}

/** A run instead of what the bass would strike from there on. */
function withWalk(own: readonly BassNote[], { notes }: Walk, end: number): BassNote[] {
  const from = notes[0]?.at ?? end;
  return untilNext([...own.filter(({ at }) => at < from - 1e-9), ...notes], end);
}

/** The bass of a cell in a bar that ends the song. */
function endingBass(
  ending: Ending,
  bar: PlayedBar,
  cell: PlayedCell,
  end: number,
  landing: MidiNote | null,
): BassNote[] {
  const { chord } = cell;
  if (!chord) return [];
  const root = rootNote(chord);
  if (ending === 'two') {
    const [first = 0, second = 0] = answerPlaces(bar);
    return [
      { at: first, note: fifthNote(chord) },
      { at: second, note: root },
    ]
      .filter(({ at }) => at >= cell.at - 1e-9 && at < end - 1e-9)
      .map((one) => ({ ...one, until: Math.min(end, one.at + (second - first) / 2), loudness: 96 }));
  }
  const start = cell.at - (cell.early ? eighth(bar) : 0);
  const { meter, beats, cells } = bar;
  const run = ending === 'run' ? endingRun({ meter, beats, chords: cells.length }, isMinor(chord)) : [];
  if (run.length === 0) return [{ at: start, until: end, note: landing ?? root, loudness: 96 }];
  return untilNext(
    run.map(({ at, step }, index) => ({
      at: index === 0 ? start : at,
      // From a low root a fifth below it is out of the bass's reach: the run begins an octave above.
      note: midiNote(root + step + (root + Math.min(...run.map((one) => one.step)) < lowest ? 12 : 0)),
      loudness: index === run.length - 1 ? 100 : 90,
    })),
    end,
  );
}
