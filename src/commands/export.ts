import { readFileSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, join, resolve } from 'node:path';
import { fileNameOf } from '../base/file-name.js';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import type { Settings } from '../config/settings.js';
import { type Refusal, writeOut } from '../config/write-out.js';
import { abcText } from '../exchange/abc-write.js';
import { sheetFromChart } from '../exchange/chart-to-sheet.js';
import type { LeadSheet } from '../exchange/lead-sheet.js';
import { midiFile, mostMidiNotes, notesInPass } from '../exchange/midi-file.js';
import { musicXml } from '../exchange/musicxml-write.js';
import { type PrintedSheet, printedSheet } from '../exchange/sheet.js';
import { type PrintedOrder, sheetPdf } from '../exchange/sheet-pdf.js';
import { type Blank, sheetText } from '../exchange/sheet-text.js';
import { type Fingering, fretsText } from '../hand/fingering.js';
import { asPlayed } from '../setlist/as-played.js';
import { clockText, playedSong, songSeconds } from '../setlist/running-order.js';
import type { SetEntry } from '../setlist/set.js';
import type { Chord } from '../theory/chord.js';
import { type Key, keyName } from '../theory/key.js';
import { type Arrangement, arrange } from '../time/arrange.js';
import { voices } from '../time/event.js';
import { parseMix } from '../time/read-sound.js';
import type { Mix } from '../time/sound.js';
import { exit, printDocument, Stop, say, unwrittenStatus } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { chartOrFault, loadGood, songPath } from './load.js';
import { ownPatterns } from './pattern-flag.js';
import { planOf, setSettings } from './plan-flags.js';
import { keyFlag, tempoFlag, wholeFlag } from './play-options.js';
import { soundOf } from './play-sound.js';
import { printBytes } from './print.js';

/** What `export` can be told, as commander gives it. */
export interface ExportFlags {
  readonly to?: string;
  readonly output?: string;
  readonly key?: string;
  readonly keys?: string;
  readonly tempo?: string;
  readonly passes?: string;
  readonly countIn?: string;
  readonly voices?: string;
  readonly shapes?: boolean;
  readonly paper?: string;
  readonly large?: boolean;
  readonly leftHanded?: boolean;
  readonly blank?: string;
  readonly force?: boolean;
}

/** The formats there are, and how the files of each end. */
const formats = { pdf: 'pdf', text: 'txt', midi: 'mid', abc: 'abc', musicxml: 'musicxml' } as const;
type Format = keyof typeof formats;

/** One song that is handed out: its chart, in a key, as often as it is played. */
interface Song {
  readonly chart: Chart;
  readonly key: Key;
  readonly bpm: number;
  readonly passes: number;
  readonly countIn: number;
  readonly notes: string | null;
}

/** Writes a chart, or each song of a set, in a format that others read. */
export async function exportFile(file: string, flags: ExportFlags): Promise<number> {
  const format = formatFlag(flags.to);
  const content = loadGood(file);
  if (content.kind === 'chart') {
    const songs = keysOf(content.chart, flags).map((key) => songOf(content.chart, null, key, flags));
    const several = songs.length > 1;
    const base = basename(file).replace(/\.ya?ml$/i, '');
    if (format === 'pdf' || format === 'text') return writePaper(songs, base, format, flags, null);
    return writeAll(
      songs.map((song) => ({ song, name: several ? `${base}-${keyName(song.key)}` : base })),
      format,
      flags,
      several,
    );
  }
  if (content.kind !== 'set')
    throw new Stop(exit.call, `${safeText(file)} is neither a chart nor a set`, 'name a chart or a set');
  const { set } = content;
  const songs = set.entries.flatMap((entry, index): { song: Song; name: string }[] => {
    const chart = chartOrFault(songPath(file, set, index));
    if (typeof chart === 'string') {
      say(`song ${index + 1}, ${safeText(entry.file)}: ${chart}; it is left out`);
      return [];
    }
    const song = songOf(chart, entry, null, flags);
    return [{ song, name: `${String(index + 1).padStart(2, '0')}-${fileNameOf(chart.title)}` }];
  });
  if (format === 'pdf' || format === 'text') {
    const base = basename(file).replace(/\.ya?ml$/i, '');
    const own = songs.flatMap(({ song }) => keysAsked(song, flags));
    const paper = await writePaper(own, base, format, flags, { title: set.title, date: set.date });
    return songs.length < set.entries.length ? exit.input : paper;
  }
  const inKeys = songs.flatMap(({ song, name }) => {
    const own = keysAsked(song, flags);
    return own.map((one) => ({ song: one, name: own.length > 1 ? `${name}-${keyName(one.key)}` : name }));
  });
  const status = writeAll(inKeys, format, flags, true);
  return songs.length < set.entries.length ? exit.input : status;
}

