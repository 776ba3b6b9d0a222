import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readSettings } from '../../src/config/settings.js';
import { fretsText } from '../../src/hand/fingering.js';
import { mandolin } from '../../src/hand/instrument.js';
import { usualPrices } from '../../src/hand/motion.js';
import { planHand } from '../../src/hand/plan.js';
import { usualHand } from '../../src/hand/player-hand.js';
import { stockShapes } from '../../src/hand/stock.js';
import { changes } from '../hand/charts.js';

const folder = mkdtempSync(join(tmpdir(), 'barkline-settings-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function settings(text: string) {
  writeFileSync(join(folder, 'settings.yaml'), text);
  const { settings: read, faults } = readSettings(folder);
  return { ...read, told: faults.map((fault) => fault.replace(/^.*settings\.yaml:/, '')) };
}

describe('readSettings', () => {
  it('is as usual where nothing is set, or there is no file', () => {
    const { settings: none, faults } = readSettings(join(folder, 'nowhere'));
    expect([none.hand, none.prices, none.shapes, none.singers.size, faults]).toEqual([
      usualHand,
      usualPrices,
      stockShapes,
      0,
      [],
    ]);
  });

  it('reads singers, a hand, prices, known shapes and shapes of one’s own', () => {
    const read = settings(`singers:
  Ansa: A3-D5
hand:
  reach:
    index-little: 90
  without: ring
prices:
  slope: 80
known: four-finger, three-finger
shapes:
  - name: high three
    chord: G
    frets: x-9-10-7
    fingers: '- middle ring index'
`);
    expect(read.told).toEqual([]);
    expect(read.singers.get('Ansa')).toEqual({ low: 57, high: 74 });
    expect(read.hand).toMatchObject({ spans: { ...usualHand.spans, '14': 90 }, without: [3] });
    expect(read.prices).toEqual({ ...usualPrices, slope: 80 });
    expect(new Set(read.shapes.map((shape) => shape.name))).toEqual(
      new Set(['four-finger', 'three-finger', null, 'high three']),
    );
    expect(read.shapes.at(-1)).toEqual({
      name: 'high three',
      quality: 'major',
      root: 'G',
      frets: 'x-9-10-7',
      fingers: ['x231'],
      source: 'own',
    });
  });

  it.each([
    ['hand: tiny\n', '1:7: “tiny” is no hand; there are usual, small, large'],
    ['hand:\n  reach:\n    index-pinky: 90\n', '3:5: “index-pinky” is no pair of fingers'],
    ['hand:\n  without: thumb\n', '2:12: “thumb” is no finger'],
    ['prices:\n  slope: fast\n', '2:10: slope “fast” is no number'],
    ['known: four-fingers\n', '1:8: “four-fingers” is no stock shape; did you mean “four-finger”?'],
    ['shapes:\n  - chord: G\n    frets: 7-5-2\n', '2:5: a shape has “chord: G”'],
    ['colour: red\n', '1:1: “colour” is no setting'],
  ])('%j is told, and the rest holds', (text, wanted) => {
    expect(settings(text).told.join('\n')).toContain(wanted);
    expect(settings(`${text}singers:\n  Ansa: A3-D5\n`).singers.size).toBe(1);
  });

  it('a hand without the little finger, and only the shapes it knows, make another plan', () => {
    const { hand, shapes } = settings('hand:\n  without: little\nknown: three-finger\n');
    const plan = planHand(changes('1 4 1 5', 'C'), mandolin, { hand, shapes });
    for (const change of plan.changes) {
      expect(change.fingering?.fingers).not.toContain(4);
      expect(fretsText(change.fingering?.frets ?? []).endsWith('-x')).toBe(true);
    }
  });
});
