import { safeText } from '../base/safe-text.js';
import type { Format, SongWriter } from '../exchange/format.js';
import { exit, Stop, say } from './exit.js';
import { exportPath, sendOut, tryWrite } from './export-out.js';
import type { ExportOf, NamedSong } from './export-song.js';

/**
 * Writes each song into a file of its own.
 *
 * @param several whether they go into a folder, as those of a set do, even if it has only one
 */
export async function exportSongs(
  songs: readonly NamedSong[],
  { format, write }: { readonly format: Format; readonly write: SongWriter },
  { flags }: ExportOf,
  several: boolean,
): Promise<number> {
  if (flags.output === '-' && songs.length > 1)
    throw new Stop(exit.call, 'several songs cannot all go to stdout', 'name a folder: -o FOLDER');
  let status: number = exit.done;
  songs.forEach(({ song, name }, index) => {
    const written = write(song, { shapes: flags.shapes ?? false });
    if (!written.ok) throw new Stop(exit.call, written.fault.message, written.fault.instead);
    const { content, lost } = written.value;
    for (const what of lost) say(`${safeText(song.setup.chart.title)}: ${format.label} cannot say ${what}`);
    if (flags.output === '-') {
      sendOut(content, format);
      return;
    }
    const path = exportPath(flags.output, name, format, several);
    const refused = tryWrite(path, content, flags.force ?? false);
    if (refused) {
      if (!several) throw refused;
      say(refused.what);
      status = Math.max(status, refused.status);
    } else say(`${several ? `${index + 1} of ${songs.length}: ` : ''}${safeText(path)}`);
  });
  return status;
}