function formatFlag(text: string | undefined): Format {
  const names = Object.keys(formats);
  const found = names.find((name) => name === text);
  if (found) return found as Format;
  throw new Stop(
    exit.call,
    text === undefined
      ? 'to which format?'
      : `--to “${safeText(text)}” is no format${didYouMean(text, names)}`,
    `it is ${names.join(', ')}: barkline export FILE --to abc`,
  );
}

function keysGiven({ keys, key }: ExportFlags): readonly Key[] {
  const asked = keys?.split(',').map((text) => text.trim()) ?? (key === undefined ? [] : [key]);
  return asked.map(keyFlag);
}

function keysOf(chart: Chart, flags: ExportFlags): readonly Key[] {
  const keys = keysGiven(flags);
  const wrong = keys.find(({ mode }) => mode !== chart.key.mode);
  if (wrong)
    throw new Stop(
      exit.call,
      `${safeText(chart.title)} is in ${chart.key.mode}; ${keyName(wrong)} is not`,
      `write the key as ${chart.key.mode === 'minor' ? 'Am' : 'A'}`,
    );
  return keys.length === 0 ? [chart.key] : keys;
}

function songOf(read: Chart, entry: SetEntry | null, key: Key | null, flags: ExportFlags): Song {
  const chart = entry ? asPlayed(read, entry) : read;
  const played = entry ? playedSong(chart, entry) : null;
  return {
    chart,
    key: key ?? played?.key ?? chart.key,
    bpm: flags.tempo === undefined ? (played?.bpm ?? chart.tempo.bpm) : tempoFlag(flags.tempo, chart.tempo),
    passes: flags.passes === undefined ? (entry?.passes ?? 1) : wholeFlag('passes', flags.passes, 1, 1000),
    countIn:
      flags.countIn === undefined ? (played?.countIn ?? 1) : wholeFlag('count-in', flags.countIn, 0, 2),
    notes: entry?.notes ?? null,
  };
}

/** Each song into a file of its own; several of them, or a set's, into a folder. */
function writeAll(
  songs: readonly { readonly song: Song; readonly name: string }[],
  format: Exclude<Format, 'pdf' | 'text'>,
  flags: ExportFlags,
  several: boolean,
): number {
  if (flags.output === '-' && songs.length > 1)
    throw new Stop(exit.call, 'several songs cannot go to one stdout', 'name a folder: -o FOLDER');
  const settings = setSettings();
  let status: number = exit.done;
  songs.forEach(({ song, name }, index) => {
    const bytes = written(song, format, flags, settings);
    if (flags.output === '-') {
      sendOut(bytes, format);
      return;
    }
    const path = pathFor(flags.output, `${name}.${formats[format]}`, several);
    const refusal = writeOut(path, bytes, flags.force ?? false);
    if (refusal) {
      if (!several) throw refused(refusal);
      say(safeText(refusal.reason));
      status = Math.max(status, unwrittenStatus(refusal.blame));
    } else say(`${several ? `${index + 1} of ${songs.length}: ` : ''}${safeText(path)}`);
  });
  return status;
}

function refused({ reason, blame }: Refusal): Stop {
  return new Stop(unwrittenStatus(blame), reason, 'or name another file with -o');
}

/** To stdout: text as a document, bytes to a program only. */
function sendOut(made: string | Uint8Array, format: Format): void {
  if (typeof made === 'string') printDocument(made);
  else if (process.stdout.isTTY)
    throw new Stop(
      exit.call,
      `${format} is not for a terminal`,
      'name a file with -o, or hand it on to a program',
    );
  else printBytes(made);
}

function pathFor(output: string | undefined, name: string, several: boolean): string {
  if (output === undefined) return resolve(name);
  const isFolder = several || isDirectory(output);
  return isFolder ? join(resolve(output), name) : resolve(output);
}

function isDirectory(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}

