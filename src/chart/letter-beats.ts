import { feltBeats, type Meter, meterText } from './chart.js';

/** A chord of a line in letters, as a number's text, and its number of beats: one for itself, and one for each slash or dot after it. */
export interface BeatenChord {
  readonly text: string;
  readonly beats: number;
}

/** Whether a word stands for further beats of the chord before: `/`, `///`, `. . .`. */
export function isBeats(word: string): boolean {
  return /^(?:\/+|\.+)$/.test(word);
}

/** How many beats a bar may be written with: its felt beats, or the quarters of cut time and the eighths of 6/8. */
function barBeats(meter: Meter): readonly number[] {
  const felt = feltBeats(meter);
  const finer = meter.unit === 2 ? 2 * meter.beats : meter.beats;
  return finer === felt ? [felt] : [felt, finer];
}

/**
 * Puts chords with their beats into bars, each as a chart's text, or says why not. Of the counts of beats that they fill, it
 * is the one in which chords keep to their bars; a chord that lasts over a bar line goes on in the next bar.
 *
 * @param bars how many bars they must fill; any number where it is `null`
 */
export function barsOfBeats(
  chords: readonly BeatenChord[],
  meter: Meter,
  bars: number | null,
): { readonly texts: readonly string[]; readonly perBar: number } | { readonly message: string } {
  const all = chords.reduce((sum, { beats }) => sum + beats, 0);
  const counts = barBeats(meter);
  const fitting = counts.filter((count) => (bars === null ? all % count === 0 : all === bars * count));
  const perBar = fitting.find((count) => keepsBarLines(chords, count)) ?? fitting[0];
  if (perBar === undefined)
    return {
      message: `${all === 1 ? '1 beat' : `${all} beats`} ${all === 1 ? 'does' : 'do'} not fill ${bars === null ? 'whole bars' : 'a bar'} of ${meterText(meter)}, which has ${counts.join(' or ')}; after a chord, write a slash for each further beat${bars === null ? ', or put | between the bars' : ''}`,
    };
  const texts: string[] = [];
  let bar: BeatenChord[] = [];
  let left = perBar;
  for (const { text, beats } of chords)
    for (let rest = beats; rest > 0; ) {
      const here = Math.min(rest, left);
      bar.push({ text, beats: here });
      rest -= here;
      left -= here;
      if (left > 0) continue;
      texts.push(barText(bar));
      bar = [];
      left = perBar;
    }
  return { texts, perBar };
}

/** Whether each chord that begins within a bar ends with it or before. */
function keepsBarLines(chords: readonly BeatenChord[], count: number): boolean {
  let at = 0;
  return chords.every(({ beats }) => {
    const begins = at % count;
    at += beats;
    return begins === 0 || begins + beats <= count;
  });
}

function barText(chords: readonly BeatenChord[]): string {
  const [first] = chords;
  if (chords.length === 1) return first?.text ?? '';
  const even = chords.every(({ beats }) => beats === first?.beats);
  return `(${chords.map(({ text, beats }) => `${text}${even ? '' : '.'.repeat(beats)}`).join(' ')})`;
}
