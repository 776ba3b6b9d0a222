/** How the chart is laid out: as played, four bars a line or lines as written; or as written, with its repeats. */
export type LayoutKind = 'fours' | 'phrases' | 'written';
export const layoutKinds: readonly LayoutKind[] = ['fours', 'phrases', 'written'];

/** What names a chord on the chart: its number, its letters, or both. */
export type ChordNames = 'both' | 'numbers' | 'chords';
export const chordNameKinds: readonly ChordNames[] = ['both', 'numbers', 'chords'];

/** What of a chart the stand shows. What is hidden can be played from memory, and peeked at. */
export interface Sight {
  readonly layout: LayoutKind;
  readonly names: ChordNames;
  readonly hand: boolean;
  readonly ahead: boolean;
  /** Large letters that fill the screen. */
  readonly far: boolean;
  /** Numbers appear only this many beats before they are due; `null`: all are there. */
  readonly late: number | null;
  /** Felt beats for which everything is shown all the same. */
  readonly peek: number;
  /** The words of phrases, above their bars. */
  readonly words: boolean;
  /** The tune of the line that is played, above its bars. */
  readonly tune: boolean;
}

/** What is shown of a chart by default. */
export const usualSight: Sight = {
  layout: 'fours',
  names: 'both',
  hand: true,
  ahead: true,
  far: false,
  late: null,
  peek: 0,
  words: true,
  tune: false,
};

/** What is shown now: everything, while the player peeks. */
export function sightNow(sight: Sight): Sight {
  return sight.peek > 0
    ? {
        ...sight,
        hand: true,
        ahead: true,
        words: true,
        late: null,
        names: sight.names === 'numbers' ? 'both' : sight.names,
      }
    : sight;
}
