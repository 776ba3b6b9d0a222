import { realpathSync } from 'node:fs';
import { basename, resolve } from 'node:path';
import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { type Fault, Faults } from '../chart/fault.js';
import { unroll } from '../chart/unroll.js';
import { shapelessChords } from '../hand/shapeless.js';
import { songFaults } from '../setlist/as-played.js';
import type { DocumentContent } from '../setlist/document.js';
import type { SetEntry } from '../setlist/set.js';
import { type Opened, walkSongs } from '../setlist/walk.js';
import { exit, print, printDocument, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { count, faultText, type Loaded, load, songPath } from './load.js';
import { loadPlan } from './load-plan.js';
import { ownPatterns, patternNames, unknownPatterns } from './pattern-flag.js';

/** Checks charts, sets and plans; of a set or plan, its charts too. Answers the exit status: 1 when there is an error. */
export function check(files: readonly string[], options: { json?: boolean }): number {
  const loaded = files.flatMap(withSongs);
  const failed = loaded.some(
    ({ faults, untold }) => (untold?.errors ?? 0) > 0 || faults.some((fault) => fault.severity === 'error'),
  );
  if (options.json) {
    const faults = loaded.flatMap(({ file, faults: list }) =>
      list.map(({ line, column, severity, message }) => ({ file, line, column, severity, message })),
    );
    const untold = loaded.flatMap((one) => (one.untold ? [{ file: one.file, ...one.untold }] : []));
    printDocument(jsonText({ faults, ...(untold.length > 0 ? { untold } : {}) }, 2));
    return failed ? exit.input : exit.done;
  }
  for (const one of loaded) {
    for (const fault of one.faults) print(...faultText(one, fault));
    print(`${one.file}: ${count(one.faults, one.untold)}`);
  }
  return failed ? exit.input : exit.done;
}

/** A file with its faults and, of a set, each of its songs' once, however often it is played. */
function withSongs(file: string): readonly Loaded[] {
  const plan = loadPlan(file);
  if (plan) return [{ ...plan, content: null, text: '' }];
  const patterns = patternNames();
  const songsOf = ({ file: from, content }: Loaded): readonly string[] =>
    content?.kind === 'set' ? content.set.entries.map((_, index) => songPath(from, content.set, index)) : [];
  const open = (name: string): Opened<Loaded | Stop> => {
    try {
      const opened = load(name);
      const { content } = opened;
      return {
        opened: content?.kind === 'chart' ? withShapes(opened, content.chart) : opened,
        songs: songsOf(opened),
      };
    } catch (error) {
      // A song that is not there is at fault in its set; the file that was named ends the command.
      if (!(error instanceof Stop) || name === file) throw error;
      return { opened: error, songs: [] };
    }
  };
  const { files, circles } = walkSongs(file, open, realPath);
  return [...files].flatMap(([id, one]) => {
    if (one instanceof Stop) return [];
    if (one.content?.kind !== 'set') return [one];
    const songs = songsOf(one);
    const ways = new Map(circles.filter(({ set }) => set === id).map(({ song, way }) => [song, way]));
    const ofSongs = one.content.set.entries.flatMap((entry, index) =>
      faultsOfSong(entry, files.get(realPath(songs[index] ?? '')), ways.get(index), patterns),
    );
    return [withLines(withFaults(one, ofSongs))];
  });
}

/** A file is the same by whatever links it is reached. */
function realPath(path: string): string {
  try {
    return realpathSync(path);
  } catch {
    return resolve(path);
  }
}

function faultsOfSong(
  entry: SetEntry,
  read: Loaded | Stop | undefined,
  way: readonly string[] | undefined,
  patterns: readonly string[],
): readonly Fault[] {
  const wrong = (message: string): readonly Fault[] => [{ ...entry.place, severity: 'error', message }];
  if (way)
    return wrong(
      `this set contains itself: ${way.map((one) => safeText(basename(one))).join(' has ')}; name a chart here`,
    );
  if (read instanceof Stop) return wrong(read.what);
  const content = read?.content;
  if (content?.kind === 'chart')
    return songFaults(content.chart, entry, patterns).map(({ place, ...fault }) => ({ ...place, ...fault }));
  return content ? wrong(`this is not a chart but ${kindName(content.kind)}; name a chart here`) : [];
}

function kindName(kind: DocumentContent['kind']): string {
  return kind === 'instrument' ? `an ${kind}` : `a ${kind}`;
}

/** A file with faults that were found after it was read. */
function withFaults(loaded: Loaded, added: readonly Fault[]): Loaded {
  const all = new Faults();
  for (const fault of [...loaded.faults, ...added]) all.add(fault);
  const { faults, untold } = all.refused();
  const errors = (untold?.errors ?? 0) + (loaded.untold?.errors ?? 0);
  const warnings = (untold?.warnings ?? 0) + (loaded.untold?.warnings ?? 0);
  return { ...loaded, faults, ...(errors + warnings > 0 ? { untold: { errors, warnings } } : {}) };
}

/** Faults that were found after reading want to be shown with their lines too. */
function withLines(loaded: Loaded): Loaded {
  return loaded.lines.length > 0 || loaded.faults.length === 0
    ? loaded
    : { ...loaded, lines: loaded.text.replace(/^\ufeff/, '').split('\n') };
}

/** The file's faults and those that only the hand knows: chords that no closed shape fits, patterns that are not there. */
function withShapes(loaded: Loaded, chart: Chart): Loaded {
  const shapeless = [
    ...shapelessChords(chart, unroll(chart, { final: true }).bars, instrumentOf(chart)),
    ...unknownPatterns(chart, ownPatterns()),
  ];
  return withLines(withFaults(loaded, shapeless));
}
