import { bareText } from '../base/safe-text.js';
import { meterText, quartersPerBeat, type Tempo } from '../chart/chart.js';
import { notesText, StaffWriter } from '../chart/tune/note-text.js';
import { partsPerQuarter } from '../chart/tune/tune.js';
import { signatureOf } from '../chart/tune/tune-pitch.js';
import { chordName } from '../theory/chord.js';
import { keyName } from '../theory/key.js';
import { type LeadSheet, plainBar, type SheetBar, stopWords } from './lead-sheet.js';
import { notesBetween, notesLasting } from './melody.js';
import { backWords } from './way-signs.js';

/** What an ABC file can have besides the chords: words above each chord, for shapes. */
export interface AbcOptions {
  /** The words for a chord: bar and chord of the sheet, counted from 0; empty for none. */
  readonly above?: (bar: number, chord: number) => string;
}

/** Bars of a line where the source has no lines. */
const perLine = 4;
/** Parts have one letter (ABC 2.1, 3.1.9). */
const letters = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

/**
 * A lead sheet as ABC 2.1: chord symbols over rests, repeats and endings as written, parts by letter with their names in a
 * remark, in the order of the form. Read back it has the same bars and chords.
 */
export function abcText(sheet: LeadSheet, { above }: AbcOptions = {}): string {
  const melody = sheet.bars.some(({ notes }) => notes) ? new StaffWriter() : null;
  let key = sheet.key;
  let meter = sheet.meter;
  const parts = partLetters(sheet);
  const order =
    sheet.form && parts.size <= letters.length
      ? sheet.form.map((name) => parts.get(name) ?? '').join('')
      : '';
  const head = [
    'X:1',
    `T:${fieldText(sheet.title)}`,
    ...(sheet.by === null ? [] : [`C:${fieldText(sheet.by)}`]),
    `M:${meterText(sheet.meter)}`,
    melody ? 'L:1/8' : 'L:1/4',
    `Q:${tempoField(sheet.tempo)}`,
    ...(parts.size > 1
      ? [`N:parts ${[...parts].map(([name, letter]) => `${letter} ${plain(name)}`).join(', ')}`]
      : []),
    ...(order.length > 1 ? [`P:${order}`] : []),
    `K:${keyName(sheet.key)}`,
  ];
  const lines: string[] = [];
  let line: string[] = [];
  const flush = (): void => {
    if (line.length > 0) lines.push(line.join(' '));
    line = [];
  };
  let inEnding = false;
  sheet.bars.forEach((bar, index) => {
    const label = bar.section === null ? null : (parts.get(bar.section) ?? null);
    if (label !== null || (bar.line && !inEnding)) flush();
    if (label !== null) lines.push(`P:${label}`);
    if (bar.line === false && line.length >= 2 * perLine) flush();
    key = bar.key ?? key;
    meter = bar.meter ?? meter;
    const sounds = melody && { melody, signature: signatureOf(key), beat: quartersPerBeat(meter) };
    line.push(barText(bar, index, above, sheet.bars[index + 1] ?? plainBar, sounds));
    if (bar.ending) inEnding = true;
    if (bar.endsEnding) inEnding = false;
  });
  flush();
  return `${[...head, ...lines].join('\n')}\n`;
}

function partLetters({ bars }: LeadSheet): Map<string, string> {
  const names = [...new Set(bars.flatMap(({ section }) => (section === null ? [] : [section])))];
  return new Map(names.map((name, index) => [name, letters[index % letters.length] as string]));
}

