import { replaceUnsafe } from '../base/safe-text.js';
import { countedQuarters, feltBeats, type Meter, quartersPerBeat, type Tempo } from '../chart/chart.js';
import { type NoteToWrite, StaffWriter } from '../chart/tune/note-text.js';
import { partsPerQuarter } from '../chart/tune/tune.js';
import { signatureOfFifths } from '../chart/tune/tune-pitch.js';
import type { Fingering } from '../hand/fingering.js';
import type { Chord } from '../theory/chord.js';
import { type Key, keySignature } from '../theory/key.js';
import { quality } from '../theory/quality.js';
import { fewestDivisions } from './fewest-divisions.js';
import { harmonyKinds } from './harmony-kinds.js';
import type { LeadSheet, SheetBar, SheetChord } from './lead-sheet.js';
import { notesLasting } from './melody.js';
import { melodyXml } from './musicxml-melody.js';
import { backWords } from './way-signs.js';

/** What a score can have besides chords: the shape of a chord, and how many courses the instrument has. */
export interface MusicXmlOptions {
  readonly fingeringOf?: (bar: number, chord: number) => Fingering | null;
  readonly courses?: number;
  /** What the part is called, and its General MIDI program, from 1. */
  readonly instrument?: { readonly name: string; readonly program: number };
  /** The form in words, at the head of the score. */
  readonly form?: string;
}

/** Divisions of a quarter: as many as the timeline has ticks. */
const divisions = 960;

/**
 * A lead sheet as MusicXML 4.0 (W3C): harmony with kind, degrees, bass and frames over slashes, rehearsal marks, repeats and
 * endings as written, tempo, changes of key and meter. A frame's string 1 is the highest, as the standard has it.
 */
export function musicXml(sheet: LeadSheet, options: MusicXmlOptions = {}): string {
  let meter = sheet.meter;
  let inEnding: readonly number[] | null = null;
  let signature = keySignature(sheet.key);
  const melody = sheet.bars.some(({ notes }) => notes) ? new StaffWriter() : null;
  let tied = false;
  const measures = sheet.bars.map((bar, index) => {
    meter = bar.meter ?? meter;
    const ending = bar.ending ?? inEnding;
    inEnding = bar.endsEnding ? null : ending;
    signature = bar.key ? keySignature(bar.key) : signature;
    const notes = melody && {
      notes: melody.notes(notesLasting(bar.notes ?? [], partsIn(bar.length)), signatureOfFifths(signature)),
      tied,
    };
    tied = notes?.notes.at(-1)?.tie ?? false;
    return measureXml(sheet, bar, index, { meter, ending, signature, melody: notes }, options);
  });
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">',
    '<score-partwise version="4.0">',
    `  <work><work-title>${escaped(sheet.title)}</work-title></work>`,
    ...(sheet.by === null
      ? []
      : [`  <identification><creator type="composer">${escaped(sheet.by)}</creator></identification>`]),
    partList(options.instrument ?? { name: 'Rhythm', program: 26 }),
    '  <part id="P1">',
    ...(melody ? fewestDivisions(measures) : measures),
    '  </part>',
    '</score-partwise>',
    '',
  ].join('\n');
}

function partsIn(quarters: number): number {
  return Math.round(quarters * partsPerQuarter);
}

/** The notes of a measure, and whether the first goes on from the one before. */
interface MeasureNotes {
  readonly notes: readonly NoteToWrite[];
  readonly tied: boolean;
}

function partList({ name, program }: NonNullable<MusicXmlOptions['instrument']>): string {
  const partName = escaped(name);
  return `  <part-list><score-part id="P1"><part-name>${partName}</part-name><score-instrument id="P1-I1"><instrument-name>${partName}</instrument-name><instrument-sound>pluck.mandolin</instrument-sound></score-instrument><midi-instrument id="P1-I1"><midi-channel>1</midi-channel><midi-program>${program}</midi-program></midi-instrument></score-part></part-list>`;
}

