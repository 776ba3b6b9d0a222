import { formatNamed } from '../exchange/formats.js';
import { stepChart } from '../shed/path-drill.js';
import { doneWhen } from '../shed/path-step.js';
import { pathSteps } from '../shed/path-steps.js';
import { parseKey } from '../theory/key.js';
import { exit, Stop } from './exit.js';
import { exportBook } from './export-book.js';
import { type ExportFlags, type ExportOf, type NamedSong, songOf } from './export-song.js';
import { ownPatterns } from './pattern-flag.js';
import { settingsOf } from './settings.js';
import { whoFlag } from './shed-common.js';

/** Which unseen song is on the sheet of the last step: paper has to choose one. */
const sheetSeed = 1;

/** Writes the path as a book: its steps in order with what counts as done, then a sheet for each in its first key. */
export async function exportPathSheets(
  to: 'pdf' | 'text',
  { who, ...flags }: ExportFlags & { readonly who?: string },
): Promise<number> {
  const format = formatNamed(to);
  const { writer } = format;
  if (writer.kind !== 'book')
    throw new Stop(exit.call, `${to} is not a format for sheets`, 'write --to pdf or text');
  const of: ExportOf = { flags, settings: settingsOf(whoFlag(who)), patterns: ownPatterns() };
  const songs = pathSteps.flatMap((step): NamedSong[] => {
    const key = parseKey(step.keys[0] ?? 'G');
    if (!key.ok) return [];
    const chart = stepChart(step, key.value, step.bpm, sheetSeed);
    const song = songOf({ ...chart, title: step.title, notes: step.says }, null, of);
    return [{ song: { ...song, notes: `Done: ${doneWhen(step)}.` }, name: step.id }];
  });
  return exportBook(songs, 'path', { format, write: await writer.load() }, of, {
    title: 'The path',
    date: null,
  });
}
