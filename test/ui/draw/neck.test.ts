import { describe, expect, it } from 'vitest';
import { type Finger, type Fingering, fretsText, parseFrets } from '../../../src/hand/fingering.js';
import { handMove } from '../../../src/hand/hand-move.js';
import { mandolin } from '../../../src/hand/instrument.js';
import { motion } from '../../../src/hand/motion.js';
import type { NeckSight } from '../../../src/hand/neck-sight.js';
import { prompt } from '../../../src/hand/prompt.js';
import { stockFingerings, stockShapes } from '../../../src/hand/stock.js';
import { plainText } from '../../../src/ui/draw/line.js';
import { neckLines } from '../../../src/ui/draw/neck.js';

const fingers = (text: string): Fingering['fingers'] =>
  text.split('-').map((one) => (one === 'x' ? null : (Number(one) as Finger)));
/** The G chop and, below it in the family, its C (facts of the trade: common practice). */
const g: Fingering = { frets: parseFrets('7-5-2-3'), fingers: fingers('4-3-1-2'), shape: null, remark: '' };
const d: Fingering = { frets: parseFrets('7-4-5-x'), fingers: fingers('4-2-3-x'), shape: null, remark: '' };

function drawn(sight: Omit<NeckSight, 'sayCeiling'>, unicode = true): string[] {
  return neckLines({
    instrument: mandolin,
    fingering: d,
    window: { from: 1, to: 8 },
    fretWidth: 4,
    moving: new Set<Finger>([2, 3]),
    planted: new Set<Finger>([4]),
    from: g,
    unicode,
    sight: { ...sight, sayCeiling: false },
  }).map((line) => plainText(line).trimEnd());
}

describe('neckLines', () => {
  it('draws the neck as a right-handed player sees it looking down', () => {
    expect(drawn({ mirrored: false, ceilingUp: false })).toEqual([
      'E ║╌╌╌┼╌╌╌┼╌∙╌┼╌╌╌┼╌╌╌┼╌╌╌┼╌╌╌┼╌╌╌┼',
      'A ║───┼───┼───┼───┼─R─┼───┼───┼───┼',
      'D ║───┼───┼───┼─M─┼─∙─┼───┼───┼───┼',
      'G ║───┼───┼───┼───┼───┼───┼═L═┼───┼',
      '    1   2   3   4   5   6   7   8',
    ]);
  });

  it('mirrors it for a left-handed one', () => {
    expect(drawn({ mirrored: true, ceilingUp: false })).toEqual([
      '┼╌╌╌┼╌╌╌┼╌╌╌┼╌╌╌┼╌╌╌┼╌∙╌┼╌╌╌┼╌╌╌║ E',
      '┼───┼───┼───┼─R─┼───┼───┼───┼───║ A',
      '┼───┼───┼───┼─∙─┼─M─┼───┼───┼───║ D',
      '┼───┼═L═┼───┼───┼───┼───┼───┼───║ G',
      '  8   7   6   5   4   3   2   1',
    ]);
  });

  it('turns it with the ceiling side up', () => {
    expect(drawn({ mirrored: false, ceilingUp: true })).toEqual([
      'G ║───┼───┼───┼───┼───┼───┼═L═┼───┼',
      'D ║───┼───┼───┼─M─┼─∙─┼───┼───┼───┼',
      'A ║───┼───┼───┼───┼─R─┼───┼───┼───┼',
      'E ║╌╌╌┼╌╌╌┼╌∙╌┼╌╌╌┼╌╌╌┼╌╌╌┼╌╌╌┼╌╌╌┼',
      '    1   2   3   4   5   6   7   8',
    ]);
  });

  it('needs no Unicode', () => {
    expect(drawn({ mirrored: false, ceilingUp: false }, false)[3]).toBe(
      'G #---|---|---|---|---|---|=L=|---|',
    );
  });
});

/** Where each finger is drawn: columns to the right, lines up. */
function drawnFingers(
  fingering: Fingering,
  sight: NeckSight,
): ReadonlyMap<string, readonly [number, number]> {
  const lines = neckLines({
    instrument: mandolin,
    fingering,
    window: { from: 1, to: 17 },
    fretWidth: 4,
    moving: new Set(),
    unicode: true,
    sight,
  }).map(plainText);
  return new Map(
    lines.flatMap((line, row) =>
      [...line.matchAll(/(?<=─)[IMRL](?=─)/g)].map((match): [string, readonly [number, number]] => [
        match[0],
        [match.index, -row],
      ]),
    ),
  );
}

const pointsTo: Readonly<Record<string, readonly [number, number]>> = {
  '→': [1, 0],
  '←': [-1, 0],
  '↑': [0, 1],
  '↓': [0, -1],
  '↗': [1, 1],
  '↘': [1, -1],
  '↖': [-1, 1],
  '↙': [-1, -1],
};

describe('the arrow of a glance', () => {
  const shapes = ['G', 'D'].flatMap((root) =>
    [...new Set(stockShapes.map(({ quality }) => quality))].flatMap((quality) =>
      stockFingerings({ root, quality, bass: null }, mandolin),
    ),
  );
  const alone = shapes.filter(
    ({ fingers }) => new Set(fingers.filter(Boolean)).size === fingers.filter(Boolean).length,
  );

  it.each([
    [false, false],
    [true, false],
    [false, true],
    [true, true],
  ])('points where the drawn hand goes: mirrored %s, ceiling up %s', (mirrored, ceilingUp) => {
    const sight = { mirrored, ceilingUp, sayCeiling: false };
    let seen = 0;
    const wrong: string[] = [];
    for (const from of alone) {
      const before = drawnFingers(from, sight);
      for (const to of alone) {
        const way = motion(from, to, mandolin);
        const arrow = pointsTo[prompt(way, sight).glance[0] as string];
        const { frets, courses } = handMove(way);
        if (!arrow || way.moves.length === 0) continue;
        seen += 1;
        const after = drawnFingers(to, sight);
        const went = way.moves.map(({ finger }) => {
          const letter = 'xIMRL'[finger] as string;
          const [[left, low], [right, high]] = [before.get(letter) ?? [0, 0], after.get(letter) ?? [0, 0]];
          return [Math.sign(right - left), Math.sign(high - low)] as const;
        });
        // Across, every finger goes where the arrow points; along, none of a hand that shifts as one goes the other way.
        const aside = new Set(went.map(([one]) => one));
        const agrees =
          (courses === null || went.every(([, up]) => up === arrow[1])) &&
          (!way.shared || went.every(([one]) => one === arrow[0])) &&
          (frets === 0 || aside.size > 1 || aside.has(arrow[0]));
        if (!agrees) wrong.push(`${fretsText(from.frets)} to ${fretsText(to.frets)}`);
      }
    }
    expect(wrong).toEqual([]);
    expect(seen).toBeGreaterThan(300);
  });
});
