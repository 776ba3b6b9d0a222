// What is fuzzed: the files it begins with, the tokens that are sprinkled in, and what must hold of every file.
import { readdirSync, readFileSync } from 'node:fs';
import { Faults } from '../../dist/chart/fault.js';
import { importLetters } from '../../dist/chart/import-letters.js';
import { readChart } from '../../dist/chart/read.js';
import { unroll } from '../../dist/chart/unroll.js';
import { writeChart } from '../../dist/chart/write.js';
import { parseYaml } from '../../dist/chart/yaml-source.js';
import { abcTunes, readAbc } from '../../dist/exchange/abc-read.js';
import { abcText } from '../../dist/exchange/abc-write.js';
import { sheetFromChart } from '../../dist/exchange/chart-to-sheet.js';
import { readMusicXml } from '../../dist/exchange/musicxml-read.js';
import { musicXml } from '../../dist/exchange/musicxml-write.js';
import { chartFromSheet } from '../../dist/exchange/sheet-to-chart.js';
import { readsBack, writtenChart } from '../../dist/exchange/written-chart.js';
import { bytesOf, openWav } from '../../dist/listen/wav.js';
import { wavHeader, wavSamples } from '../../dist/listen/wav-write.js';
import { asPlayed, songFaults } from '../../dist/setlist/as-played.js';
import { readDocument } from '../../dist/setlist/document.js';
import { playedSong, songSeconds } from '../../dist/setlist/running-order.js';
import { walkSongs } from '../../dist/setlist/walk.js';
import { bandKind } from './band.mjs';
import { mutateElements } from './mutate.mjs';
import { tuneKind } from './tune.mjs';
import { lettersSeeds, lettersTokens, seeds, tokens } from './words.mjs';

const folder = new URL('../../charts/', import.meta.url);
const files = readdirSync(folder)
  .filter((name) => name.endsWith('.yaml'))
  .map((name) => ({ name, bytes: readFileSync(new URL(name, folder)) }));
const charts = files.flatMap(({ bytes }) => {
  const read = readDocument(bytes);
  return read.ok && read.value.kind === 'chart' ? [read.value.chart] : [];
});
const sheets = charts.map((chart) => sheetFromChart(chart, chart.key).sheet);

/** A fault of a chart lies within its file. */
function placesWithin(faults, bytes) {
  const lines = new TextDecoder().decode(bytes).split('\n');
  for (const { line, column } of faults) {
    const inside =
      line >= 1 && line <= lines.length && column >= 1 && column <= [...(lines[line - 1] ?? '')].length + 2;
    if (!inside) throw new Error(`a fault at ${line}:${column}, outside the file`);
  }
}

/** A chart that reads unrolls, and what is written of it reads. */
function holdsTogether(chart) {
  for (const final of [false, true])
    if (unroll(chart, { final }).fault) throw new Error('a chart that reads well does not unroll');
  const again = readChart(Buffer.from(writeChart(chart)));
  if (!again.ok) throw new Error(`what was written does not read: ${again.faults[0]?.message}`);
}

/** What an import hands out reads without fault. Answers whether it hands out anything. */
function readsAsChart(made) {
  if (!made.ok) return false;
  const read = readChart(Buffer.from(made.value));
  if (!read.ok) throw new Error(`what was brought in does not read: ${read.faults[0]?.message}`);
  holdsTogether(read.value);
  return true;
}

function fuzzSet(bytes) {
  const read = readDocument(bytes);
  placesWithin(read.faults, bytes);
  if (!read.ok) return false;
  if (read.value.kind !== 'set') return read.value.kind === 'chart';
  // Its songs are the demo charts and itself.
  const known = new Map([...files.map((one) => [one.name, readDocument(one.bytes)]), ['own.yaml', read]]);
  let opened = 0;
  const { files: found } = walkSongs(
    'own.yaml',
    (name) => {
      opened += 1;
      const content = known.get(name);
      const set = content?.ok && content.value.kind === 'set' ? content.value.set : null;
      return { opened: content ?? {}, songs: set ? set.entries.map(({ file }) => file) : [] };
    },
    (name) => name,
  );
  if (opened !== found.size) throw new Error('a file of a set was opened twice');
  for (const entry of read.value.set.entries) {
    const song = known.get(entry.file);
    if (!song?.ok || song.value.kind !== 'chart') continue;
    const { chart } = song.value;
    if (songFaults(chart, entry, ['ring']).some(({ severity }) => severity === 'error')) continue;
    if (!(songSeconds(asPlayed(chart, entry), playedSong(chart, entry)) >= 0))
      throw new Error('a song of a set lasts no time that is a number');
  }
  return true;
}

