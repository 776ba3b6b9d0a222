import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { partNames } from '../../../../src/band/parts.js';
import { bandLines } from '../../../../src/ui/draw/band/band-lines.js';
import { nextSongLines } from '../../../../src/ui/draw/band/next-song.js';
import { waitingLines } from '../../../../src/ui/draw/band/waiting.js';
import { type Line, lineWidth } from '../../../../src/ui/draw/line.js';
import { standLines } from '../../../../src/ui/draw/stand.js';
import { bandScene } from './stage.js';

/** What somebody may call themselves, a song or their network: long, wide, or meant to do harm. */
const name = fc.oneof(
  fc.string({ maxLength: 200 }),
  fc.string({ unit: 'grapheme', maxLength: 60 }),
  fc.constantFrom('川'.repeat(50), '\u001b[2J\u202e', 'a b'.repeat(60), ''),
);
const size = fc.record({
  columns: fc.integer({ min: 60, max: 150 }),
  rows: fc.integer({ min: 18, max: 50 }),
});

describe('the screens of a band', () => {
  it('have a line less than the terminal and none too wide, whatever the others are called', () => {
    const charts = ['sung', 'weir-hands', 'copperwort-lane', 'tollhouse-kettle'] as const;
    fc.assert(
      fc.property(
        size,
        fc.record({
          chart: fc.constantFrom(...charts),
          part: fc.constantFrom(...partNames),
          far: fc.boolean(),
          unicode: fc.boolean(),
          leads: fc.boolean(),
          at: fc.record({ bar: fc.integer({ min: 0, max: 15 }), beat: fc.integer({ min: 0, max: 1 }) }),
        }),
        fc.record({
          names: fc.array(name, { maxLength: 25 }),
          said: name,
          trouble: name,
          songs: fc.array(fc.record({ title: name, key: fc.constantFrom('A', 'Bb', 'F#m', null) }), {
            maxLength: 40,
          }),
          notes: fc.array(name, { maxLength: 10 }),
          capo: fc.constantFrom(null, 0, 7),
          talks: fc.boolean(),
          isUp: fc.boolean(),
          look: fc.constantFrom(null, 3),
          carried: fc.boolean(),
        }),
        ({ columns, rows }, scene, others) => {
          const { names, said, trouble, songs, notes } = others;
          const model = bandScene({
            ...scene,
            columns,
            rows,
            band: {
              up: others.isUp,
              notes,
              set: { title: said, songs, at: songs.length > 0 ? songs.length - 1 : null },
              members: new Map(
                names.map((one, index) => [`${index}`, { id: `${index}`, name: one, part: 'banjo' }]),
              ),
              names: new Map([['ada', said]]),
            },
            view: {
              capo: others.capo,
              trouble,
              isClass: scene.leads,
              talk: others.talks ? { from: said, text: trouble, until: 1 } : null,
              place: { word: said, address: trouble, carried: others.carried },
              requests: names.map((title) => ({ from: said, title })),
              results: new Map([['0', { from: said, pass: 3, line: trouble }]]),
            },
          });
          const seen =
            model.mode.kind === 'follow' && others.look !== null
              ? { ...model, mode: { ...model.mode, look: { bar: others.look, left: 2 } } }
              : model;
          const fits = (lines: readonly Line[]): void => {
            expect(lines).toHaveLength(rows - 1);
            for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(columns);
          };
          fits(standLines(seen));
          fits(nextSongLines(seen));
          fits(waitingLines(seen));
          fits(bandLines(seen, { kind: 'band', chosen: others.capo ?? 0, whose: others.talks }));
        },
      ),
      { numRuns: 60 },
    );
  });
});
