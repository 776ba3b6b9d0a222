import type {
  Change,
  Chart,
  FormEntry,
  Item,
  Meter,
  Place,
  PlayedBar,
  Section,
  WrittenCell,
} from '../chart/chart.js';
import { meterText } from '../chart/chart.js';
import type { Level } from '../chart/level.js';
import { playedDots } from '../chart/played-cells.js';
import { toNumber } from '../theory/chord.js';
import { type Key, keyName, sameKey } from '../theory/key.js';

/** Nowhere: a drill is not in a file. */
const nowhere: Place = { line: 1, column: 1 };

/** A section of a drill: lines of items. */
export interface DrillSection {
  readonly name: string;
  readonly lines: readonly (readonly Item[])[];
}

/** An entry of a drill's form. */
export interface DrillEntry {
  readonly section: string;
  readonly times?: number;
  readonly pattern?: string;
  /** How loud it is, as in the chart that it comes from. */
  readonly level?: Level | null;
}

/** A chart with other sections than the one it is made from, so without its tune; the rest of its head stays. */
export function madeChart(
  base: Chart,
  title: string,
  sections: readonly DrillSection[],
  form: readonly DrillEntry[],
  changes: Partial<Pick<Chart, 'key' | 'meter' | 'pattern' | 'tempo' | 'feel'>> = {},
): Chart {
  // A section with the same name as one of the chart is still a different one.
  const { tune: _, ...head } = base;
  return {
    ...head,
    ...changes,
    title,
    notes: null,
    by: null,
    pickup: 0,
    remarks: {},
    singers: [],
    range: null,
    formWritten: true,
    sections: sections.map(
      ({ name, lines }): Section => ({
        name,
        place: nowhere,
        lines: lines.map((items) => ({ items, comment: null })),
        derived: null,
        letters: false,
      }),
    ),
    form: form.map(
      ({ section, times = 1, pattern, level }): FormEntry => ({
        section,
        times,
        who: null,
        pattern: pattern ?? null,
        ...(level ? { level } : {}),
        place: nowhere,
      }),
    ),
  };
}

/** A chart with nothing in it, in a key, to make drills from where there is no chart; `bpm` in quarters a minute. */
export function bareChart(key: Key, bpm: number): Chart {
  return {
    title: 'no chart',
    by: null,
    notes: null,
    key,
    tempo: { bpm, count: 'quarter' },
    meter: { beats: 4, unit: 4 },
    feel: { swing: 50 },
    pattern: null,
    pickup: 0,
    instrument: null,
    midi: null,
    crooked: true,
    singers: [],
    range: null,
    sections: [],
    form: [],
    remarks: {},
    formWritten: true,
  };
}

/** A cue above the next bar. */
export function cue(text: string): Item {
  return { kind: 'cue', text, place: nowhere };
}

/** A change from here on. */
export function changeTo(change: Change): Item {
  return { kind: 'change', change, place: nowhere };
}

/** A bar of one chord for each given number; `null` for none. */
export function barOf(
  cells: readonly Pick<WrittenCell, 'chord' | 'dots'>[],
  marks: Partial<WrittenCell> = {},
): Item {
  return {
    kind: 'bar',
    cells: cells.map((cell): WrittenCell => ({ early: false, ending: 'plain', ...cell, ...marks })),
    grouped: cells.length > 1 || cells.some(({ dots }) => dots !== null),
    same: false,
    place: nowhere,
  };
}

/**
 * Played bars as they would be written in a chart in a key, with the meters that hold in them and, where any is in another key
 * or `moves` says so, with the keys; where not, all numbers count in the one key. Cues are left out. `first` is the meter that
 * holds before them, `null` where that is not known (`meterBefore`): then the first bar says its own.
 */
export function writtenBars(
  bars: readonly PlayedBar[],
  home: Key,
  first: Meter | null = bars[0]?.meter ?? null,
  moves = bars.some(({ key }) => !sameKey(key, home)),
): readonly Item[] {
  let meter = first;
  let held: Key | null = null;

  return bars.flatMap((bar): Item[] => {
    const changes = !meter || meterText(meter) !== meterText(bar.meter);
    meter = bar.meter;
    const key = moves ? bar.key : home;
    // The first bar too: the same bars may come again, or others before them.
    const goes = moves && (held === null || keyName(held) !== keyName(key));
    held = key;
    const dots = playedDots(bar);
    const written = barOf(
      bar.cells.map((cell, index) => ({
        chord: cell.chord ? toNumber(cell.chord, key) : null,
        dots: dots?.[index] ?? null,
      })),
    );
    const marked: Item =
      written.kind === 'bar'
        ? {
            ...written,
            cells: written.cells.map((cell, index) => ({
              ...cell,
              early: bar.cells[index]?.early ?? false,
              ending: bar.cells[index]?.ending ?? 'plain',
            })),
          }
        : written;
    return [
      ...(changes ? [changeTo({ kind: 'meter', meter: bar.meter })] : []),
      ...(goes ? [changeTo({ kind: 'key-to', to: { key, home } })] : []),
      marked,
    ];
  });
}

/** The meter before each section that is made of these bars: the head's where all have it; otherwise that of whatever was played before. */
export function meterBefore(bars: readonly PlayedBar[], head: Meter): Meter | null {
  return bars.every(({ meter }) => meterText(meter) === meterText(head)) ? head : null;
}

/** Items in lines of this many bars; what is before a bar stays with it. */
export function inLines(items: readonly Item[], bars: number): readonly (readonly Item[])[] {
  const lines: Item[][] = [[]];
  let count = 0;
  let ahead: Item[] = [];
  for (const item of items) {
    ahead.push(item);
    if (item.kind !== 'bar') continue;
    if (count > 0 && count % bars === 0) lines.push([]);
    (lines.at(-1) as Item[]).push(...ahead);
    ahead = [];
    count += 1;
  }
  return lines;
}