/** A song of a set in each key that is asked for; in its own where none is. */
function keysAsked(song: Song, flags: ExportFlags): readonly Song[] {
  if (flags.keys === undefined && flags.key === undefined) return [song];
  // A set has major and minor songs: each is put on the tonic that is asked for.
  const { mode } = song.chart.key;
  return keysGiven(flags).map(({ tonic }) => ({ ...song, key: { tonic, mode } }));
}

/** All songs on paper, or as text: one document. */
async function writePaper(
  songs: readonly Song[],
  base: string,
  format: 'pdf' | 'text',
  flags: ExportFlags,
  set: { readonly title: string; readonly date: string | null } | null,
): Promise<number> {
  const settings = setSettings();
  const blank = blankFlag(flags.blank);
  let told = Date.now();
  const sheets = songs.map((song, index) => {
    if (Date.now() - told > 1000) {
      told = Date.now();
      say(`${index} of ${songs.length}`);
    }
    return printedSheet({
      chart: song.chart,
      key: song.key,
      bpm: song.bpm,
      instrument: instrumentOf(song.chart),
      plan: arranged(song, settings).plan,
      options: planOf(settings),
      patterns: ownPatterns(),
    });
  });
  const order = set && {
    ...set,
    lines: songs.map((song, index) => orderLine(song, sheets[index])),
  };
  const bytes =
    format === 'text'
      ? textOf(sheets, order, blank)
      : await sheetPdf(
          sheets,
          {
            paper: paperFlag(flags.paper),
            large: flags.large ?? false,
            leftHanded: flags.leftHanded ?? settings.neck.mirrored,
            blank,
            fonts: fontsFor(),
          },
          order,
        );
  if (flags.output === '-' || (format === 'text' && flags.output === undefined)) {
    sendOut(bytes, format);
    return exit.done;
  }
  const path = pathFor(flags.output, `${base}.${formats[format]}`, false);
  const refusal = writeOut(path, bytes, flags.force ?? false);
  if (refusal) throw refused(refusal);
  say(safeText(path));
  return exit.done;
}

function orderLine(song: Song, sheet: PrintedSheet | undefined): PrintedOrder['lines'][number] {
  const { chart, key, bpm, passes, countIn } = song;
  const share = bpm / chart.tempo.bpm;
  const minutes = clockText(songSeconds(chart, { key, bpm, share, passes, countIn }));
  return {
    title: sheet?.title ?? chart.title,
    key: sheet?.key ?? '',
    told: `${sheet?.tempo ?? ''}  ${sheet?.meter ?? ''}  ${minutes}`,
    notes: song.notes,
  };
}

function textOf(sheets: readonly PrintedSheet[], order: PrintedOrder | null, blank: Blank): string {
  const head =
    order === null
      ? []
      : [
          `${order.title}${order.date === null ? '' : `, ${order.date}`}`,
          '',
          ...order.lines.flatMap(({ title, key, told, notes }, index) => [
            `${String(index + 1).padStart(2)}  ${title}, ${key}  ${told}`,
            ...(notes === null ? [] : [`      ${notes}`]),
          ]),
          '',
        ];
  const pages = sheets.map((sheet) => sheetText(sheet, blank));
  return [...(order === null ? [] : [head.map(safeText).join('\n')]), ...pages].join('\n\n');
}

function blankFlag(text: string | undefined): Blank {
  if (text === undefined) return null;
  if (text === 'chords' || text === 'shapes') return text;
  throw new Stop(
    exit.call,
    `--blank “${safeText(text)}” is nothing that can be left blank`,
    'it is chords or shapes',
  );
}

function paperFlag(text: string | undefined): 'A4' | 'letter' {
  const named = text?.toLowerCase() ?? 'a4';
  if (named === 'a4') return 'A4';
  if (named === 'letter') return 'letter';
  throw new Stop(exit.call, `--paper “${safeText(text ?? '')}” is no paper`, 'it is a4 or letter');
}

