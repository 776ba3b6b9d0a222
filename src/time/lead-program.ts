import type { Chart, PlayedBar } from '../chart/chart.js';

/*
 * Programs of the General MIDI sound set (General MIDI System Level 1, MMA 1991), counted from 0. Below each number the name it has
 * there: what sounds like whoever leads.
 */

/** 41, Violin. */
export const fiddleProgram = 40;
/** 54, Voice Oohs. */
export const singerProgram = 53;
const programs: Readonly<Record<string, number>> = {
  fiddle: fiddleProgram,
  violin: fiddleProgram,
  // 42, Viola; 43, Cello; 33, Acoustic Bass.
  viola: 41,
  cello: 42,
  bass: 32,
  // 106, Banjo.
  banjo: 105,
  // 26, Acoustic Guitar (steel): there is no mandolin, and no resonator guitar.
  guitar: 25,
  dobro: 25,
  mandolin: 25,
  mandola: 25,
  'octave mandolin': 25,
  bouzouki: 25,
  // 22, Accordion; 23, Harmonica; 76, Pan Flute for a whistle is too breathy: 79, Whistle; 74, Flute.
  accordion: 21,
  harmonica: 22,
  whistle: 78,
  flute: 73,
  // 1, Acoustic Grand Piano.
  piano: 0,
  singer: singerProgram,
  singers: singerProgram,
  voice: singerProgram,
  vocal: singerProgram,
  vocals: singerProgram,
  all: fiddleProgram,
};

/**
 * The program of whoever leads in a bar: of an instrument its own, of anybody else a voice. Where nobody is named somebody sings,
 * if the section has words, and else a fiddle leads.
 */
export function leaderProgram(chart: Chart, { who, source }: Pick<PlayedBar, 'who' | 'source'>): number {
  if (who !== null) {
    const name = who.trim().toLowerCase();
    if (name === 'me') return programs.mandolin as number;
    return Object.hasOwn(programs, name) ? (programs[name] as number) : singerProgram;
  }
  const lines = chart.sections[source.section]?.lines ?? [];
  return lines.some(({ words }) => words !== undefined) ? singerProgram : fiddleProgram;
}
