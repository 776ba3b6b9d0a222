import { describe, expect, it } from 'vitest';
import { unroll } from '../../src/chart/unroll.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { changesOf } from '../../src/hand/changes.js';
import { type Instrument, instruments, tunedInFifths } from '../../src/hand/instrument.js';
import { planHand } from '../../src/hand/plan.js';
import { type Chord, chordName, chordTones } from '../../src/theory/chord.js';
import { demoChart, keyOf } from '../ui/model.js';

/*
 * Frames by the text of MusicXML 4.0 (W3C Music Notation Community Group, 2021):
 * - musicxml-reference/elements/frame: frame-strings, frame-frets, first-fret (optional), frame-note (one or more), in this order.
 * - musicxml-reference/elements/string: “String numbers start with 1 for the highest pitched full-length string.”
 * - musicxml-reference/elements/fret: “Fret numbers start with 0 for an open string and 1 for the first fret.”
 * - musicxml-reference/elements/first-fret: “which fret is shown in the top space of the frame; it is fret 1 if the element is
 *   not present.”
 * - musicxml-reference/elements/frame-note: “An open string will have a fret value of 0, while a muted string will not be
 *   associated with a frame-note element.”
 * - tutorial/chord-symbols-and-diagrams: “the first fret we see in the diagram corresponds to the sixth fret on the guitar”, with
 *   first-fret 6 and notes on the frets 7, 7, 6, 5, 5: a note's fret counts from the nut, not from the frame's top.
 */

interface Frame {
  readonly strings: number;
  readonly frets: number;
  readonly first: number;
  readonly notes: readonly { readonly string: number; readonly fret: number }[];
}

const framePattern =
  /<frame><frame-strings>(\d+)<\/frame-strings><frame-frets>(\d+)<\/frame-frets>(?:<first-fret>(\d+)<\/first-fret>)?((?:<frame-note>.*?<\/frame-note>)+)<\/frame>/g;

function framesOf(text: string): Frame[] {
  return [...text.matchAll(framePattern)].map(([, strings, frets, first, notes = '']) => ({
    strings: Number(strings),
    frets: Number(frets),
    first: Number(first ?? 1),
    notes: [...notes.matchAll(/<string>(\d+)<\/string><fret>(\d+)<\/fret>/g)].map(([, string, fret]) => ({
      string: Number(string),
      fret: Number(fret),
    })),
  }));
}

/** A chart's frames on an instrument in a key, each with its chord. */
function drawn(name: string, key: string, instrument: Instrument): { frame: Frame; chord: Chord }[] {
  const chart = demoChart(name);
  const { sheet } = sheetFromChart(chart, keyOf(key));
  const plan = planHand(changesOf(unroll(chart, { key: keyOf(key), final: true }).bars), instrument);
  const chords: Chord[] = [];
  const text = musicXml(sheet, {
    courses: instrument.courses.length,
    fingeringOf: (bar, place) => {
      const chord = sheet.bars[bar]?.chords[place]?.chord;
      const shape = chord && plan.changes.find((one) => chordName(one.chord) === chordName(chord))?.fingering;
      if (chord && shape) chords.push(chord);
      return shape ?? null;
    },
  });
  const frames = framesOf(text);
  expect(frames).toHaveLength(chords.length);
  expect(text.match(/<frame>/g)?.length ?? 0).toBe(chords.length);
  return frames.map((frame, index) => ({ frame, chord: chords[index] as Chord }));
}

describe('frames', () => {
  const inFifths = instruments.filter(tunedInFifths);

  it.each(inFifths)(
    'on the $name sound the chord they stand with, string by string from the highest',
    (instrument) => {
      const opens = instrument.courses.map(({ open }) => open).sort((one, other) => other - one);
      let count = 0;
      for (const [name, key] of [
        ['nine-barges-late', 'Bb'],
        ['half-a-mile-of-fog', 'E'],
        ['copperwort-lane', 'A'],
        ['lockkeepers-candle', 'Db'],
      ] as const)
        for (const { frame, chord } of drawn(name, key, instrument)) {
          const tones = [
            ...chordTones(chord),
            ...(chord.bass ? chordTones({ ...chord, root: chord.bass }).slice(0, 1) : []),
          ];
          for (const { string, fret } of frame.notes)
            expect(tones).toContain(((opens[string - 1] as number) + fret) % 12);
          count += 1;
        }
      expect(count).toBeGreaterThan(40);
    },
  );

  it.each(instruments)(
    'on the $name are as large as what is in them, and begin where they say',
    (instrument) => {
      for (const key of ['C', 'Gb', 'A'])
        for (const { frame } of drawn('nine-barges-late', key, instrument)) {
          expect(frame.strings).toBe(instrument.courses.length);
          const strings = frame.notes.map(({ string }) => string);
          expect(new Set(strings).size).toBe(strings.length);
          for (const { string, fret } of frame.notes) {
            expect(string >= 1 && string <= frame.strings).toBe(true);
            expect(fret === 0 || (fret >= frame.first && fret < frame.first + frame.frets)).toBe(true);
          }
        }
    },
  );
});
