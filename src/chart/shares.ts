import { feltBeats, type Meter, meterText, type WrittenCell } from './chart.js';

/** The most chords that share a bar. */
export const mostInBar = 16;
/** The most felt beats that the dots of a crooked bar can give it. */
export const mostBeats = 32;

/** How many parts a felt beat has that dots can count: quarters in x/2 meters, eighths in 6/8 and its kind; elsewhere it has one. */
export function partsOfBeat(meter: Meter): 1 | 2 | 3 {
  if (meter.unit === 2) return 2;
  return meter.unit === 8 && meter.beats % 3 === 0 ? 3 : 1;
}

/** The dots of a bar together; `null` where it has none. */
export function dotsOf(cells: readonly WrittenCell[]): number | null {
  if (cells[0]?.dots == null) return null;
  return cells.reduce((sum, cell) => sum + (cell.dots ?? 0), 0);
}

/**
 * How many dots make a felt beat in a bar with this many dots: 1 where they count felt beats, 2 or 3 where they fill the meter's
 * bar only as quarters or eighths. In a crooked chart dots count felt beats always, whatever they come to.
 */
export function dotsInBeat(dots: number, meter: Meter, crooked: boolean): 1 | 2 | 3 {
  const parts = partsOfBeat(meter);
  return !crooked && parts > 1 && dots === feltBeats(meter) * parts ? parts : 1;
}

/**
 * Whether this many chords without dots fall where beats divide: on beats, or on each of them two, four … in simple meters,
 * three, six … in compound ones.
 */
export function sharesEvenly(count: number, meter: Meter): boolean {
  const beats = feltBeats(meter);
  if (count === 1 || beats % count === 0) return true;
  if (count % beats !== 0) return false;
  const least = partsOfBeat(meter) === 3 ? 3 : 2;
  const each = count / beats / least;
  return Number.isInteger(Math.log2(each));
}

/** Whether a bar adds up in the meter it is played in: its dots, or its chords without dots. */
export function addsUp(cells: readonly WrittenCell[], meter: Meter, crooked: boolean): boolean {
  // Most bars have one chord, and there may be tens of thousands.
  if (cells.length === 1 && cells[0]?.dots == null) return true;
  const dots = dotsOf(cells);
  if (dots === null) return sharesEvenly(cells.length, meter);
  return dots === feltBeats(meter) || (crooked ? dots <= mostBeats : dotsInBeat(dots, meter, false) > 1);
}

/**
 * Dots for chords that do not share a bar evenly, as players would place them, the likeliest first: with three in 4/4
 * [2, 1, 1] and [1, 1, 2]. Empty where not even a chord a beat, or a part of one, leaves room for all.
 */
export function dotWays(count: number, meter: Meter): readonly (readonly number[])[] {
  const beats = feltBeats(meter);
  const parts = partsOfBeat(meter);
  if (count > beats * parts) return [];
  const [even, firstLong, lastLong] =
    count <= beats
      ? [[], spread(beats, count), spread(beats, count).reverse()]
      : // Chords by beats, the beats that have fewer of them first or last; within one the first chord is the longest.
        [
          count > 0 && (beats * parts) % count === 0
            ? Array.from({ length: count }, () => (beats * parts) / count)
            : [],
          spread(count, beats)
            .reverse()
            .flatMap((chords) => spread(parts, chords)),
          spread(count, beats).flatMap((chords) => spread(parts, chords)),
        ];
  const ways = [even, firstLong, lastLong, [...firstLong].reverse()].filter((way) => way.length > 0);
  const seen = new Set<string>();
  return ways.filter((way) => !seen.has(way.join()) && seen.add(way.join()));
}

/** A whole in `count` parts, as even as possible, the larger ones first. */
function spread(whole: number, count: number): number[] {
  const least = Math.floor(whole / count);
  return Array.from({ length: count }, (_, index) => least + (index < whole % count ? 1 : 0));
}

/** The dots that chords without dots get where they cannot share a bar of the meter evenly; `null` where they can, or no dots fit. */
export function neededDots(count: number, meter: Meter): readonly number[] | null {
  return sharesEvenly(count, meter) ? null : (dotWays(count, meter)[0] ?? null);
}

/** The most chords that can share a bar with dots: one for each beat, or for each part of one. */
export function mostWithDots(meter: Meter): number {
  return feltBeats(meter) * partsOfBeat(meter);
}

/** What a bar can have: `2 (felt beats) or 6 (eighths)`, `4`. */
export function fillingDots(meter: Meter): string {
  const beats = feltBeats(meter);
  const parts = partsOfBeat(meter);
  if (parts === 1) return String(beats);
  return `${beats} (felt beats) or ${beats * parts} (${parts === 2 ? 'quarters' : 'eighths'})`;
}

/** Dots in the proportions of others that fill a bar; `null` where there is no room for all. */
export function fittedDots(dots: readonly number[], meter: Meter): readonly number[] | null {
  const beats = feltBeats(meter);
  const total = dots.reduce((sum, one) => sum + one, 0);
  const wholes = partsOfBeat(meter) === 1 ? [beats] : [beats, beats * partsOfBeat(meter)];
  const exact = wholes
    .map((whole) => dots.map((one) => (one * whole) / total))
    .find((way) => way.every((one) => Number.isInteger(one)));
  if (exact) return exact;
  const whole = wholes.findLast((one) => one >= dots.length);
  if (whole === undefined) return null;
  const least = dots.map((one) => Math.max(1, Math.floor((one * whole) / total)));
  // What is left over goes to the longest; what is too much is taken from it.
  for (let sum = least.reduce((all, one) => all + one, 0); sum !== whole; sum += sum < whole ? 1 : -1) {
    const longest = least.indexOf(Math.max(...least));
    least[longest] = (least[longest] as number) + (sum < whole ? 1 : -1);
  }
  return least;
}

/** The name of a meter in a sentence: `cut time`, `6/8`. */
export function meterName(meter: Meter): string {
  return meterText(meter) === '2/2' ? 'cut time' : meterText(meter);
}