/** A bar: what begins with it, its chords over rests, and the line at its end. */
function barText(
  bar: SheetBar,
  index: number,
  above: AbcOptions['above'],
  next: SheetBar,
  sounds: Sounds | null,
): string {
  const timed = sounds
    ? notesIn(bar, sounds)
    : (_: number, length: number): string => `z${lengthText(length)}`;
  const fields = [
    ...(bar.meter ? [`[M:${meterText(bar.meter)}]`] : []),
    ...(bar.key ? [`[K:${keyName(bar.key)}]`] : []),
    ...(bar.tempo ? [`[Q:${tempoField(bar.tempo)}]`] : []),
  ];
  // Annotations (ABC 2.1, 4.19): above the staff, several one above the other. Words of a phrase have a chart's own sign; a cue
  // that begins with that sign is put below, so that neither is taken for the other.
  const words = (bar.words ?? []).map((text) => `"^> ${annotation(text)}"`);
  const cues = [...bar.cues, ...(bar.stops ? [stopWords] : [])].map(
    (cue) => `"${cue.trimStart().startsWith('>') ? '_' : '^'}${annotation(cue)}"`,
  );
  const first = bar.chords[0];
  // Signs of the way stand on the first note of their bar, or on its last.
  const front = `${bar.marks?.includes('sign') ? '!segno!' : ''}${bar.coda ? '!coda!' : ''}`;
  const back = [
    bar.back ? `"^${backWords(bar.back)}"` : '',
    bar.marks?.includes('to-coda') ? '!dacoda!' : '',
    bar.marks?.includes('fine') ? '!fine!' : '',
    bar.back ? (bar.back.from === 'sign' ? '!D.S.!' : '!dacapo!') : '',
  ].join('');
  const hasRest = (bar.chords[0]?.at ?? 1) > 0;
  const chords = bar.chords.map(({ at, chord }, place) => {
    const length = (bar.chords[place + 1]?.at ?? bar.length) - at;
    const words = above?.(index, place) ?? '';
    return `${words === '' ? '' : `"_${plain(words)}"`}"${chord ? chordName(chord) : 'N.C.'}"${place === 0 && !hasRest ? front : ''}${bar.holds?.includes(at) ? '!fermata!' : ''}${place === bar.chords.length - 1 ? back : ''}${timed(at, length)}`;
  });
  const rest =
    first === undefined
      ? [`${front}${back}${timed(0, bar.length)}`]
      : first.at > 0
        ? [`${front}${timed(0, first.at)}`]
        : [];
  const ending = bar.ending ? `[${bar.ending.join(',')} ` : '';
  const line =
    bar.closes === null
      ? bar.endsEnding && next.ending === null
        ? '||'
        : '|'
      : `${':'.repeat(bar.closes - 1)}|`;
  return `${bar.opens ? '|: ' : ''}${ending}${[...fields, ...words, ...cues, ...rest, ...chords].join('')} ${line}`;
}

/** What is needed to write notes: accidentals that hold on, the signature, and the quarters of a beat. */
interface Sounds {
  readonly melody: StaffWriter;
  readonly signature: readonly number[];
  readonly beat: number;
}

/** Writes the notes of a bar from one place to another, in quarters; one that is cut there is tied. */
function notesIn(bar: SheetBar, { melody, signature, beat }: Sounds): (at: number, length: number) => string {
  const parts = (quarters: number): number => Math.round(quarters * partsPerQuarter);
  const all = notesLasting(bar.notes ?? [], parts(bar.length));
  const places = [0, ...bar.chords.map(({ at }) => parts(at)), parts(bar.length)];
  const spans = places.map((from, index) => notesBetween(all, from, places[index + 1] ?? from));
  const written = melody.notes(spans.flat(), signature);
  let done = 0;
  const texts = new Map<number, string>();
  spans.forEach((span, index) => {
    const notes = written.slice(done, done + span.length);
    done += span.length;
    if (span.length > 0) texts.set(places[index] ?? 0, notesText(notes, partsPerQuarter / 2, parts(beat)));
  });
  return (at) => texts.get(parts(at)) ?? '';
}

/** A length in quarters, as a whole number or a fraction. */
function lengthText(quarters: number): string {
  for (let under = 1; under <= 64; under += 1) {
    const upper = Math.round(quarters * under);
    if (Math.abs(quarters * under - upper) < 1e-6)
      return `${upper === 1 && under > 1 ? '' : upper === 1 ? '' : upper}${under === 1 ? '' : `/${under}`}`;
  }
  return String(Math.max(1, Math.round(quarters)));
}

function tempoField({ bpm, count }: Tempo): string {
  return `${{ quarter: '1/4', half: '1/2', dotted: '3/8' }[count]}=${bpm}`;
}

/** Text as a field can have it: on one line, without control characters; a percent sign, which would begin a remark, a backslash and what looks like an entity are escaped (ABC 2.1, 8.2). */
function fieldText(text: string): string {
  return oneLine(text).replace(/[\\%]|&(?=#?\w+;)/g, '\\$&');
}

/** Text as an annotation or a part's name can have it: without what would end it, or be taken for an escape by other programs. */
function plain(text: string): string {
  return oneLine(text.replace(/["%\\[\]]/g, ''));
}

/** Text as an annotation can have it, nothing left out: what would end it or begin something else is written by its number (ABC 2.1, 8.2). */
function annotation(text: string): string {
  return oneLine(text).replace(
    /["%\\[\]]|&(?=#?\w+;)/g,
    (sign) => `\\u${(sign.codePointAt(0) ?? 0).toString(16).padStart(4, '0')}`,
  );
}

function oneLine(text: string): string {
  return bareText(text.replace(/\s+/g, ' ')).trim();
}
