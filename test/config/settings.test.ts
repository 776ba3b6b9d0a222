import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readSettings } from '../../src/config/settings.js';
import { fretsText } from '../../src/hand/fingering.js';
import { mandolin } from '../../src/hand/instrument.js';
import { planHand } from '../../src/hand/plan.js';
import { usualHand } from '../../src/hand/player-hand.js';
import { usualPrices } from '../../src/hand/prices.js';
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
    ['hand: tiny\n', '1:7: “tiny” is not a hand; write usual, small, large'],
    ['hand:\n  reach:\n    index-pinky: 90\n', '3:5: “index-pinky” is not a pair of fingers'],
    ['hand:\n  without: thumb\n', '2:12: “thumb” is not a finger'],
    ['prices:\n  slope: fast\n', '2:10: slope “fast” is not a number'],
    ['known: four-fingers\n', '1:8: “four-fingers” is not a stock shape; did you mean “four-finger”?'],
    ['shapes:\n  - chord: G\n    frets: 7-5-2\n', '2:5: a shape has “chord: G”'],
    ['colour: red\n', '1:1: “colour” is not a setting'],
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

  it('reads keys, how the neck is seen, when a rest is due, and what lies behind the text', () => {
    const words = {
      actions: ['play', 'tap', 'faster'],
      isKey: (text: string) => text.length === 1 || text === 'space',
    };
    const read = (text: string) => {
      writeFileSync(join(folder, 'settings.yaml'), text);
      const { settings: one, faults } = readSettings(folder, words);
      return { ...one, told: faults.map((fault) => fault.replace(/^.*settings\.yaml:/, '')) };
    };
    const all = read(
      'keys:\n  play: space, p\n  tap: m\nneck: left-handed, ceiling up\nrest: 40\nbackground: light\n',
    );
    expect(all.told).toEqual([]);
    expect([...all.keys]).toEqual([
      ['play', ['space', 'p']],
      ['tap', ['m']],
    ]);
    expect(all).toMatchObject({
      neck: { mirrored: true, ceilingUp: true, sayCeiling: false },
      rest: 40,
      background: 'light',
    });
    expect(read('rest: off').rest).toBeNull();
    expect(read('home: 5-9').home).toEqual({ low: 5, high: 9 });
    expect(read('rest: off').home).toBe('low');
    expect(read('hand: small').rest).toBeUndefined();
  });

  it.each([
    ['keys:\n  pley: p\n', '2:3: “pley” is not an action; did you mean “play”?'],
    ['keys:\n  play: shift\n', /^2:9: “shift” is not a key; write a character/],
    ['keys:\n  play:\n', /^2:3: “” is not a key/],
    ['keys: p\n', '1:7: write each action on a line below it: “  play: space, p”'],
    ['neck: left\n', /^1:7: “left” is not a view of the neck/],
    ['home: 9-5\n', '1:7: “9-5” is not a position on the neck; write low, high, or frets such as 5-9'],
    ['rest: never\n', '1:7: rest must be minutes from 1 to 240, or off, not “never”'],
    ['rest: 0\n', '1:7: rest must be minutes from 1 to 240, or off, not “0”'],
    ['background: blue\n', '1:13: background must be light or dark, not “blue”'],
  ])('says of %j what is wrong', (text, told) => {
    writeFileSync(join(folder, 'settings.yaml'), text);
    const words = { actions: ['play', 'tap'], isKey: (one: string) => one.length === 1 || one === 'space' };
    const [fault = ''] = readSettings(folder, words).faults.map((one) =>
      one.replace(/^.*settings\.yaml:/, ''),
    );
    if (typeof told === 'string') expect(fault).toBe(told);
    else expect(fault).toMatch(told);
  });
});

describe('listening in the settings', () => {
  it.each([
    ['listen: on', { on: true, level: 'steady' }],
    ['listen: off', { on: false, level: 'steady' }],
    ['listen: on, job', { on: true, level: 'job' }],
    ['listen: learning', { on: false, level: 'learning' }],
    ['hand: small', { on: false, level: 'steady' }],
  ])('reads %s', (text, wanted) => {
    const read = settings(text);
    expect([read.listen, read.told]).toEqual([wanted, []]);
  });

  it.each([
    ['listen: on, stedy', '1:9: “stedy” is not a value of listen; did you mean “steady”?'],
    ['listen: on, off', '1:9: listen “on, off” has values that exclude each other'],
    ['microphone: "raw:"', '1:13: microphone “raw:”: raw: the path is missing; write raw:PATH'],
    ['listn: on', '1:1: “listn” is not a setting; did you mean “listen”?'],
  ])('says what is wrong with %s', (text, says) => {
    const read = settings(text);
    expect(read.told).toHaveLength(1);
    expect(read.told[0]).toContain(says.slice(5));
    expect([read.listen, read.microphone]).toEqual([{ on: false, level: 'steady' }, null]);
  });

  it('reads a microphone as the command line has it', () => {
    expect(settings('microphone: Desk Mic').microphone).toEqual({ kind: 'microphone', name: 'Desk Mic' });
    expect(settings('microphone: raw:44100:/tmp/x').microphone).toEqual({
      kind: 'raw',
      path: '/tmp/x',
      rate: 44_100,
    });
  });
});
