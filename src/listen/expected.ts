import { type Chart, type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import { plainName } from '../hand/changes.js';
import { soundingNotes } from '../hand/fingering.js';
import { type Chord, chordTones } from '../theory/chord.js';
import { numberText } from '../theory/number.js';
import type { MidiNote } from '../theory/pitch.js';
import { type ArrangedPass, type ArrangeOptions, lastOf, patternOf } from '../time/arrange.js';
import { barStrokes } from '../time/bar-strokes.js';
import { chordHolds, isRinging } from '../time/holds.js';
import { beatTick, eighth } from '../time/place.js';
import { stretchedTick } from '../time/stretch.js';
import { cellStrokes, type Struck } from '../time/strike.js';
import type { StrokeEnding } from '../time/stroke.js';
import { ticksPerQuarter } from '../time/units.js';
import { passTime } from './pass-time.js';

/** How a stroke is struck: the lowest course alone, courses together downward, or the treble side upward. */
export type StrokeKind = 'low' | 'chop' | 'up';

/** A chord as the chart and the ear know it. `name` and `number` are ASCII, the bass of its own left out: the hand plays the same. */
export interface ExpectedChord {
  readonly name: string;
  readonly number: string;
  /** The planned voicing (MIDI, bass side first). */
  readonly notes: readonly MidiNote[];
  /** Its pitch classes, root first. */
  readonly pitchClasses: readonly number[];
}

/** One stroke that a pass has. */
export interface ExpectedStroke {
  /** Its bar of the pass, from 0, and felt beats from the bar's start, from 0; an early one is a little before its bar. */
  readonly bar: number;
  readonly beat: number;
  /** Ticks, and ms, from the start of the pass; less than 0 for an early stroke before the first bar. */
  readonly tick: number;
  readonly at: number;
  readonly kind: StrokeKind;
  /** `chop`: damped at once; `choke`: stopped by the next stroke; `ring`: left sounding. */
  readonly ending: StrokeEnding;
  readonly chord: ExpectedChord;
  /** Which chord of the pass, counted as they are entered, from 0. */
  readonly entry: number;
  /** For the first stroke of its chord the chord before it; else, and for the first chord of a pass, `null`. */
  readonly from: ExpectedChord | null;
  /** Whether the chord comes before the beat that it is written on. */
  readonly early: boolean;
}

/** What the expected strokes are made with: as the pass was arranged; `share` is that of the tempo it is played at. */
export type ExpectOptions = Pick<ArrangeOptions, 'pattern' | 'patterns' | 'share'> & {
  /** Ms from the start of the pass at a tick, where that is not what the chart's tempos say. */
  readonly timeOf?: (tick: number) => number;
};

/**
 * The strokes of the mandolin in a pass, in the order of their times: those that `Score.notes` has as low notes and chops, each
 * with the chord that it is to be.
 */
export function expectedStrokes(chart: Chart, pass: ArrangedPass, options: ExpectOptions): ExpectedStroke[] {
  const { bars, score } = pass;
  const patterns = bars.map((bar, index) => patternOf(chart, bar, options, lastOf(bars, index)));
  const holds = chordHolds(bars, score.bars, patterns);
  const timeOf = options.timeOf ?? passTime(score.bars, options.share);
  const strokes: ExpectedStroke[] = [];
  let entry = -1;
  let last: ExpectedChord | null = null;
  bars.forEach((bar, index) => {
    const pattern = patterns[index] as (typeof patterns)[number];
    const all = barStrokes(pattern, bar);
    bar.cells.forEach((cell, place) => {
      if (!cell.chord || !cell.number) return;
      const chord = chordOf(pass, index, place, cell.chord, numberText({ ...cell.number, bass: null }));
      let from: ExpectedChord | null = null;
      if (chord.name !== last?.name) {
        from = last;
        entry += 1;
      }
      last = chord;
      const hold = holds[index]?.[place];
      if (chord.notes.length === 0 || hold?.held) return;
      const follower = bar.cells[place + 1] ?? bars[(index + 1) % bars.length]?.cells[0];
      const end = cell.at + cell.beats - (follower?.early ? eighth(bar) : 0);
      const until = isRinging(pattern, bar) && hold ? beatsTo(bar, hold.until - startOf(pass, index)) : end;
      cellStrokes(bar, cell, until, all, pattern).forEach((struck, nth) => {
        // After a chord that is held a bar comes later than it is written.
        const tick = startOf(pass, index) + stretchedTick(bar, beatTick(struck.at, bar));
        strokes.push({
          bar: index,
          beat: struck.at,
          tick,
          at: timeOf(tick),
          kind: kindOf(struck),
          ending: struck.ending,
          chord,
          entry,
          from: nth === 0 ? from : null,
          early: cell.early && nth === 0,
        });
      });
    });
  });
  return strokes.sort((one, other) => one.tick - other.tick);
}

function startOf({ score }: ArrangedPass, bar: number): number {
  return score.bars[bar]?.start ?? 0;
}

function beatsTo({ meter }: PlayedBar, ticks: number): number {
  return ticks / (quartersPerBeat(meter) * ticksPerQuarter);
}

function kindOf({ courses, direction }: Struck): StrokeKind {
  if (courses === 'lowest') return 'low';
  return direction === 'up' ? 'up' : 'chop';
}

function chordOf(pass: ArrangedPass, bar: number, cell: number, chord: Chord, number: string): ExpectedChord {
  const { changes, instrument } = pass.plan;
  const fingering = changes[pass.changeAt[bar]?.[cell] ?? -1]?.fingering;
  const notes = fingering ? soundingNotes(instrument, fingering.frets).filter((note) => note !== null) : [];
  return { name: plainName(chord), number, notes, pitchClasses: chordTones(chord) };
}
