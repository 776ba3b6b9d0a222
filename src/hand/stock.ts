import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { quality } from '../theory/quality.js';
import { type Finger, type Fingering, parseFrets } from './fingering.js';
import { fret, type Instrument } from './instrument.js';

/**
 * A movable shape the trade plays by habit, written where it holds a chord on `root` on courses tuned
 * G D A E; other places and other courses in fifths follow by moving it.
 */
interface StockShape {
  readonly name: string;
  readonly quality: string;
  readonly root: string;
  readonly frets: string;
  /** Usual fingers, bass side first: 4 little, 3 ring, 2 middle, 1 index. */
  readonly fingers: readonly string[];
}

/** The stock shapes. Common practice, no source. */
export const stockShapes: readonly StockShape[] = [
  { name: 'four-finger', quality: 'major', root: 'G', frets: '7-5-2-3', fingers: ['4312'] },
  { name: 'three-finger', quality: 'major', root: 'D', frets: '7-4-5-x', fingers: ['312x', '423x'] },
  { name: 'four-finger', quality: 'minor', root: 'G', frets: '7-5-1-3', fingers: ['4312'] },
  { name: 'three-finger', quality: 'minor', root: 'D', frets: '7-3-5-x', fingers: ['413x', '312x'] },
  { name: 'four-finger', quality: '7', root: 'G', frets: '7-3-2-3', fingers: ['4213'] },
  { name: 'three-finger', quality: '7', root: 'D', frets: '7-4-3-x', fingers: ['421x', '431x'] },
  { name: 'close three-finger', quality: '7', root: 'D', frets: '5-4-5-x', fingers: ['213x', '314x'] },
];

/** The highest fret a stock shape is used at: beyond it the short strings lose their bark (our limit). */
export const highestStockFret = 12;

/**
 * The stock fingerings of a chord on an instrument tuned in fifths, everywhere they lie whole on the
 * neck with no open course. A quality without stock shapes of its own gets those of the nearest plain
 * one, and a remark that says so; a chord with neither third gets none.
 */
export function stockFingerings(chord: Chord, instrument: Instrument): readonly Fingering[] {
  if (!tunedInFifths(instrument)) return [];
  const plain = plainQuality(chord.quality);
  if (plain === null) return [];
  const remark = plain === chord.quality ? '' : `played as ${chord.root}${quality(plain).suffix}`;
  return stockShapes
    .filter((shape) => shape.quality === plain)
    .flatMap((shape) => placed(shape, chord.root, instrument, remark));
}

/** Whether neighbouring courses lie a fifth (seven half steps) apart. */
export function tunedInFifths(instrument: Instrument): boolean {
  return instrument.courses.every((course, index) => {
    const before = instrument.courses[index - 1];
    return before === undefined || course.open - before.open === 7;
  });
}

function plainQuality(id: string): string | null {
  const { steps } = quality(id);
  if (stockShapes.some((shape) => shape.quality === id)) return id;
  if (!steps.includes(7)) return null;
  if (steps.includes(4)) return steps.includes(10) ? '7' : 'major';
  return steps.includes(3) ? 'minor' : null;
}

function placed(shape: StockShape, root: string, instrument: Instrument, remark: string): Fingering[] {
  const written = parseFrets(shape.frets);
  if (written.length !== instrument.courses.length) return [];
  const low = instrument.courses[0]?.open ?? 55;
  const up = pitchClass(root) - pitchClass(shape.root) - (low - 55);
  const top = Math.min(highestStockFret, instrument.frets);
  const found: Fingering[] = [];
  for (let move = (((up % 12) + 12) % 12) - 12; move <= 24; move += 12) {
    const moved = written.map((at) => (at === null ? null : at + move));
    if (moved.some((at) => at !== null && (at < 1 || at > top))) continue;
    const frets = moved.map((at) => (at === null ? null : fret(at)));
    for (const fingers of shape.fingers)
      found.push({ frets, fingers: readFingers(fingers), shape: shape.name, remark });
  }
  return found;
}

function readFingers(text: string): (Finger | null)[] {
  return [...text].map((one) => (one === 'x' ? null : (Number(one) as Finger)));
}
