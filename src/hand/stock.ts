import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { type Finger, type Fingering, parseFrets } from './fingering.js';
import { fret, type Instrument, tunedInFifths } from './instrument.js';

/**
 * A movable shape, written where it holds a chord on `root` on courses tuned G D A E; other places and other
 * courses in fifths follow by moving it. `source`: what the trade plays by habit (common practice, no source), the
 * same from memory, or the least effort of the enumeration where no habit is known to us.
 */
export interface StockShape {
  /** What the trade calls it, if it has a name. */
  readonly name: string | null;
  readonly quality: string;
  readonly root: string;
  readonly frets: string;
  /** Usual fingers, bass side first: 4 little, 3 ring, 2 middle, 1 index. */
  readonly fingers: readonly string[];
  readonly source: 'practice' | 'memory' | 'computed' | 'own';
  /** How it stands beside the plainer shapes of its chord, where it is none of them. */
  readonly use?: ShapeUse;
}

/**
 * `low`: a form for the low frets; `stand-in`: only for chords whose plain shapes all begin high; `seldom`: now and then,
 * where it saves much; `offered`: for those who ask, since a plain shape in the same place does as well.
 */
export type ShapeUse = 'low' | 'stand-in' | 'seldom' | 'offered';

/** The stock shapes, at least one for every quality that the chart language knows. */
export const stockShapes: readonly StockShape[] = [
  {
    name: 'four-finger',
    quality: 'major',
    root: 'G',
    frets: '7-5-2-3',
    fingers: ['4312'],
    source: 'practice',
  },
  {
    name: 'three-finger',
    quality: 'major',
    root: 'D',
    frets: '7-4-5-x',
    fingers: ['312x', '423x'],
    source: 'practice',
  },
  {
    name: 'three-finger with the treble course',
    quality: 'major',
    root: 'D',
    frets: '7-4-5-2',
    fingers: ['4231'],
    source: 'practice',
    use: 'offered',
  },
  {
    name: 'flat-index',
    quality: 'major',
    root: 'F',
    frets: '5-3-3-5',
    fingers: ['3114'],
    source: 'practice',
    use: 'stand-in',
  },
  {
    name: 'flat-index',
    quality: 'major',
    root: 'A',
    frets: '2-2-4-5',
    fingers: ['1134'],
    source: 'practice',
    use: 'stand-in',
  },
  {
    name: 'four-finger',
    quality: 'minor',
    root: 'G',
    frets: '7-5-1-3',
    fingers: ['4312'],
    source: 'memory',
    use: 'seldom',
  },
  {
    name: 'upper-three',
    quality: 'minor',
    root: 'G',
    frets: 'x-5-1-3',
    fingers: ['x413'],
    source: 'practice',
  },
  {
    name: 'three-finger',
    quality: 'minor',
    root: 'D',
    frets: '7-3-5-x',
    fingers: ['413x'],
    source: 'practice',
  },
  {
    name: 'flat-index',
    quality: 'minor',
    root: 'E',
    frets: '4-2-2-3',
    fingers: ['3112'],
    source: 'practice',
    use: 'low',
  },
  {
    name: 'flat-index',
    quality: 'minor',
    root: 'E',
    frets: 'x-2-2-3',
    fingers: ['x112'],
    source: 'practice',
    use: 'low',
  },
  {
    name: 'flat-index',
    quality: 'minor',
    root: 'A',
    frets: '2-2-3-5',
    fingers: ['1124'],
    source: 'practice',
    use: 'low',
  },
  {
    name: 'flat-index',
    quality: 'minor',
    root: 'A',
    frets: 'x-2-3-5',
    fingers: ['x124'],
    source: 'practice',
    use: 'low',
  },
  { name: 'four-finger', quality: '7', root: 'G', frets: '7-3-2-3', fingers: ['4213'], source: 'memory' },
  { name: 'three-finger', quality: '7', root: 'D', frets: '7-4-3-x', fingers: ['421x'], source: 'memory' },
  {
    name: 'close three-finger',
    quality: '7',
    root: 'D',
    frets: '5-4-5-x',
    fingers: ['213x'],
    source: 'memory',
  },
  {
    name: 'close three-finger',
    quality: 'm7',
    root: 'D',
    frets: '5-3-5-x',
    fingers: ['213x', '314x'],
    source: 'memory',
  },
  { name: null, quality: 'dim', root: 'G', frets: '6-5-4-6', fingers: ['3214'], source: 'computed' },
  { name: null, quality: 'dim', root: 'G', frets: 'x-5-4-6', fingers: ['x213'], source: 'computed' },
  { name: null, quality: 'dim', root: 'G', frets: '6-8-10-9', fingers: ['1243'], source: 'computed' },
  { name: null, quality: 'aug', root: 'G', frets: '8-5-6-7', fingers: ['4123'], source: 'computed' },
  { name: null, quality: 'aug', root: 'G', frets: '8-9-10-11', fingers: ['1234'], source: 'computed' },
  { name: null, quality: 'aug', root: 'G', frets: '12-9-10-11', fingers: ['4123'], source: 'computed' },
  { name: null, quality: 'm7', root: 'G', frets: '10-8-10-10', fingers: ['2133'], source: 'computed' },
  { name: null, quality: 'm7', root: 'G', frets: '7-5-8-6', fingers: ['3142'], source: 'computed' },
  { name: null, quality: 'm7', root: 'G', frets: 'x-3-1-3', fingers: ['x314'], source: 'computed' },
  { name: null, quality: 'maj7', root: 'G', frets: '11-9-10-10', fingers: ['4123'], source: 'computed' },
  { name: null, quality: 'maj7', root: 'G', frets: '12-9-9-10', fingers: ['3112'], source: 'computed' },
  { name: null, quality: 'maj7', root: 'G', frets: 'x-4-2-3', fingers: ['x312'], source: 'computed' },
  { name: null, quality: 'mmaj7', root: 'G', frets: '11-8-10-10', fingers: ['4133'], source: 'computed' },
  { name: null, quality: 'mmaj7', root: 'G', frets: 'x-4-1-3', fingers: ['x312'], source: 'computed' },
  { name: null, quality: 'mmaj7', root: 'G', frets: '11-8-10-x', fingers: ['312x'], source: 'computed' },
  { name: null, quality: '6', root: 'G', frets: '7-5-7-7', fingers: ['2134'], source: 'computed' },
  { name: null, quality: '6', root: 'G', frets: '9-9-10-10', fingers: ['1123'], source: 'computed' },
  { name: null, quality: '6', root: 'G', frets: '9-9-10-12', fingers: ['1124'], source: 'computed' },
  { name: null, quality: 'm6', root: 'G', frets: '7-5-7-6', fingers: ['3142'], source: 'computed' },
  { name: null, quality: 'm6', root: 'G', frets: '9-8-10-10', fingers: ['2133'], source: 'computed' },
  { name: null, quality: 'm6', root: 'G', frets: 'x-2-1-3', fingers: ['x213'], source: 'computed' },
  { name: null, quality: '69', root: 'G', frets: '2-2-2-3', fingers: ['1112'], source: 'computed' },
  { name: null, quality: '69', root: 'G', frets: '9-7-10-7', fingers: ['3141'], source: 'computed' },
  { name: null, quality: '69', root: 'G', frets: '12-9-12-12', fingers: ['2133'], source: 'computed' },
  { name: null, quality: '9', root: 'G', frets: '2-3-2-3', fingers: ['1213'], source: 'computed' },
  { name: null, quality: '9', root: 'G', frets: '10-7-10-7', fingers: ['3141'], source: 'computed' },
  { name: null, quality: '9', root: 'G', frets: '2-5-2-1', fingers: ['2431'], source: 'computed' },
  { name: null, quality: 'm9', root: 'G', frets: '2-3-1-3', fingers: ['2314'], source: 'computed' },
  { name: null, quality: 'm9', root: 'G', frets: '10-7-10-6', fingers: ['3241'], source: 'computed' },
  { name: null, quality: 'm9', root: 'G', frets: '2-5-1-1', fingers: ['2411'], source: 'computed' },
  { name: null, quality: 'maj9', root: 'G', frets: '2-4-2-3', fingers: ['1312'], source: 'computed' },
  { name: null, quality: 'maj9', root: 'G', frets: '2-5-2-2', fingers: ['1311'], source: 'computed' },
  { name: null, quality: 'maj9', root: 'G', frets: '11-7-10-7', fingers: ['4131'], source: 'computed' },
  { name: null, quality: 'add9', root: 'G', frets: '2-5-2-3', fingers: ['1412'], source: 'computed' },
  { name: null, quality: 'add9', root: 'G', frets: '7-7-10-7', fingers: ['1131'], source: 'computed' },
  { name: null, quality: 'add9', root: 'G', frets: '12-9-12-10', fingers: ['3142'], source: 'computed' },
  { name: null, quality: '11', root: 'G', frets: '2-3-3-3', fingers: ['1233'], source: 'computed' },
  { name: null, quality: '11', root: 'G', frets: '10-9-10-8', fingers: ['3241'], source: 'computed' },
  { name: null, quality: '11', root: 'G', frets: '5-3-2-3', fingers: ['4213'], source: 'computed' },
  { name: null, quality: '13', root: 'G', frets: '10-9-10-12', fingers: ['2134'], source: 'computed' },
  { name: null, quality: '13', root: 'G', frets: '9-5-8-7', fingers: ['4132'], source: 'computed' },
  { name: null, quality: '13', root: 'G', frets: '12-9-8-12', fingers: ['3214'], source: 'computed' },
  { name: null, quality: 'sus4', root: 'G', frets: '5-5-3-3', fingers: ['3411'], source: 'computed' },
  { name: null, quality: 'sus4', root: 'G', frets: '5-5-5-3', fingers: ['3331'], source: 'computed' },
  { name: null, quality: 'sus4', root: 'G', frets: '12-10-10-10', fingers: ['3111'], source: 'computed' },
  { name: null, quality: 'sus2', root: 'G', frets: '7-5-5-5', fingers: ['3111'], source: 'computed' },
  { name: null, quality: 'sus2', root: 'G', frets: '12-12-12-10', fingers: ['3331'], source: 'computed' },
  { name: null, quality: 'sus2', root: 'G', frets: '2-5-5-3', fingers: ['1342'], source: 'computed' },
  { name: null, quality: '7sus4', root: 'G', frets: '5-3-3-3', fingers: ['3111'], source: 'computed' },
  { name: null, quality: '7sus4', root: 'G', frets: '5-3-5-3', fingers: ['3141'], source: 'computed' },
  { name: null, quality: '7sus4', root: 'G', frets: '10-10-10-8', fingers: ['3331'], source: 'computed' },
  { name: null, quality: 'm7b5', root: 'G', frets: '10-8-10-9', fingers: ['3142'], source: 'computed' },
  { name: null, quality: 'm7b5', root: 'G', frets: '6-5-8-6', fingers: ['2143'], source: 'computed' },
  { name: null, quality: 'm7b5', root: 'G', frets: '3-3-4-3', fingers: ['1121'], source: 'computed' },
  { name: null, quality: 'dim7', root: 'G', frets: '6-5-7-6', fingers: ['2143'], source: 'computed' },
  { name: null, quality: 'dim7', root: 'G', frets: '9-8-10-9', fingers: ['2143'], source: 'computed' },
  { name: null, quality: 'dim7', root: 'G', frets: '3-2-4-3', fingers: ['2143'], source: 'computed' },
  { name: null, quality: 'aug7', root: 'G', frets: '10-9-10-11', fingers: ['2134'], source: 'computed' },
  { name: null, quality: 'aug7', root: 'G', frets: '8-5-8-7', fingers: ['3142'], source: 'computed' },
  { name: null, quality: 'aug7', root: 'G', frets: '12-9-8-11', fingers: ['4213'], source: 'computed' },
  { name: null, quality: '7b5', root: 'G', frets: '10-9-10-9', fingers: ['2131'], source: 'computed' },
  { name: null, quality: '7b5', root: 'G', frets: '6-5-8-7', fingers: ['2143'], source: 'computed' },
  { name: null, quality: '7b5', root: 'G', frets: '6-3-2-3', fingers: ['4213'], source: 'computed' },
  { name: null, quality: '7b9', root: 'G', frets: '1-3-2-3', fingers: ['1324'], source: 'computed' },
  { name: null, quality: '7b9', root: 'G', frets: '10-6-10-7', fingers: ['3142'], source: 'computed' },
  { name: null, quality: '7b9', root: 'G', frets: '1-5-2-1', fingers: ['1421'], source: 'computed' },
  { name: null, quality: '7#9', root: 'G', frets: '10-8-10-7', fingers: ['3241'], source: 'computed' },
  { name: null, quality: '7#9', root: 'G', frets: '10-9-10-6', fingers: ['3241'], source: 'computed' },
  { name: null, quality: '7#9', root: 'G', frets: '3-3-2-3', fingers: ['2314'], source: 'computed' },
  { name: null, quality: '5', root: 'G', frets: '12-12-10-10', fingers: ['3411'], source: 'computed' },
  { name: null, quality: '5', root: 'G', frets: 'x-5-5-3', fingers: ['x341'], source: 'computed' },
  { name: null, quality: '5', root: 'G', frets: '7-5-5-x', fingers: ['311x'], source: 'computed' },
];