/** Text as XML 1.0 has it: what it forbids is left out, and what could steer a terminal is written as a reference. */
function escaped(text: string): string {
  const allowed = text
    .replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;');
  return replaceUnsafe(allowed, (character) => `&#x${(character.codePointAt(0) ?? 0).toString(16)};`);
}

function measureXml(
  sheet: LeadSheet,
  bar: SheetBar,
  index: number,
  {
    meter,
    ending,
    signature,
    melody,
  }: { meter: Meter; ending: readonly number[] | null; signature: number; melody: MeasureNotes | null },
  options: MusicXmlOptions,
): string {
  const first = index === 0;
  const key = bar.key ?? (first ? sheet.key : null);
  const time = bar.meter ?? (first ? sheet.meter : null);
  const tempo = bar.tempo ?? (first ? sheet.tempo : null);
  const numbers = ending?.join(', ') ?? '';
  const left = [
    ...(bar.ending ? [`<ending number="${numbers}" type="start"/>`] : []),
    ...(bar.opens ? ['<repeat direction="forward"/>'] : []),
  ];
  const right = [
    ...(bar.endsEnding && ending
      ? [`<ending number="${numbers}" type="${bar.closes === null ? 'discontinue' : 'stop'}"/>`]
      : []),
    ...(bar.closes === null
      ? []
      : [`<repeat direction="backward"${bar.closes === 2 ? '' : ` times="${bar.closes}"`}/>`]),
  ];
  return [
    `    <measure number="${index + 1}">`,
    ...(bar.line && !first ? ['      <print new-system="yes"/>'] : []),
    ...(left.length > 0
      ? [
          `      <barline location="left">${bar.opens ? '<bar-style>heavy-light</bar-style>' : ''}${left.join('')}</barline>`,
        ]
      : []),
    ...attributes(key, time, first, melody !== null),
    ...(first && options.form ? [words(`form: ${options.form}`)] : []),
    ...(bar.section
      ? [
          `      <direction placement="above"><direction-type><rehearsal>${escaped(bar.section)}</rehearsal></direction-type></direction>`,
        ]
      : []),
    ...(tempo ? [tempoXml(tempo)] : []),
    ...(bar.words ?? []).map((text, line) => phraseXml(text, `words-${index + 1}-${line + 1}`)),
    ...(bar.marks?.includes('sign') ? [wayXml('<segno/>', 'segno="segno"')] : []),
    ...(bar.coda ? [wayXml('<coda/>', 'coda="coda"')] : []),
    ...bar.cues.map(words),
    ...(melody ? notedXml(bar, index, melody, options) : bodyXml(bar, index, meter, signature, options)),
    ...(bar.marks?.includes('to-coda')
      ? [wayXml('<words>To Coda</words></direction-type><direction-type><coda/>', 'tocoda="coda"')]
      : []),
    ...(bar.marks?.includes('fine') ? [wayXml('<words>Fine</words>', 'fine="yes"')] : []),
    ...(bar.back
      ? [
          wayXml(
            `<words>${backWords(bar.back)}</words>`,
            bar.back.from === 'sign' ? 'dalsegno="segno"' : 'dacapo="yes"',
          ),
        ]
      : []),
    ...(right.length > 0
      ? [
          `      <barline location="right">${bar.closes === null ? '' : '<bar-style>light-heavy</bar-style>'}${right.join('')}</barline>`,
        ]
      : []),
    '    </measure>',
  ].join('\n');
}

/** A sign of the way: as it is seen, and as programs are told. */
function wayXml(seen: string, sound: string): string {
  return `      <direction placement="above"><direction-type>${seen}</direction-type><sound ${sound}/></direction>`;
}

function words(text: string): string {
  return `      <direction placement="above"><direction-type><words>${escaped(text)}</words></direction-type></direction>`;
}

/**
 * Words of a phrase: a direction in words, in italics, told from a cue by its `id` (MusicXML 4.0, `optional-unique-id` of
 * `direction`). Lyrics would be syllables of notes, and widen the one that has them.
 */
function phraseXml(text: string, id: string): string {
  return `      <direction id="${id}" placement="above"><direction-type><words font-style="italic">${escaped(text)}</words></direction-type></direction>`;
}

