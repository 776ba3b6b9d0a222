import fc from 'fast-check';
import { enableLogToBuffer, VerovioToolkit } from 'verovio/esm';
import createModule from 'verovio/wasm';
import { describe, expect, it } from 'vitest';
import { staffNumber } from '../../src/chart/tune/tune-pitch.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import type { LeadSheet } from '../../src/exchange/lead-sheet.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chartOfAbc, seededTunes } from './tune-charts.js';

const module = await createModule();
enableLogToBuffer(true, module);
const toolkit = new VerovioToolkit(module);

/** The notes that the library has of a text, as they are written: letter and octave, those that only go on from a tie left out. */
function engravedNotes(text: string): readonly string[] {
  if (toolkit.loadData(text) !== 1) throw new Error(`it is not read: ${toolkit.getLog()}`);
  const mei = toolkit.getMEI({});
  const ends = new Set([...mei.matchAll(/<tie [^>]*endid="#([^"]+)"/g)].map(([, id]) => id));
  return [...mei.matchAll(/<note ([^>]*)>/g)].flatMap(([, attributes = '']) => {
    const value = (name: string): string =>
      new RegExp(`(?:^| )${name}="([^"]*)"`).exec(attributes)?.[1] ?? '';
    return ends.has(value('xml:id')) || /^[mt]$/.test(value('tie'))
      ? []
      : [`${value('pname')}${value('oct')}`];
  });
}

/** The same of a sheet. */
function sheetNotes({ bars }: LeadSheet): readonly string[] {
  let tied = false;
  return bars.flatMap(({ notes = [] }) =>
    notes.flatMap(({ staff, tie }) => {
      const goesOn = tied;
      tied = tie;
      if (!staff || goesOn) return [];
      return [`${'cdefgab'[staff.step % 7]}${Math.floor(staff.step / 7)}`];
    }),
  );
}

describe('a tune engraved by a general library', () => {
  it('has every note of the chart', () => {
    fc.assert(
      fc.property(seededTunes, (text) => {
        const chart = chartOfAbc(text);
        const { sheet } = sheetFromChart(chart, chart.key);
        const notes = sheetNotes(sheet);
        expect(notes.length).toBeGreaterThan(0);
        expect(engravedNotes(musicXml(sheet))).toEqual(notes);
        const abc = abcText(sheet);
        // Of tuplets of as many notes as they do not name, `(3:2:2`, and of those with a rest, `(3AzG`, the library loses notes.
        const other = [...abc.matchAll(/\((\d):\d:(\d)/g)].some(([, p, r]) => p !== r);
        if (!other && !/\(\d[^()| ]*z/.test(abc)) expect(engravedNotes(abc)).toEqual(notes);
      }),
      { numRuns: 12 },
    );
  });

  it('counts staff places as MIDI does', () => {
    expect([28, 30, 33, 35].map((step) => staffNumber({ step, alter: 0 }))).toEqual([60, 64, 69, 72]);
  });
});
