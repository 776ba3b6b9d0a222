import { describe, expect, it } from 'vitest';
import { type Finger, type Fingering, parseFrets } from '../../../src/hand/fingering.js';
import { mandolin } from '../../../src/hand/instrument.js';
import { plainText } from '../../../src/ui/draw/line.js';
import { glanceAsSeen, neckLines } from '../../../src/ui/draw/neck.js';
import type { NeckSight } from '../../../src/ui/state/look.js';

const fingers = (text: string): Fingering['fingers'] =>
  text.split('-').map((one) => (one === 'x' ? null : (Number(one) as Finger)));
/** The G chop and, below it in the family, its C (facts of the trade: common practice). */
const g: Fingering = { frets: parseFrets('7-5-2-3'), fingers: fingers('4-3-1-2'), shape: null, remark: '' };
const d: Fingering = { frets: parseFrets('7-4-5-x'), fingers: fingers('4-2-3-x'), shape: null, remark: '' };

function drawn(sight: NeckSight, unicode = true): string[] {
  return neckLines({
    instrument: mandolin,
    fingering: d,
    window: { from: 1, to: 8 },
    fretWidth: 4,
    moving: new Set<Finger>([2, 3]),
    planted: new Set<Finger>([4]),
    from: g,
    unicode,
    sight,
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

describe('glanceAsSeen', () => {
  it.each([
    ['→ bridge 2', '← bridge 2', '→ bridge 2', '← bridge 2'],
    ['↓ bass', '↓ bass', '↑ bass', '↑ bass'],
    ['↗ bridge 1', '↖ bridge 1', '↘ bridge 1', '↙ bridge 1'],
    ['↖ nut 2', '↗ nut 2', '↙ nut 2', '↘ nut 2'],
    ['stay: little', 'stay: little', 'stay: little', 'stay: little'],
  ])('%s points where the player sees the hand go', (glance, mirrored, turned, both) => {
    expect(glanceAsSeen(glance, { mirrored: false, ceilingUp: false })).toBe(glance);
    expect(glanceAsSeen(glance, { mirrored: true, ceilingUp: false })).toBe(mirrored);
    expect(glanceAsSeen(glance, { mirrored: false, ceilingUp: true })).toBe(turned);
    expect(glanceAsSeen(glance, { mirrored: true, ceilingUp: true })).toBe(both);
  });
});
