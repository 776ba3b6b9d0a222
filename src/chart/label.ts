import { type Chord, chordName } from '../theory/chord.js';
import { withSigns } from '../theory/key.js';
import { degreeText, type NumberChord } from '../theory/number.js';
import { quality } from '../theory/quality.js';
import type { FormWay, PlayedBar, PlayedCell, Tempo, WayMark } from './chart.js';
import { slowingFrom } from './slowing.js';

/** A tempo with its unit, for people: `200 quarters a minute`. */
export function tempoLabel(tempo: Tempo): string {
  const unit = { quarter: 'quarters', half: 'halves', dotted: 'dotted quarters' }[tempo.count];
  return `${tempo.bpm} ${unit} a minute`;
}

/** A tempo with its unit, for a head line: `200 ♩`; without Unicode `200 quarters`. (The half note's sign is outside most fonts.) */
export function shortTempo(tempo: Tempo, unicode: boolean): string {
  const words = { quarter: 'quarters', half: 'halves', dotted: 'dotted' };
  const signs = { quarter: '♩', half: 'halves', dotted: '♩.' };
  return `${tempo.bpm} ${(unicode ? signs : words)[tempo.count]}`;
}

/** A form word, for people: `from the sign, to the coda`. */
export function wayLabel({ from, to }: FormWay): string {
  return `from the ${from}${to === null ? '' : to === 'coda' ? ', to the coda' : ', to the end (fine)'}`;
}

/** Marks in words, for people. */
export const markWords: Readonly<Record<WayMark, string>> = {
  sign: 'sign',
  'to-coda': 'to coda',
  fine: 'fine',
};

/** The marks of a bar in words: `sign`, `to coda`, `fine`; on the first bar of a form word that too: `from the sign`. */
export function wayMarks({ marks, way }: Pick<PlayedBar, 'marks' | 'way'>): readonly string[] {
  // At “from the sign” the sign itself need not be shown as well.
  const shown = (marks ?? []).filter((mark) => mark !== 'sign' || way?.from !== 'sign');
  return [...(way ? [wayLabel(way)] : []), ...shown.map((mark) => markWords[mark])];
}

const raised = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** Figures as superscripts. */
function raise(figures: string): string {
  return [...figures].map((figure) => raised[Number(figure)]).join('');
}

/** A number for the screen: the superscript raised where there are such figures, the caret dropped elsewhere. */
export function numberLabel(number: NumberChord, unicode: boolean): string {
  const mark = quality(number.quality).mark;
  const bass = number.bass ? `/${degreeText(number.bass)}` : '';
  if (!unicode) return degreeText(number) + mark + bass;
  const [base = '', above = ''] = mark.split('^');
  return (
    withSigns(degreeText(number)) +
    base.replace('o', '°') +
    withSigns(above.replace(/^\d+/, raise)) +
    withSigns(bass.slice(1) && bass)
  );
}

/** A chord for the screen: `B♭m7`. */
export function chordLabel(chord: Chord, unicode: boolean): string {
  return unicode ? withSigns(chordName(chord)) : chordName(chord);
}

/**
 * A cell's marks around its label: early before it, ringing, stopped or held after it. A held chord has the notation's own
 * sign: the fermata of the musical symbols is one or two columns wide, or none, by the terminal.
 */
export function withMarks(
  label: string,
  cell: Pick<PlayedCell, 'early' | 'ending'> & { readonly hold?: unknown },
): string {
  const ending = cell.hold === undefined ? { plain: '', ring: '~', stop: '!' }[cell.ending] : '_';
  return (cell.early ? "'" : '') + label + ending;
}

/** What is shown at the bar where a ritardando begins; nothing for other bars. */
export function slowingMarks(bars: readonly PlayedBar[], index: number): string[] {
  const percent = slowingFrom(bars, index);
  return percent === null ? [] : [`rit. to ${percent}%`];
}

/** What is shown at a bar of a pass after its cues: that a ritardando begins with it, and that the band stops after it. */
export function timeMarksAt(bars: readonly PlayedBar[], index: number): string[] {
  return [...slowingMarks(bars, index), ...(bars[index]?.wait === undefined ? [] : ['then stop'])];
}