function attributes(key: Key | null, time: Meter | null, first: boolean, noted: boolean): string[] {
  if (!key && !time && !first) return [];
  const parts = [
    ...(first ? [`<divisions>${noted ? partsPerQuarter : divisions}</divisions>`] : []),
    ...(key ? [`<key><fifths>${keySignature(key)}</fifths><mode>${key.mode}</mode></key>`] : []),
    ...(time
      ? [
          `<time${time.beats === 2 && time.unit === 2 ? ' symbol="cut"' : ''}><beats>${time.beats}</beats><beat-type>${time.unit}</beat-type></time>`,
        ]
      : []),
    ...(first
      ? [
          '<clef><sign>G</sign><line>2</line></clef>',
          ...(noted ? [] : ['<measure-style><slash type="start" use-stems="no"/></measure-style>']),
        ]
      : []),
  ];
  return [`      <attributes>${parts.join('')}</attributes>`];
}

function tempoXml({ bpm, count }: Tempo): string {
  const unit =
    count === 'half'
      ? '<beat-unit>half</beat-unit>'
      : `<beat-unit>quarter</beat-unit>${count === 'dotted' ? '<beat-unit-dot/>' : ''}`;
  const quarters = bpm * countedQuarters[count];
  return `      <direction placement="above"><direction-type><metronome>${unit}<per-minute>${bpm}</per-minute></metronome></direction-type><sound tempo="${quarters}"/></direction>`;
}

/** The notes of a bar, each with the chords that begin on it or within it. */
function notedXml(bar: SheetBar, index: number, melody: MeasureNotes, options: MusicXmlOptions): string[] {
  const all = melodyXml(melody.notes, melody.tied, (from, to) => {
    const held = bar.holds?.some((quarters) => partsIn(quarters) >= from && partsIn(quarters) < to);
    const stops = bar.stops && to >= partsIn(bar.length);
    return `${held ? '<fermata/>' : ''}${stops ? '<articulations><caesura/></articulations>' : ''}`;
  });
  return all.flatMap(({ at, parts, xml }) => {
    const chords = bar.chords.flatMap((chord, place) => {
      const start = partsIn(chord.at);
      if (start < at || start >= at + parts) return [];
      const fingering = options.fingeringOf?.(index, place) ?? null;
      return [harmonyXml(chord, start - at, fingering, options.courses ?? 4)];
    });
    return [...chords, xml];
  });
}

/** Slashes, one a felt beat, each with the chords that begin on it or within it. */
function bodyXml(
  bar: SheetBar,
  index: number,
  meter: Meter,
  signature: number,
  options: MusicXmlOptions,
): string[] {
  const ticks = (quarters: number): number => Math.round(quarters * divisions);
  const lines: string[] = [];
  // On the middle line, with the sign that the key has there, so that none is drawn.
  const alter = signature < 0 ? '<alter>-1</alter>' : signature > 6 ? '<alter>1</alter>' : '';
  const notations = (from: number, to: number): string => {
    const held = bar.holds?.some((quarters) => ticks(quarters) >= from && ticks(quarters) < to);
    const stops = bar.stops && to >= ticks(bar.length);
    if (!held && !stops) return '';
    return `<notations>${held ? '<fermata/>' : ''}${stops ? '<articulations><caesura/></articulations>' : ''}</notations>`;
  };
  const slashes = slashesOf(ticks(bar.length), ticks(quartersPerBeat(meter)), feltBeats(meter));
  let at = 0;
  for (const { length, type, dots } of slashes) {
    bar.chords.forEach((chord, place) => {
      const start = ticks(chord.at);
      if (start < at || start >= at + length) return;
      lines.push(
        harmonyXml(chord, start - at, options.fingeringOf?.(index, place) ?? null, options.courses ?? 4),
      );
    });
    lines.push(
      `      <note><pitch><step>B</step>${alter}<octave>4</octave></pitch><duration>${length}</duration><voice>1</voice><type>${type}</type>${'<dot/>'.repeat(dots)}<stem>none</stem><notehead>slash</notehead>${notations(at, at + length)}</note>`,
    );
    at += length;
  }
  return lines;
}

