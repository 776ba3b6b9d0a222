import fc from 'fast-check';
import type { Chart } from '../../src/chart/chart.js';
import { barParts } from '../../src/chart/tune/play-tune.js';
import { partsPerQuarter, type SectionTune, type TuneNote } from '../../src/chart/tune/tune.js';
import { barPlaces } from '../../src/chart/tune/tune-bars.js';
import { unroll, writtenBar } from '../../src/chart/unroll.js';

/** Numbers from 0 to below a limit, one after the other, out of a seed (a linear congruential generator, as in Numerical Recipes). */
export function numbersFrom(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

/** Notes that last so many parts: plain, dotted, tied, rests, and tuplets of three, five, seven and nine. */
export function notesLasting(parts: number, next: (below: number) => number): readonly TuneNote[] {
  const notes: TuneNote[] = [];
  let left = parts;
  const put = (length: number): void => {
    const rest = next(8) === 0;
    const last = notes.at(-1);
    const again = last?.tie ? last.pitch : null;
    const pitch = again ?? {
      degree: 1 + next(7),
      alter: next(6) === 0 ? next(3) - 1 : 0,
      octave: next(3) - 1,
    };
    notes.push({ pitch: rest && !again ? null : pitch, parts: length, tie: !rest && next(6) === 0 });
    left -= length;
  };
  while (left > 0) {
    const eighths = [1, 2, 3, 4, 6, 8].map((count) => (count * partsPerQuarter) / 2);
    const choices = [partsPerQuarter / 4, ...eighths].filter((length) => length <= left);
    const length = choices[next(choices.length)] ?? left;
    const p = [3, 5, 7, 9][next(4)] as number;
    if (next(4) === 0 && length % p === 0 && length >= partsPerQuarter / 2)
      for (let count = 0; count < p; count += 1) put(length / p);
    else put(Math.min(length, left));
  }
  const last = notes.at(-1);
  if (last) notes[notes.length - 1] = { ...last, tie: false };
  return notes;
}

/** A tune for every section of a chart that has bars of its own; sections with a bar of two lengths have none. */
export function tuneFor(chart: Chart, seed: number): readonly SectionTune[] {
  const next = numbersFrom(seed);
  const { bars } = unroll(chart, { final: true });
  return chart.sections.flatMap((section, index): SectionTune[] => {
    const places = barPlaces(section, chart.key, chart.meter);
    const lengths = places.map((place) => {
      const found = bars.filter(
        ({ source }) => source.section === index && source.line === place.line && source.bar === place.index,
      );
      const all =
        found.length > 0
          ? found
          : [{ ...writtenBar(chart, place.bar, { section: index, line: 0, bar: 0 }), meter: place.meter }];
      return new Set(all.map(barParts));
    });
    if (places.length === 0 || lengths.some(({ size }) => size !== 1)) return [];
    const made = lengths.map((length) => ({
      notes: next(7) === 0 ? [] : notesLasting([...length][0] ?? 0, next),
    }));
    const pickup = next(2) === 0 ? [] : notesLasting(partsPerQuarter / 2, next);
    const sounds = pickup.some(({ pitch }) => pitch !== null);
    return [{ section: section.name, pickup: sounds ? pickup : [], bars: made, remarks: [] }];
  });
}

export const seeds = fc.integer({ min: 0, max: 2 ** 31 });
