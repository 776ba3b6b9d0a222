import { midiNote } from '../../src/theory/pitch.js';
import { compileScore, type Score, type ScoreOptions } from '../../src/time/score.js';
import { usualSound } from '../../src/time/sound.js';
import { bars } from '../hand/charts.js';

/** What every chord sounds in these tests, bass side first. */
export const tones = [62, 67, 71, 79].map(midiNote);

/** The courses of a stroke at once, so that a stroke is one instant. */
export const together = { ...usualSound, spreadMs: 0 };

/** A pass in which every chord sounds the same four notes. */
export function score(
  written: string,
  head: Readonly<Record<string, string | number>> = {},
  options: Partial<ScoreOptions> = {},
): Score {
  const played = bars(written, head);
  const notesOf: ScoreOptions['notesOf'] = (bar, cell) => (played[bar]?.cells[cell]?.chord ? tones : []);
  return compileScore(played, { notesOf, ...options });
}

/** The strokes of a bar as `tick voice×courses length`, ticks from the bar's start, the bass left out. */
export function strokes(of: Score, bar: number): string[] {
  const found = new Map<string, number>();
  for (const { at, voice, length } of of.notes[bar] ?? []) {
    if (voice === 'bass') continue;
    const stroke = `${at - (of.bars[bar]?.start ?? 0)} ${voice} ${length}`;
    found.set(stroke, (found.get(stroke) ?? 0) + 1);
  }
  return [...found].map(([stroke, courses]) => stroke.replace(/(low|chop)/, `$1×${courses}`));
}
