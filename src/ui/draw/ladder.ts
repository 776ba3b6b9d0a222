import { bestOf, type Ladder } from '../../shed/ladder.js';
import { curve } from '../../shed/plot.js';
import { type Line, piece } from './line.js';

/** Seconds and words while the player is asked how a pass was, and the curve of the tempo so far. */
export function ladderLines(
  ladder: Ladder,
  secondsLeft: number,
  { width, height, unicode }: { width: number; height: number; unicode: boolean },
): Line[] {
  const { rules, bpm } = ladder;
  const best = bestOf(ladder);
  const head: Line[] = [
    [piece('clean?', 'title'), piece(`  ${secondsLeft}`, 'count')],
    [piece(unicode ? '→ or Space: clean   ← or m: missed' : 'Right or Space: clean   Left or m: missed')],
    [
      piece(
        `now ${Math.round(bpm)} of ${Math.round(rules.target)}${best === null ? '' : `, best ${Math.round(best)}`}`,
        'dim',
      ),
    ],
  ];
  return [...head, ...ladderCurve(ladder, { width, height: height - head.length, unicode })].slice(0, height);
}

/** The tempo pass by pass: clean, missed or unmarked, and the target as a line. */
export function ladderCurve(
  { rules, rungs }: Ladder,
  { width, height, unicode }: { width: number; height: number; unicode: boolean },
): Line[] {
  if (height < 3 || rungs.length === 0) return [];
  const marks = unicode ? { clean: '●', miss: '×', unmarked: '·' } : { clean: 'o', miss: 'x', unmarked: '.' };
  const points = rungs.map(({ bpm, result }) => ({ value: bpm, mark: marks[result] }));
  return curve(points, { height: Math.min(height, 9), width, target: rules.target, unicode }).map(
    (text): Line => [piece(text, 'dim')],
  );
}