/** A WAV file of two hundred samples, its head of one format or another. */
function wavSeed(code, bits, channels, extensible) {
  const samples = wavSamples(Float32Array.from({ length: 200 }, (_, at) => Math.sin(at)));
  const head = Buffer.from(wavHeader(44_100, samples.length));
  head.writeUInt16LE(code, 20);
  head.writeUInt16LE(channels, 22);
  head.writeUInt16LE(bits, 34);
  if (!extensible) return Buffer.concat([head, samples]);
  const long = Buffer.alloc(24);
  long.writeUInt16LE(code, 8);
  head.writeUInt16LE(0xfffe, 20);
  head.writeUInt32LE(40, 16);
  return Buffer.concat([head.subarray(0, 36), long, head.subarray(36), samples]);
}

/** What a WAV file hands out is as long as it says, no longer than the file, and all numbers. */
function fuzzWav(bytes) {
  const wav = openWav(bytesOf(bytes));
  if (!wav.ok) return false;
  const { frames } = wav.value.head;
  const samples = wav.value.samples(0, Number.MAX_SAFE_INTEGER);
  if (samples.length !== frames || frames > bytes.length)
    throw new Error('more samples than there are bytes');
  if (!samples.every(Number.isFinite)) throw new Error('a sample that is not a number');
  return true;
}

/** Each kind: `seeds` and `tokens`, the CPU time a file of up to 32 KiB may take (ms), and what is tried: it answers whether the file was good. */
export const kinds = {
  chart: {
    seeds: [...files.map(({ bytes }) => bytes), ...seeds.chart],
    tokens: tokens.chart,
    longestMs: 100,
    attempt: (bytes) => {
      const reading = readChart(bytes);
      placesWithin(reading.faults, bytes);
      if (reading.ok) holdsTogether(reading.value);
      return reading.ok;
    },
  },
  abc: {
    seeds: [...sheets.map((sheet) => Buffer.from(abcText(sheet))), ...seeds.abc],
    tokens: tokens.abc,
    longestMs: 500,
    attempt: (bytes) => {
      let good = false;
      for (const tune of abcTunes(new TextDecoder().decode(bytes)).slice(0, 10))
        good = readsAsChart(writtenChart(chartFromSheet(readAbc(tune).sheet).chart)) || good;
      return good;
    },
  },
  musicxml: {
    seeds: sheets.map((sheet) =>
      Buffer.from(
        musicXml(sheet, {
          courses: 4,
          instrument: { name: 'mandolin', program: 26 },
          ...(sheet.form ? { form: sheet.form.join(', ') } : {}),
        }),
      ),
    ),
    tokens: tokens.musicxml,
    change: mutateElements,
    longestMs: 500,
    attempt: (bytes) => {
      const read = readMusicXml(new TextDecoder().decode(bytes));
      return read.ok && readsAsChart(writtenChart(chartFromSheet(read.value.sheet).chart));
    },
  },
  letters: {
    seeds: lettersSeeds,
    tokens: lettersTokens,
    longestMs: 500,
    attempt: (bytes, random) => {
      const sheet = importLetters(new TextDecoder().decode(bytes), {
        title: 'Sheet',
        key: { tonic: 'A', mode: 'major' },
        keyText: 'A',
        tempoText: '120',
        meterText: '4/4',
        skipWords: random(2) === 0,
      });
      return sheet.faults.length === 0 && readsAsChart(readsBack(sheet.text));
    },
  },
  set: {
    seeds: [
      ...files.flatMap(({ bytes }) =>
        parseYaml(bytes, new Faults())?.entries.some(({ name }) => name === 'charts') ? [bytes] : [],
      ),
      ...seeds.set,
    ],
    tokens: tokens.set,
    longestMs: 500,
    attempt: fuzzSet,
  },
  wav: {
    seeds: [
      wavSeed(1, 8, 1, false),
      wavSeed(1, 16, 1, false),
      wavSeed(1, 24, 2, true),
      wavSeed(1, 32, 1, true),
      wavSeed(3, 32, 2, false),
      wavSeed(3, 64, 1, true),
    ],
    tokens: ['RIFF', 'RF64', 'WAVE', 'fmt ', 'data', 'ds64', 'LIST', 'JUNK', '\u0000', '\u00ff'],
    longestMs: 100,
    attempt: fuzzWav,
  },
  tune: tuneKind,
  band: bandKind,
};