/** The font that is put into the file: it has the musician's signs, and may be given on freely. */
function fontsFor(): { regular: Uint8Array; bold: Uint8Array } {
  const find = createRequire(import.meta.url);
  const read = (name: string): Uint8Array => readFileSync(find.resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`));
  return { regular: read('DejaVuSans'), bold: read('DejaVuSans-Bold') };
}

function written(
  song: Song,
  format: Exclude<Format, 'pdf' | 'text'>,
  flags: ExportFlags,
  settings: Settings,
): string | Uint8Array {
  switch (format) {
    case 'midi':
      return midiOf(song, flags, settings);
    case 'abc':
      return abcOf(song, flags, settings);
    case 'musicxml':
      return scoreOf(song, flags, settings);
  }
}

function arranged({ chart, key, bpm }: Song, settings: Settings): Arrangement {
  return arrange(chart, {
    key,
    share: bpm / chart.tempo.bpm,
    instrument: instrumentOf(chart),
    plan: planOf(settings),
    sound: soundOf(chart, settings.sound),
    patterns: ownPatterns(),
  });
}

function midiOf(song: Song, flags: ExportFlags, settings: Settings): Uint8Array {
  const arrangement = arranged(song, settings);
  const notes = notesInPass(arrangement);
  if (notes * song.passes > mostMidiNotes)
    throw new Stop(
      exit.call,
      `${song.passes} passes of ${notes} notes are more than a MIDI file is written with, ${mostMidiNotes}`,
      `take at most --passes ${Math.floor(mostMidiNotes / notes)}`,
    );
  const take = {
    score: arrangement.score,
    ...(arrangement.final ? { finalScore: arrangement.final.score } : {}),
    passes: song.passes,
    share: song.bpm / song.chart.tempo.bpm,
    countIn: song.countIn,
    sound: soundOf(song.chart, settings.sound),
  };
  return midiFile({ chart: song.chart, arrangement, take, mix: mixOf(flags, settings.mix) });
}

/** In a file everything sounds unless it is said: whoever reads it can mute a track. */
function mixOf(flags: ExportFlags, mix: Mix): Mix {
  const all: Mix = {
    ...mix,
    alone: null,
    on: Object.fromEntries(voices.map((voice) => [voice, true])) as Mix['on'],
  };
  if (flags.voices === undefined) return all;
  const read = parseMix(flags.voices, all);
  if (read.ok) return read.value;
  throw new Stop(exit.call, `--voices ${read.fault.message}`);
}

/** The chart as a lead sheet; what of it the format cannot say is told. */
function sheetOf(song: Song, format: string): LeadSheet {
  const chart = { ...song.chart, tempo: { ...song.chart.tempo, bpm: Math.round(song.bpm) } };
  const { sheet, lost } = sheetFromChart(chart, song.key);
  for (const what of lost) say(`${safeText(song.chart.title)}: ${format} cannot say ${what}`);
  return sheet;
}

/** The shape of a chord of the sheet: the first the plan has for it. */
function shapesOf(song: Song, sheet: LeadSheet, settings: Settings) {
  const named = ({ root, quality, bass }: Chord): string => `${root} ${quality} ${bass}`;
  const shapes = new Map<string, Fingering>();
  for (const { chord, fingering } of arranged(song, settings).plan.changes)
    if (fingering && !shapes.has(named(chord))) shapes.set(named(chord), fingering);
  return (bar: number, place: number): Fingering | null => {
    const chord = sheet.bars[bar]?.chords[place]?.chord;
    return chord ? (shapes.get(named(chord)) ?? null) : null;
  };
}

function abcOf(song: Song, flags: ExportFlags, settings: Settings): string {
  const sheet = sheetOf(song, 'ABC');
  if (!flags.shapes) return abcText(sheet);
  const shapeOf = shapesOf(song, sheet, settings);
  const above = (bar: number, place: number): string => {
    const shape = shapeOf(bar, place);
    return shape ? fretsText(shape.frets) : '';
  };
  return abcText(sheet, { above });
}

function scoreOf(song: Song, flags: ExportFlags, settings: Settings): string {
  const sheet = sheetOf(song, 'MusicXML');
  const form = sheet.form && sheet.form.length > 1 ? { form: song.chart.form.map(entryText).join(', ') } : {};
  const shapes = flags.shapes ? { fingeringOf: shapesOf(song, sheet, settings) } : {};
  const { name, courses } = instrumentOf(song.chart);
  return musicXml(sheet, {
    courses: courses.length,
    instrument: { name, program: song.chart.midi ?? 26 },
    ...form,
    ...shapes,
  });
}

function entryText({ section, times }: Chart['form'][number]): string {
  return times > 1 ? `${section} x${times}` : section;
}