/** The highest fret a stock shape is used at: beyond it the short strings lose their bark (our limit). */
export const highestStockFret = 12;

/**
 * The stock fingerings of a chord on an instrument tuned in fifths, everywhere they lie whole on the neck. `shapes`:
 * the table to take them from, the trade's and a player's own. `lowest`: 1 for closed shapes only; 0 also for those
 * that a course of reaches the nut, which are marked as having an open course.
 */
export function stockFingerings(
  chord: Chord,
  instrument: Instrument,
  shapes: readonly StockShape[] = stockShapes,
  lowest: 0 | 1 = 1,
): readonly StockFingering[] {
  if (!tunedInFifths(instrument)) return [];
  return shapes
    .filter((shape) => shape.quality === chord.quality)
    .flatMap((shape) => placed(shape, chord.root, instrument, lowest));
}

/** What marks a shape that rings where it cannot be choked. */
export const openRemark = 'with an open course';

/** A stock shape in its place on the neck. */
export interface StockFingering extends Fingering {
  readonly source: StockShape['source'];
  readonly use: ShapeUse | null;
}

function placed(shape: StockShape, root: string, instrument: Instrument, lowest: 0 | 1): StockFingering[] {
  const written = parseFrets(shape.frets);
  if (written.length !== instrument.courses.length) return [];
  const low = instrument.courses[0]?.open ?? 55;
  const up = pitchClass(root) - pitchClass(shape.root) - (low - 55);
  const top = Math.min(highestStockFret, instrument.frets);
  const found: StockFingering[] = [];
  for (let move = (((up % 12) + 12) % 12) - 12; move <= 24; move += 12) {
    const moved = written.map((at) => (at === null ? null : at + move));
    if (moved.some((at) => at !== null && (at < lowest || at > top))) continue;
    const frets = moved.map((at) => (at === null ? null : fret(at)));
    for (const fingers of shape.fingers)
      found.push({
        frets,
        fingers: readFingers(fingers).map((finger, course) => (frets[course] === 0 ? null : finger)),
        shape: shape.name,
        remark: frets.includes(fret(0)) ? openRemark : '',
        source: shape.source,
        use: shape.use ?? null,
      });
  }
  return found;
}

function readFingers(text: string): (Finger | null)[] {
  return [...text].map((one) => (one === 'x' ? null : (Number(one) as Finger)));
}
