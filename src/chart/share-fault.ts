import type { Key } from '../theory/key.js';
import { feltBeats, type Meter, meterText, type WrittenCell } from './chart.js';
import {
  dotsOf,
  dotWays,
  fillingDots,
  fittedDots,
  meterName,
  mostBeats,
  mostInBar,
  mostWithDots,
  partsOfBeat,
  sharesEvenly,
} from './shares.js';
import { sharedText } from './write.js';

/** How a bar was written: in letters of a key, or in numbers (`null`). */
type Letters = Key | null;

/** What is wrong with how the chords of a bar share it in a meter, with what would be right. It does not add up: `addsUp`. */
export function shareFault(
  cells: readonly WrittenCell[],
  meter: Meter,
  crooked: boolean,
  letters: Letters,
): string {
  const dots = dotsOf(cells);
  if (dots === null) return evenFault(cells, meter, letters);
  const beats = feltBeats(meter);
  const found = `${dots} ${dots === 1 ? 'dot' : 'dots'} in a bar of ${meterName(meter)}`;
  if (crooked) return `${found}; at most ${mostBeats}`;
  const fitted = fittedDots(
    cells.map((cell) => cell.dots ?? 1),
    meter,
  );
  const example = fitted ? `, as in ${dotted(cells, fitted, letters)}` : '';
  return `${found}: ${fillingDots(meter)} would fill it${example}; if the bar really is ${dots < beats ? 'short' : 'long'}, add “crooked: yes” to the head`;
}

/** Chords without dots that would fall between the beats, with the writings that can be meant. */
function evenFault(cells: readonly WrittenCell[], meter: Meter, letters: Letters): string {
  const count = cells.length;
  if (count > mostInBar) return `${count} chords in one bar; at most ${mostInBar}`;
  const found = `${count} chords do not divide the beats of a bar of ${meterName(meter)} evenly`;
  const ways = dotWays(count, meter).map((way) => dotted(cells, way, letters));
  if (ways.length > 0) return `${found}; use dots to say how long each one is: ${orList(ways)}`;
  const most = mostWithDots(meter);
  const more = [2, 3, 4, 6, 8].map((each) => each * feltBeats(meter)).find((one) => one > count);
  const even =
    more !== undefined && sharesEvenly(more, meter) && more <= mostInBar ? `, or ${more} evenly` : '';
  return `${found}, and dots can divide it among ${most} at most; write ${most} or fewer with dots${even}`;
}

function dotted(cells: readonly WrittenCell[], dots: readonly number[], letters: Letters): string {
  return sharedText(
    cells.map((cell, index) => ({ ...cell, dots: dots[index] as number })),
    letters,
  );
}

function orList(texts: readonly string[]): string {
  if (texts.length === 1) return texts[0] as string;
  return `${texts.slice(0, -1).join(', ')} or ${texts.at(-1)}`;
}

/**
 * What is to be known of a bar of a crooked chart whose dots count felt beats, and would in another chart fill a bar as quarters
 * or eighths: both are written so that they can mean nothing else. `null` where the bar cannot be mistaken.
 */
export function mistakable(cells: readonly WrittenCell[], meter: Meter, letters: Letters): string | null {
  const dots = dotsOf(cells);
  const parts = partsOfBeat(meter);
  const beats = feltBeats(meter);
  if (dots === null || parts === 1 || dots !== beats * parts) return null;
  const name = parts === 2 ? 'quarters' : 'eighths';
  const long = parts === 2 ? 'two bars' : 'three bars';
  const bars = asBars(cells, meter, letters);
  return `${dots} dots are ${dots} felt beats in a crooked chart, which is as long as ${long} and can also be written ${bars}; to get one bar of ${dots} ${name}, write ${asParts(cells, meter, letters)}`;
}

/** A bar that is longer than its meter, cut at the bar lines. */
function asBars(cells: readonly WrittenCell[], meter: Meter, letters: Letters): string {
  const full = feltBeats(meter);
  const bars: WrittenCell[][] = [[]];
  let room = full;
  for (const cell of cells) {
    for (let left = cell.dots ?? 0, begins = true; left > 0; begins = false) {
      if (room === 0) {
        bars.push([]);
        room = full;
      }
      const here = Math.min(left, room);
      bars.at(-1)?.push({ ...cell, early: cell.early && begins, dots: here });
      left -= here;
      room -= here;
    }
  }
  return bars
    .map((bar) => {
      const [first] = bar;
      const even = bar.every(({ dots }) => dots === first?.dots);
      const written = sharedText(even ? bar.map((cell) => ({ ...cell, dots: null })) : bar, letters);
      return bar.length === 1 ? written.slice(1, -1) : written;
    })
    .join(' ');
}

/** The dots as quarters or eighths, in a meter whose felt beats are these. */
function asParts(cells: readonly WrittenCell[], meter: Meter, letters: Letters): string {
  const back = `@${meterText(meter)}`;
  if (partsOfBeat(meter) === 2 && meter.beats <= 8)
    return `@${meter.beats * 2}/4 ${sharedText(cells, letters)} ${back}`;
  const halved = cells.map((cell) => ({ ...cell, dots: (cell.dots ?? 0) / 2 }));
  if (partsOfBeat(meter) === 3 && meter.beats % 2 === 0 && halved.every(({ dots }) => Number.isInteger(dots)))
    return `@${meter.beats / 2}/4 ${sharedText(halved, letters)} ${back}`;
  return `${sharedText(cells, letters)} without “crooked: yes” in the head`;
}
