import { good } from '../base/outcome.js';
import { wayText } from '../chart/write.js';
import { type Fingering, fretsText } from '../hand/fingering.js';
import { abcText } from './abc-write.js';
import { sheetFromChart, type ToSheet } from './chart-to-sheet.js';
import type { SongWriter } from './format.js';
import type { LeadSheet } from './lead-sheet.js';
import { musicXml } from './musicxml-write.js';
import { type Song, shapesOf } from './song.js';

/** A song as ABC; frets below each chord where shapes are wanted. */
export const writeAbc: SongWriter = (song, { shapes }) => {
  const { sheet, lost } = sheetOf(song);
  if (!shapes) return good({ content: abcText(sheet), lost });
  const shapeAt = shapesIn(song, sheet);
  const above = (bar: number, place: number): string => {
    const shape = shapeAt(bar, place);
    return shape ? fretsText(shape.frets) : '';
  };
  return good({ content: abcText(sheet, { above }), lost });
};

/** A song as MusicXML; frames with fingers where shapes are wanted. */
export const writeScore: SongWriter = (song, { shapes }) => {
  const { sheet, lost } = sheetOf(song);
  const { chart, instrument } = song.setup;
  const content = musicXml(sheet, {
    courses: instrument.courses.length,
    instrument: { name: instrument.name, program: chart.midi ?? 26 },
    ...(sheet.form && sheet.form.length > 1 ? { form: formText(song) } : {}),
    ...(shapes ? { fingeringOf: shapesIn(song, sheet) } : {}),
  });
  return good({ content, lost });
};

/** The chart as a lead sheet, in the song's key and tempo. */
function sheetOf({ setup: { chart, key, bpm } }: Song): ToSheet {
  return sheetFromChart({ ...chart, tempo: { ...chart.tempo, bpm: Math.round(bpm) } }, key);
}

/** The shape of a chord of the sheet, by its bar and its place there. */
function shapesIn(song: Song, sheet: LeadSheet): (bar: number, place: number) => Fingering | null {
  const shapeOf = shapesOf(song);
  return (bar, place) => {
    const chord = sheet.bars[bar]?.chords[place]?.chord;
    return chord ? shapeOf(chord) : null;
  };
}

function formText({ setup: { chart } }: Song): string {
  return chart.form
    .map(({ section, times, way }) => (way ? wayText(way) : times > 1 ? `${section} x${times}` : section))
    .join(', ');
}