interface Slash {
  readonly length: number;
  readonly type: string;
  readonly dots: number;
}

const noteValues: readonly Slash[] = [
  { length: 4 * divisions, type: 'whole', dots: 0 },
  { length: 3 * divisions, type: 'half', dots: 1 },
  { length: 2 * divisions, type: 'half', dots: 0 },
  { length: 1.5 * divisions, type: 'quarter', dots: 1 },
  { length: divisions, type: 'quarter', dots: 0 },
  { length: 0.5 * divisions, type: 'eighth', dots: 0 },
  { length: 0.25 * divisions, type: '16th', dots: 0 },
  { length: 0.125 * divisions, type: '32nd', dots: 0 },
];

/** A bar's slashes: whole felt beats, and what is left over of a crooked bar in ever smaller values. */
function slashesOf(length: number, beat: number, most: number): readonly Slash[] {
  const slashes: Slash[] = [];
  const beatValue = noteValues.find((one) => one.length === beat) ?? noteValues[4];
  let left = length;
  while (beatValue && left >= beatValue.length && slashes.length < Math.max(64, most)) {
    slashes.push(beatValue);
    left -= beatValue.length;
  }
  for (const value of noteValues) {
    while (left >= value.length) {
      slashes.push(value);
      left -= value.length;
    }
  }
  return slashes;
}

const noteName = /^([A-G])([#b]*)$/;

function noteXml(note: string, tag: 'root' | 'bass'): string {
  const [, step = 'C', signs = ''] = noteName.exec(note) ?? [];
  const by = signs === '' ? 0 : signs.startsWith('#') ? signs.length : -signs.length;
  return `<${tag}><${tag}-step>${step}</${tag}-step>${by === 0 ? '' : `<${tag}-alter>${by}</${tag}-alter>`}</${tag}>`;
}

function harmonyXml(
  { chord }: SheetChord,
  offset: number,
  fingering: Fingering | null,
  courses: number,
): string {
  const late = offset === 0 ? '' : `<offset>${offset}</offset>`;
  if (!chord)
    return `      <harmony><root><root-step text="">C</root-step></root><kind text="N.C.">none</kind>${late}</harmony>`;
  const kind = harmonyKinds.find((one) => one.quality === chord.quality);
  const degrees = (kind?.degrees ?? []).map(
    ({ value, alter, type }) =>
      `<degree print-object="no"><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`,
  );
  return `      <harmony>${noteXml(chord.root, 'root')}<kind${kindText(chord)}>${kind?.kind ?? 'other'}</kind>${chord.bass ? noteXml(chord.bass, 'bass') : ''}${degrees.join('')}${fingering ? frameXml(fingering, courses) : ''}${late}</harmony>`;
}

/** How we write the quality; a plain major chord has nothing to be written. */
function kindText({ quality: id }: Chord): string {
  const { suffix } = quality(id);
  return suffix === '' ? '' : ` text="${escaped(suffix)}"`;
}

/** A shape as a frame: string 1 is the highest (MusicXML 4.0, `string`). Frets count from the nut. */
function frameXml({ frets, fingers }: Fingering, courses: number): string {
  const played = frets.flatMap((fret) => (fret === null || fret === 0 ? [] : [fret]));
  const lowest = Math.min(...played, 24);
  const highest = Math.max(...played, 1);
  const first = highest <= 4 ? 1 : lowest;
  const notes = frets.flatMap((fret, index) => {
    if (fret === null) return [];
    const finger = fingers[index] ?? null;
    return [
      `<frame-note><string>${frets.length - index}</string><fret>${fret}</fret>${finger ? `<fingering>${finger}</fingering>` : ''}</frame-note>`,
    ];
  });
  return `<frame><frame-strings>${courses}</frame-strings><frame-frets>${Math.max(4, highest - first + 1)}</frame-frets>${first > 1 ? `<first-fret>${first}</first-fret>` : ''}${notes.join('')}</frame>`;
}
