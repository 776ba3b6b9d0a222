import { recallChoices } from '../config/choices.js';
import type { Settings } from '../config/settings.js';
import type { OpenKind, SongWishes } from '../ui/state/library.js';
import type { Look } from '../ui/state/look.js';
import type { Message } from '../ui/state/messages.js';
import { Stop } from './exit.js';
import { folderLibrary, setLibrary } from './library.js';
import { firstFault, load } from './load.js';
import { openSet } from './open-set.js';
import type { PlayFlags } from './play-options.js';
import type { SongFiles } from './song-files.js';
import { standStart } from './stand-start.js';
import { beginTranscript, transcriptTakenUp } from './transcribing.js';

/** What charts are opened with. */
export interface Opening {
  readonly flags: PlayFlags;
  readonly settings: Settings;
  readonly look: Look;
  readonly songs: SongFiles;
}

/** Runs a set; `null` if the file is not a set. */
export function runOf(file: string, opening: Opening): Message | null {
  const { content } = load(file);
  return content?.kind === 'set' ? openSet(file, content.set, opening) : null;
}

/** What somebody chose in a list, opened. It never ends the program: a mistake becomes a message. */
export function openItem(file: string, wishes: SongWishes, kind: OpenKind, opening: Opening): Message {
  if (kind === 'run' || kind === 'resume') return runAgain(file, kind === 'resume', opening);
  if (kind === 'transcript') return transcriptTakenUp(file, opening);
  if (kind === 'folder') return { kind: 'library', library: folderLibrary(file, opening) };
  return kind === 'new' ? beginTranscript(opening) : openFile(file, wishes, opening);
}

/** A set is run from the stand, where nothing may end the program. */
function runAgain(file: string, resume: boolean, { flags, ...opening }: Opening): Message {
  try {
    const run = runOf(file, { ...opening, flags: { ...flags, ...(resume ? { resume } : {}) } });
    return run ?? { kind: 'open-failed', reason: 'this is no longer a set' };
  } catch (error) {
    if (error instanceof Stop) return { kind: 'open-failed', reason: error.what };
    throw error;
  }
}

/** A chart for the stand, or a set as a list of its songs; what is wrong is a message. */
export function openFile(file: string, wishes: SongWishes, { flags, settings, look }: Opening): Message {
  try {
    const loaded = load(file);
    const { content } = loaded;
    if (!content) return { kind: 'open-failed', reason: firstFault(loaded) };
    if (content.kind === 'set') return { kind: 'library', library: setLibrary(file, content.set, look) };
    if (content.kind !== 'chart')
      return {
        kind: 'open-failed',
        reason: `this is ${content.kind === 'instrument' ? 'an' : 'a'} ${content.kind}, not a chart`,
      };
    const { chart } = content;
    const entry = {
      key: wishes.key,
      tempo: wishes.bpm === null ? null : { ...chart.tempo, bpm: wishes.bpm },
    };
    const start = standStart(chart, entry, flags, settings, recallChoices(file).choices);
    return { kind: 'chart-opened', file, chart, start, source: loaded.text };
  } catch (error) {
    if (error instanceof Stop) return { kind: 'open-failed', reason: error.what };
    throw error;
  }
}
