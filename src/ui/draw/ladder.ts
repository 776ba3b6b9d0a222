import { bestOf, type Ladder } from '../../shed/ladder.js';
import { curve } from '../../shed/plot.js';
import { bigText, fitScale } from './big-text.js';
import { type Line, piece } from './line.js';
import { wordFont } from './word-letters.js';

/** Seconds and words while the player is asked how a pass was, and the curve of the tempo so far. */
export function ladderLines(
  ladder: Ladder,
  secondsLeft: number,
  { width, height, unicode }: { width: number; height: number; unicode: boolean },
): Line[] {
  const { rules, bpm } = ladder;
  const best = bestOf(ladder);
  const large = largeQuestion(width, height, unicode);
  const head: Line[] = [
    [
      piece(large.length > 0 ? '' : 'clean?  ', 'title'),
      piece(`${secondsLeft} s`, 'count'),
      piece(' to answer', 'dim'),
    ],
    [piece(unicode ? '→ or Space: clean   ← or m: missed' : 'Right or Space: clean   Left or m: missed')],
    [
      piece(
        `tempo ${Math.round(bpm)}, target ${Math.round(rules.target)}${best === null ? '' : `, best ${Math.round(best)}`}`,
        'dim',
      ),
    ],
  ];
  const told = [...large, ...head];
  return [...told, ...ladderCurve(ladder, { width, height: height - told.length, unicode })].slice(0, height);
}

/** From so many lines on the question is large: whoever answers it stands at a pedal, hands on the instrument. */
const largeFrom = 20;
const largest = 2;

function largeQuestion(width: number, height: number, unicode: boolean): Line[] {
  const text = 'CLEAN?';
  const scale = Math.min(largest, fitScale(text, width, height, unicode, wordFont));
  if (height < largeFrom || scale === 0) return [];
  return [...bigText(text, { scale, unicode }, wordFont).map((line): Line => [piece(line, 'count')]), []];
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
