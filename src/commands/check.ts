import { jsonText } from '../base/json.js';
import type { Chart } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { shapelessChords } from '../hand/shapeless.js';
import { songFaults } from '../setlist/as-played.js';
import { exit, print, printDocument, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { count, faultText, type Loaded, load, songPath } from './load.js';
import { ownPatterns, patternNames, unknownPatterns } from './pattern-flag.js';

/** Checks charts and sets; of a set, its charts too. Answers the exit status: 1 when there is an error. */
export function check(files: readonly string[], options: { json?: boolean }): number {
  const loaded = files.flatMap(withSongs);
  const failed = loaded.some((one) => one.faults.some((fault) => fault.severity === 'error'));
  if (options.json) {
    const faults = loaded.flatMap(({ file, faults: list }) =>
      list.map(({ line, column, severity, message }) => ({ file, line, column, severity, message })),
    );
    printDocument(jsonText({ faults }, 2));
    return failed ? exit.input : exit.done;
  }
  for (const one of loaded) {
    for (const fault of one.faults) print(...faultText(one, fault));
    print(`${one.file}: ${count(one.faults)}`);
  }
  return failed ? exit.input : exit.done;
}

function withSongs(file: string): Loaded[] {
  const loaded = load(file);
  if (loaded.content?.kind === 'chart') return [withShapes(loaded, loaded.content.chart)];
  if (loaded.content?.kind !== 'set') return [loaded];
  const { set } = loaded.content;
  const missing: Loaded['faults'][number][] = [];
  const patterns = patternNames();
  const songs = set.entries.flatMap((entry, index) => {
    try {
      const own = withSongs(songPath(file, set, index));
      const chart = own[0]?.content;
      if (chart?.kind === 'chart')
        missing.push(
          ...songFaults(chart.chart, entry, patterns).map(({ place, ...fault }) => ({ ...place, ...fault })),
        );
      else if (chart)
        missing.push({ ...entry.place, severity: 'error', message: `this is no chart but ${chart.kind}` });
      return own;
    } catch (error) {
      if (!(error instanceof Stop)) throw error;
      missing.push({ ...entry.place, severity: 'error', message: error.what });
      return [];
    }
  });
  return [withLines({ ...loaded, faults: [...loaded.faults, ...missing] }), ...songs];
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
  return withLines({ ...loaded, faults: [...loaded.faults, ...shapeless] });
}
