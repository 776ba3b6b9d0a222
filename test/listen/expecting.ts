import { mandolin } from '../../src/hand/instrument.js';
import { type ExpectedStroke, type ExpectOptions, expectedStrokes } from '../../src/listen/expected.js';
import { type Arrangement, type ArrangeOptions, arrange } from '../../src/time/arrange.js';
import { patterns } from '../../src/time/pattern.js';
import { chart } from '../hand/charts.js';
import { key } from '../theory/reading.js';

/** A chart of one section in G, arranged, and its expected strokes. */
export function expecting(
  written: string,
  {
    bpm = 160,
    pattern,
    head = {},
    share = 1,
  }: { bpm?: number; pattern?: string; head?: Record<string, string | number>; share?: number } = {},
): { arranged: Arrangement; expected: ExpectedStroke[] } {
  const read = chart(written, { tempo: bpm, ...head });
  const found = patterns.find(({ name }) => name === pattern);
  const options: ArrangeOptions & ExpectOptions = {
    key: key('G'),
    instrument: mandolin,
    share,
    ...(found ? { pattern: found } : {}),
  };
  const arranged = arrange(read, options);
  return { arranged, expected: expectedStrokes(read, arranged, options) };
}

/** Bars of a song of 32: a chord for every two bars, changes both ways. */
export const song = '1 = 4 = 1 = 5 = 1 = 4 = 1 5 1 = 4 = 1 = 5 = 1 = 4 = 5 = 1 =';
