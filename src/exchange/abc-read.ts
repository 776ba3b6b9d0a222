import { countedQuarters, type Meter, type Place, type Tempo } from '../chart/chart.js';
import { partsPerQuarter } from '../chart/tune/tune.js';
import { type StaffNote, signatureOfFifths } from '../chart/tune/tune-pitch.js';
import { type Chord, chordName, parseChord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { abcSignature, readAbcKey } from './abc-key.js';
import { leftDirective, leftField, voiceOfChords } from './abc-left.js';
import { type AbcToken, abcMusic } from './abc-music.js';
import { keysByChords, type OpenKey } from './key-by-chords.js';
import {
  meterQuarters,
  openRepeats,
  plainBar,
  type Remark,
  type SheetBar,
  type SheetChord,
  type SheetNote,
  type SheetRead,
} from './lead-sheet.js';
import { withMelody } from './melody.js';
import { mendedRepeats } from './mended-repeats.js';
import { repeatCount } from './repeat-counts.js';
import { abcSung, sungLeftOut } from './sung-words.js';
import { backToldOf, waySignOfDecoration, waySignOfWords, withSign } from './way-signs.js';

/** A tune of an ABC file, as far as a list needs to know it: its number, title, and the lines it stands in. */
export interface AbcTune {
  readonly number: number;
  readonly title: string;
  /** The lines, and the number of the first, from 1. */
  readonly lines: readonly string[];
  readonly first: number;
  /** Fields at the head of the file, which hold for every tune (ABC 2.1, 2.2.2). */
  readonly usual: readonly string[];
}

/** The most bars a tune may have, and the most characters a line: beyond, the rest is left out, and that is reported. */
const mostBars = 5000;
const mostTunes = 20_000;
const longestLine = 20_000;
const longestField = 500;
/** The most characters of music that are read of a tune, some hundred times what a long one has. */
const mostMusic = 1_000_000;

/** The tunes of an ABC file (ABC 2.1, 2.2): each begins with `X:` and ends with an empty line. */
export function abcTunes(text: string): readonly AbcTune[] {
  const tunes: { number: number; title: string; lines: string[]; first: number; usual: string[] }[] = [];
  const usual: string[] = [];
  let inside = false;
  text
    .replace(/^\ufeff/, '')
    .split(/\r\n|\r|\n/)
    .forEach((line, index) => {
      const number = /^X:\s*(\d*)/.exec(line);
      if (number && tunes.length < mostTunes) {
        tunes.push({
          number: Number(number[1] || tunes.length + 1),
          title: '',
          lines: [],
          first: index + 1,
          usual,
        });
        inside = true;
      } else if (line.trim() === '') inside = false;
      const tune = tunes.at(-1);
      if (!tune && /^[A-Za-z]:/.test(line) && usual.length < 20) usual.push(line.slice(0, longestField));
      if (!inside || !tune) return;
      tune.lines.push(line);
      const title = /^T:(.*)/.exec(line)?.[1]?.trim();
      if (title && tune.title === '') tune.title = plainText(title);
    });
  return tunes;
}

/** What is read of a tune while its lines go by. */
interface Reading {
  key: Key;
  meter: Meter | null;
  tempo: Tempo | null;
  unit: number | null;
  by: string | null;
  form: readonly string[] | null;
  /** Key, meter and tempo at the first bar, once they are known. */
  first: { readonly key: Key; readonly meter: Meter; readonly tempo: Tempo } | null;
  readonly bars: SheetBar[];
  /** The bar that is being read, without its chords and cues. */
  bar: SheetBar;
  chordsHere: SheetChord[];
  cuesHere: string[];
  wordsHere: string[];
  /** The bar that the line of music begins with. */
  lineBar: number;
  /** Where among the bars the ending began that is open; `null` where none is. */
  endingBar: number | null;
  quarters: number;
  /** Whether an ending is open, and whether a repeat was opened or its start is understood. */
  ending: boolean;
  notes: number;
  chords: number;
  /** The notes of the bar that is being read, what the signature and accidentals in the bar do to letters, and what is tied. */
  notesHere: SheetNote[];
  signature: readonly number[];
  readonly accidentals: Map<number, number>;
  tied: StaffNote | null;
  /** The voice that is read, and whether another is being written; whether it is the first. */
  voice: string | null;
  otherVoices: boolean;
  titled: boolean;
  /** Whether another voice of the same bar is being written. */
  overlay: boolean;
  /** What the parts are called. */
  readonly names: Map<string, string>;
  readonly left: Map<string, Place>;
  readonly remarks: Remark[];
  /** Where it is said that there is no key. */
  readonly open: OpenKey[];
}

/** Reads a tune's chord symbols (ABC 2.1, 4.18) with bars, meter, key, repeats, endings, parts and tempo. Melody is left out. */
export function readAbc(tune: AbcTune): SheetRead {
  const reading: Reading = {
    key: { tonic: 'C', mode: 'major' },
    meter: null,
    tempo: null,
    unit: null,
    by: null,
    form: null,
    first: null,
    bars: [],
    bar: plainBar,
    chordsHere: [],
    cuesHere: [],
    wordsHere: [],
    lineBar: 0,
    endingBar: null,
    quarters: 0,
    ending: false,
    notes: 0,
    chords: 0,
    notesHere: [],
    signature: signatureOfFifths(0),
    accidentals: new Map(),
    tied: null,
    voice: null,
    otherVoices: false,
    titled: false,
    overlay: false,
    names: new Map(),
    left: new Map(),
    remarks: [],
    open: [],
  };
  for (const line of tune.usual)
    headField(reading, line[0] ?? '', withoutRemark(line).slice(2).trim(), { line: 1, column: 1 });
  let inHead = true;
  let inText = false;
  let music = 0;
  tune.lines.forEach((raw, index) => {
    const line = tune.first + index;
    const place: Place = { line, column: 1 };
    if (raw.startsWith('%%')) {
      leave(reading, leftDirective(raw), place);
      if (/^%%\s*(?:begin|end)/.test(raw)) inText = /^%%\s*begin/.test(raw);
    }
    if (inText) return;
    const text = withoutRemark(raw).slice(0, longestLine);
    if (raw.length > longestLine) leave(reading, 'the end of a very long line', place);
    const field = /^([A-Za-z+]):(.*)$/.exec(text.slice(0, longestField));
    if (field) {
      const name = field[1] ?? '';
      if (inHead) headField(reading, name, (field[2] ?? '').trim(), place);
      else bodyField(reading, name, (field[2] ?? '').trim(), place);
      if (name === 'K' && inHead) {
        inHead = false;
        begin(reading, place);
        reading.voice = voiceOfChords(tune.lines.slice(index + 1));
        reading.otherVoices = reading.voice !== null;
      }
      return;
    }
    if (text.trim() === '') return;
    if (inHead) {
      leave(reading, 'a line of the header that is not a field', place);
      return;
    }
    if (reading.bars.length >= mostBars) return;
    if (reading.otherVoices && !text.includes('[V:')) return;
    music += text.length;
    if (music > mostMusic) {
      leave(reading, 'the end of a very long tune', place);
      return;
    }
    musicLine(reading, text, line);
  });
  if (inHead)
    reading.remarks.push({
      place: { line: tune.first, column: 1 },
      message: 'there is no K: field; C is assumed',
    });
  endBar(reading, null, { line: tune.first + tune.lines.length, column: 1 });
  closeLast(reading);
  if (reading.meter === null && !reading.left.has('meter'))
    reading.remarks.push({
      place: { line: tune.first, column: 1 },
      message: 'there is no M: field; 4/4 is assumed',
    });
  if (reading.tempo === null)
    reading.remarks.push({
      place: { line: tune.first, column: 1 },
      message: 'there is no readable tempo; 120 is assumed',
    });
  const head = reading.first ?? headOf(reading);
  const { key, bars, remarks } = keysByChords(head.key, withMelody(reading.bars), reading.open);
  reading.remarks.push(...remarks);
  for (const [what, place] of reading.left)
    if (what !== 'meter') reading.remarks.push({ place, message: `left out: ${what}` });
  return {
    chords: reading.chords,
    notes: reading.notes,
    remarks: reading.remarks,
    sheet: {
      title: tune.title === '' ? `tune ${tune.number}` : tune.title,
      by: reading.by,
      ...head,
      key,
      bars,
      form: reading.form?.map((letter) => reading.names.get(letter) ?? letter) ?? null,
    },
  };
}

/** What holds at the first bar is the tune's own; later changes stand with their bars. */
function headOf({ key, meter, tempo }: Reading): NonNullable<Reading['first']> {
  return { key, meter: meter ?? { beats: 4, unit: 4 }, tempo: tempo ?? { bpm: 120, count: 'quarter' } };
}

function begin(reading: Reading, place: Place): void {
  reading.first = headOf(reading);
  reading.bar = { ...plainBar, place, line: true };
}

/** The most kinds of left-out things that are reported. */
const mostLeft = 100;

function leave(reading: Reading, what: string, place: Place): void {
  const told = reading.left.size < mostLeft ? what : 'more things that a chart cannot have';
  if (!reading.left.has(told)) reading.left.set(told, place);
}

/** A line without its remark; a percent sign within quotation marks does not begin one. */
function withoutRemark(line: string): string {
  if (line.startsWith('%')) return '';
  let quoted = false;
  for (let at = 0; at < line.length; at += 1) {
    if (line[at] === '"') quoted = !quoted;
    if (line[at] === '%' && line[at - 1] !== '\\' && !quoted) return line.slice(0, at);
  }
  return line;
}

/** ABC's escapes (2.1, 8.2): of signs that begin something, of letters with accents, which are left as their letters, and by number. */
function plainText(text: string): string {
  return unescaped(text).slice(0, 200);
}

function unescaped(text: string): string {
  return text
    .replace(
      /\\([\\%&])|\\[`'^~":vcor=/;]([A-Za-z])|\\u([0-9a-fA-F]{4})|\\u([A-Za-z])/g,
      (_, sign?: string, letter?: string, code?: string, breve?: string) =>
        sign ?? letter ?? breve ?? String.fromCharCode(Number.parseInt(code ?? '0', 16)),
    )
    .replace(/[\p{Cc}\p{Cf}]/gu, '');
}

function headField(reading: Reading, name: string, text: string, place: Place): void {
  switch (name) {
    case 'C':
      if (reading.by !== null && reading.by !== plainText(text)) leave(reading, 'further authors', place);
      reading.by = reading.by ?? plainText(text);
      break;
    case 'P':
      reading.form = partOrder(text);
      if (reading.form === null)
        leave(reading, `an order of parts that cannot be read: ${text.slice(0, 40)}`, place);
      break;
    case 'N': {
      const names = partNames(text);
      for (const [letter, own] of names) reading.names.set(letter, own);
      if (names.length === 0) leave(reading, leftField('N'), place);
      break;
    }
    case 'T':
      if (reading.titled) leave(reading, leftField('T'), place);
      reading.titled ||= text !== '';
      break;
    case 'M':
    case 'L':
    case 'Q':
    case 'K':
      setting(reading, name, text, place);
      break;
    // The voices are known from where they are written.
    case 'V':
    case 'X':
      break;
    default:
      leave(reading, leftField(name), place);
  }
}

function bodyField(reading: Reading, name: string, text: string, place: Place): void {
  switch (name) {
    case 'w':
      leave(reading, sungLeftOut, place);
      if (!reading.otherVoices) sungLine(reading, abcSung(unescaped(text.replace(/\\-/g, '\\\\-'))));
      break;
    case 'V':
      voiceField(reading, text, place);
      break;
    case 'P':
      if (!reading.otherVoices) startSection(reading, text, place);
      break;
    case 'M':
    case 'L':
    case 'Q':
    case 'K':
      if (!reading.otherVoices) setting(reading, name, text, place);
      break;
    default:
      leave(reading, leftField(name), place);
  }
}

/** Words below a line of music are those of the bar it began with. */
function sungLine(reading: Reading, text: string): void {
  if (text === '') return;
  const first = reading.bars[reading.lineBar];
  const sung = [...((first ?? reading.bar).sung ?? []), text];
  // A line without a bar line is a bar that goes on.
  if (first) reading.bars[reading.lineBar] = { ...first, sung };
  else reading.bar = { ...reading.bar, sung };
}

/** Chords are taken from the first voice that has any. */
function voiceField(reading: Reading, text: string, place: Place): void {
  const id = text.split(/\s+/)[0] ?? '';
  const { voice } = reading;
  reading.otherVoices = id !== voice;
  if (reading.otherVoices)
    leave(
      reading,
      voice === null
        ? 'voices after the first'
        : `voices other than ${plainText(voice)}, the first that has chords`,
      place,
    );
}

/** `parts A kickoff, B V`: what our own files call their parts. */
function partNames(text: string): readonly (readonly [letter: string, name: string])[] {
  const named = /^parts (.+)$/.exec(text)?.[1];
  return (named ?? '').split(',').flatMap((part) => {
    const [, letter, name] = /^\s*([A-Z]) (.{1,40})$/.exec(part) ?? [];
    return letter && name ? [[letter, name] as const] : [];
  });
}

/** A part begins: what there is of a bar is one, since another part may be played before it. */
function startSection(reading: Reading, text: string, place: Place): void {
  if (reading.quarters > 0) endBar(reading, null, place);
  reading.bar = { ...reading.bar, section: reading.names.get(text) ?? plainText(text) };
}

function setting(reading: Reading, name: 'M' | 'L' | 'Q' | 'K', text: string, place: Place): void {
  if (name === 'L') {
    const [, upper, lower] = /^(\d+)\s*\/\s*(\d+)$/.exec(text) ?? (text === '1' ? ['', '1', '1'] : []);
    const unit = (4 * Number(upper)) / Number(lower);
    if (unit > 0 && unit <= 8) reading.unit = unit;
    else leave(reading, `a unit note length that cannot be read: ${text.slice(0, 20)}`, place);
    return;
  }
  if (name === 'M') {
    const meter = meterOf(text);
    if (meter === null) {
      leave(reading, `a meter that a chart cannot have: ${text.slice(0, 20)}`, place);
      return;
    }
    reading.meter = meter;
    reading.bar = { ...reading.bar, meter };
    return;
  }
  if (name === 'Q') {
    const tempo = tempoOf(text, reading);
    const words = /"([^"]+)"/.exec(text)?.[1];
    if (tempo !== null && words !== undefined)
      leave(reading, `the words of a tempo, “${words.slice(0, 40)}”`, place);
    if (tempo === null) leave(reading, `a tempo that cannot be read: ${text.slice(0, 40)}`, place);
    else {
      reading.tempo = tempo;
      reading.bar = { ...reading.bar, tempo };
    }
    return;
  }
  const read = readAbcKey(text);
  if (read === null) {
    leave(reading, `a key that cannot be read: ${text.slice(0, 20)}`, place);
    return;
  }
  for (const what of read.left) leave(reading, what, place);
  reading.signature = abcSignature(text) ?? reading.signature;
  if (read.read === null) return;
  if (read.read === 'open') {
    reading.open.push({ bar: reading.bars.length, fifths: null, place });
    reading.bar = { ...reading.bar, key: reading.key };
    return;
  }
  if (read.read.remark !== null) reading.remarks.push({ place, message: read.read.remark });
  reading.key = read.read.key;
  reading.bar = { ...reading.bar, key: reading.key };
}

function meterOf(text: string): Meter | null {
  if (text === 'C') return { beats: 4, unit: 4 };
  if (text === 'C|') return { beats: 2, unit: 2 };
  const [, beats, unit] = /^(\d{1,2})\s*\/\s*(2|4|8)$/.exec(text) ?? [];
  const count = Number(beats);
  return count >= 1 && count <= 16 ? { beats: count, unit: Number(unit) as 2 | 4 | 8 } : null;
}

/** `1/4=120`, `3/8=80`, `"Lively" 1/2=100`, `1/4 3/8=40`; the old `120` counts unit notes. */
function tempoOf(text: string, reading: Reading): Tempo | null {
  const bare = text.replace(/"[^"]*"/g, ' ').trim();
  // A space divides the lengths: without one there would be very many ways to divide them.
  const [, lengths, value] =
    /^(\d+\s*\/\s*\d+(?:\s+\d+\s*\/\s*\d+)*)\s*=\s*(\d+(?:\.\d+)?)$/.exec(bare) ?? [];
  const old = /^(?:C\d*\s*=\s*)?(\d+)$/.exec(bare)?.[1];
  const quarters = lengths
    ? [...lengths.matchAll(/(\d+)\s*\/\s*(\d+)/g)].reduce(
        (sum, [, upper, lower]) => sum + (4 * Number(upper)) / Number(lower),
        0,
      )
    : (reading.unit ?? usualUnit(reading.meter));
  const bpm = Number(value ?? old ?? Number.NaN);
  if (!(bpm > 0) || !(quarters > 0)) return null;
  const count = quarters === 2 ? 'half' : quarters === 1.5 ? 'dotted' : 'quarter';
  const counted = countedQuarters[count];
  const counts = Math.round((bpm * quarters) / counted);
  return counts >= 20 && counts <= 400 ? { bpm: counts, count } : null;
}

/** Where nothing is said a unit is an eighth, in meters below 3/4 a sixteenth (ABC 2.1, 3.1.7). */
function usualUnit(meter: Meter | null): number {
  return meter && meter.beats / meter.unit < 0.75 ? 0.25 : 0.5;
}

/** `AABB`, `A2B2`, `(AB)3C`: the parts in the order in which they are played; `null` where that cannot be read. */
function partOrder(text: string): readonly string[] | null {
  let rest = text.replace(/[\s.]/g, '');
  for (let round = 0; round < 20 && /\(/.test(rest); round += 1)
    rest = rest.replace(/\(([A-Za-z0-9]*)\)(\d*)/g, (_, inner: string, times: string) =>
      inner.repeat(Math.max(1, Math.min(20, Number(times || 1)))).slice(0, 500),
    );
  if (!/^(?:[A-Za-z]\d*)+$/.test(rest) || rest.length > 2000) return null;
  return [...rest.matchAll(/([A-Za-z])(\d*)/g)].flatMap(([, name = '', times = '']) =>
    Array.from({ length: Math.max(1, Math.min(20, Number(times || 1))) }, () => name),
  );
}

function musicLine(reading: Reading, text: string, line: number): void {
  if (reading.quarters === 0 && reading.chordsHere.length === 0) reading.bar = { ...reading.bar, line: true };
  reading.lineBar = reading.bars.length;
  const compound = (reading.meter?.beats ?? 4) % 3 === 0 && (reading.meter?.beats ?? 4) > 3;
  for (const token of abcMusic(text, line, compound)) takeToken(reading, token);
}

function takeToken(reading: Reading, token: AbcToken): void {
  const { place } = token;
  // Other voices are skipped up to their end.
  if (reading.otherVoices && !(token.kind === 'field' && token.name === 'V')) return;
  if (reading.overlay && token.kind !== 'bar' && token.kind !== 'field') return;
  switch (token.kind) {
    case 'decoration': {
      const sign = waySignOfDecoration(token.name);
      if (sign) reading.bar = withSign(reading.bar, sign);
      else if (token.name === 'fermata')
        reading.bar = { ...reading.bar, holds: [...(reading.bar.holds ?? []), reading.quarters] };
      else leave(reading, `the sign “${plainText(token.name)}”`, place);
      break;
    }
    case 'grace':
      leave(reading, 'grace notes', place);
      break;
    case 'tie':
      tieLast(reading);
      break;
    case 'overlay':
      reading.overlay = true;
      leave(reading, 'a second voice within a bar', place);
      break;
    case 'time':
      takeNote(reading, token);
      break;
    case 'bars': {
      const full = meterQuarters(reading.meter ?? { beats: 4, unit: 4 });
      for (let count = 1; count < token.count; count += 1) {
        reading.quarters = full;
        endBar(reading, null, place);
      }
      reading.tied = null;
      reading.quarters = full;
      break;
    }
    case 'quoted':
      symbol(reading, token.text, place);
      break;
    case 'field':
      bodyField(reading, token.name, token.text, place);
      break;
    case 'bar':
      endBar(reading, token, place);
      break;
    case 'ending':
      if (reading.ending) endEnding(reading);
      if (token.times.length === 0) leave(reading, 'an ending without a valid number', place);
      reading.bar = { ...reading.bar, ending: token.times.length > 0 ? token.times : null };
      reading.ending = token.times.length > 0;
      break;
    case 'unknown':
      leave(reading, `unknown signs: ${token.text}`, place);
  }
}

/** A note or rest: its time, and of the melody its place on the staff. */
function takeNote(reading: Reading, { length, note, place }: Extract<AbcToken, { kind: 'time' }>): void {
  const quarters = length * (reading.unit ?? usualUnit(reading.meter));
  reading.quarters += quarters;
  const exact = quarters * partsPerQuarter;
  const parts = Math.round(exact);
  if (Math.abs(exact - parts) > 1e-3) leave(reading, 'parts of note lengths too small to be counted', place);
  const { tied, accidentals } = reading;
  reading.tied = null;
  if (!note) {
    reading.notesHere.push({ staff: null, parts, tie: false });
    return;
  }
  reading.notes += 1;
  if (note.others) leave(reading, 'lower notes of those that sound together', place);
  const letter = note.step % 7;
  const carried = tied?.step === note.step && note.alter === null ? tied.alter : null;
  if (note.alter !== null) accidentals.set(letter, note.alter);
  const alter = note.alter ?? carried ?? accidentals.get(letter) ?? reading.signature[letter] ?? 0;
  const staff = { step: note.step, alter };
  reading.notesHere.push({ staff, parts, tie: note.tie });
  if (note.tie) reading.tied = staff;
}

/** A tie that stands apart from its note holds for the last of the bar. */
function tieLast(reading: Reading): void {
  const last = reading.notesHere.at(-1);
  if (!last?.staff) return;
  reading.notesHere[reading.notesHere.length - 1] = { ...last, tie: true };
  reading.tied = last.staff;
}

/** A chord symbol, or words above or below the staff (ABC 2.1, 4.18 and 4.19). */
function symbol(reading: Reading, text: string, place: Place): void {
  const words = /^[\^_<>@](.*)$/s.exec(text)?.[1];
  if (words !== undefined) {
    const cue = unescaped(words).trim();
    // Words of a phrase, as our own files have them above the staff.
    const phrase = text.startsWith('^') ? /^>\s*(.+)$/s.exec(cue)?.[1] : undefined;
    if (phrase !== undefined) {
      reading.wordsHere.push(phrase);
      return;
    }
    // Frets below a chord, as our own files have them: the hand is planned again.
    if (/^[0-9x]+(?:-[0-9x]+){2,}$/.test(cue)) leave(reading, 'shapes below the chords', place);
    else if (cue !== '') {
      const sign = waySignOfWords(cue);
      const told = backToldOf(cue, sign);
      if (told !== null) reading.remarks.push({ place, message: told });
      if (sign) reading.bar = withSign(reading.bar, sign);
      else reading.cuesHere.push(cue);
    }
    return;
  }
  // A chord in brackets is an alternative.
  const main = text
    .replace(/\([^)]*\)/g, '')
    .replace(/[;\n].*$/s, '')
    .trim();
  if (main !== text.trim()) leave(reading, 'additions to a chord, in brackets or after it', place);
  if (main === '' || wordsForChord(reading, main, place)) return;
  reading.chords += 1;
  const starred = /^([A-G].*?)\*+$/.exec(main)?.[1];
  if (starred !== undefined)
    reading.remarks.push({ place, message: `“${plainText(main)}” is read as ${plainText(starred)}` });
  const read = abcChord(starred ?? main);
  const chord: SheetChord = {
    at: reading.quarters,
    chord: read ?? null,
    text: read === undefined ? main : null,
    place,
  };
  if (read === undefined)
    reading.remarks.push({
      place,
      message: `“${plainText(main)}” is not a known chord: nc is written, with this text as a cue`,
    });
  // Time only moves forward: if several chords are at one place, the last counts.
  const before = reading.chordsHere.at(-1);
  if (before?.at === chord.at) {
    reading.chordsHere.pop();
    leave(reading, `${called(before)}, at the same place as ${called(chord)}`, place);
  }
  reading.chordsHere.push(chord);
}

/** Words, signs of the way and the bar before again, which are written where a chord could stand: whether it was one of these. */
function wordsForChord(reading: Reading, text: string, place: Place): boolean {
  const before = reading.bars.at(-1);
  if (text === '%' && before) {
    if (reading.chordsHere.length === 0) reading.chordsHere = [...before.chords];
    return true;
  }
  const sign = waySignOfWords(text);
  const told = backToldOf(text, sign);
  if (sign === null && told === null && isMeantAsChord(text)) return false;
  if (told !== null) reading.remarks.push({ place, message: told });
  if (sign) reading.bar = withSign(reading.bar, sign);
  else reading.cuesHere.push(plainText(text));
  if (sign === null && told === null)
    reading.remarks.push({
      place,
      message: `“${plainText(text)}” is not a known chord: it is kept as a cue, and the chord before it continues`,
    });
  return true;
}

/** Whether a text is meant as a chord: a root, `H` among them, that no plain word begins with, or “no chord”. */
function isMeantAsChord(text: string): boolean {
  if (abcChord(text) !== undefined) return true;
  return /^[A-H](?:[#b♯♭]|(?![a-z]{3})|(?=maj|min|dim|aug|sus|add|dom|alt|omit))/.test(text);
}

function called({ chord, text }: SheetChord): string {
  return chord ? chordName(chord) : plainText(text ?? 'N.C.');
}

/** A chord as ABC writes it, bass in any case; `null` for no chord, `undefined` for what cannot be read. */
export function abcChord(text: string): Chord | null | undefined {
  if (/^n\.?\s*c\.?$/i.test(text)) return null;
  const [, body = '', bass] = /^(.*?)(?:\/([A-Ga-g][#b]?))?$/.exec(text) ?? [];
  const spelled = bass === undefined ? body : `${body}/${bass[0]?.toUpperCase()}${bass.slice(1)}`;
  const read = parseChord(spelled.replace(/♯/g, '#').replace(/♭/g, 'b'));
  return read.ok ? read.value : undefined;
}

/** A bar line: the bar before it is done, if there is anything of it. */
function endBar(reading: Reading, line: Extract<AbcToken, { kind: 'bar' }> | null, place: Place): void {
  const { bar, quarters } = reading;
  const hasTime = quarters > 1e-9;
  if (hasTime && reading.bars.length < mostBars) {
    if (bar.ending) reading.endingBar = reading.bars.length;
    reading.bars.push({
      ...bar,
      length: quarters,
      closes: line?.closes ?? null,
      chords: reading.chordsHere,
      cues: reading.cuesHere,
      notes: reading.notesHere,
      ...(reading.wordsHere.length > 0 ? { words: reading.wordsHere } : {}),
    });
    reading.chordsHere = [];
    reading.cuesHere = [];
    reading.wordsHere = [];
    reading.notesHere = [];
    if (reading.bars.length === mostBars) leave(reading, `bars beyond ${mostBars}`, place);
    reading.bar = { ...plainBar, place, opens: line?.opens ?? false };
  } else {
    // A line without a bar before it still says something: `|:` at the start, `:|` after a bar line.
    const last = reading.bars.at(-1);
    if (line?.closes && last && last.closes === null)
      reading.bars[reading.bars.length - 1] = { ...last, closes: line.closes };
    if (line?.opens) countsBehind(reading);
    reading.bar = { ...signsBehind(reading, bar), opens: bar.opens || (line?.opens ?? false) };
  }
  reading.quarters = 0;
  reading.overlay = false;
  reading.accidentals.clear();
  const ends = line !== null && (line.closes !== null || line.double || line.opens);
  if (ends && reading.ending) endEnding(reading);
  if (line !== null && reading.bar.section === null && startsStrain(reading, line))
    reading.bar = { ...reading.bar, section: '' };
}

/** How often a repeat is played may stand between its end and the next one's beginning. */
function countsBehind(reading: Reading): void {
  const last = reading.bars.at(-1);
  const counts = reading.cuesHere.filter((text) => repeatCount(text) !== null);
  if (!last || last.closes === null || counts.length === 0) return;
  reading.bars[reading.bars.length - 1] = { ...last, cues: [...last.cues, ...counts] };
  reading.cuesHere = reading.cuesHere.filter((text) => !counts.includes(text));
}

/** Between two bar lines stands what belongs after the bar before: it is put there; the rest is for the bar to come. */
function signsBehind({ bars }: Reading, bar: SheetBar): SheetBar {
  const last = bars.at(-1);
  const { marks = [], back, ...rest } = bar;
  const behind = marks.filter((mark) => mark !== 'sign');
  if (!last || (behind.length === 0 && !back)) return bar;
  bars[bars.length - 1] = {
    ...last,
    ...(behind.length > 0 ? { marks: [...(last.marks ?? []), ...behind] } : {}),
    ...(back ? { back } : {}),
  };
  return marks.includes('sign') ? { ...rest, marks: ['sign'] } : rest;
}

/** A new section begins after a double bar or a repeat's end, unless endings of that repeat follow. */
function startsStrain({ bars }: Reading, line: Extract<AbcToken, { kind: 'bar' }>): boolean {
  return bars.length > 0 && (line.double || line.opens || line.closes !== null);
}

/** An ending is over. One without a bar does not count. */
function endEnding(reading: Reading): void {
  const { bars } = reading;
  const last = bars.at(-1);
  if (reading.endingBar !== null && last) bars[bars.length - 1] = { ...last, endsEnding: true };
  else reading.bar = { ...reading.bar, ending: null };
  reading.endingBar = null;
  reading.ending = false;
}

/** What is still open at the end is closed, and strains that are not sections are not made sections. */
function closeLast(reading: Reading): void {
  if (reading.ending) endEnding(reading);
  const { bars } = reading;
  const last = bars.at(-1);
  // What is written above the end stands with the last bar.
  if (last && reading.cuesHere.length > 0)
    bars[bars.length - 1] = { ...last, cues: [...last.cues, ...reading.cuesHere] };
  for (const { place } of reading.chordsHere)
    reading.remarks.push({ place, message: 'a chord after the last bar is left out' });
  bars.splice(0, bars.length, ...openRepeats(mendedRepeats(bars, reading.remarks), true));
  // If parts are named, strains are not sections of their own.
  if (bars.some(({ section }) => section))
    bars.forEach((bar, index) => {
      if (bar.section === '') bars[index] = { ...bar, section: null };
    });
  // An ending after the repeat's end still belongs to its strain: no section begins with it.
  bars.forEach((bar, index) => {
    if (bar.ending && bar.section === '' && bars[index - 1]?.endsEnding)
      bars[index] = { ...bar, section: null };
  });
}
