import { basename, dirname, resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { meterText } from '../chart/chart.js';
import { type SongFacts, songFacts } from '../chart/find/song-facts.js';
import { shortTempo } from '../chart/label.js';
import { SongsFile } from '../config/songs-file.js';
import { keyName, withSigns } from '../theory/key.js';
import type { LibraryItem, SongWishes } from '../ui/state/library.js';
import type { Look } from '../ui/state/look.js';
import { Stop } from './exit.js';
import { firstFault, type Loaded, load } from './load.js';

/** Nothing is asked of a chart by a set. */
export const noWishes: SongWishes = { key: null, bpm: null };

/** The files that lists show: read once, and known again at the next start as long as they are the same. */
export class SongFiles {
  private readonly folders = new Map<string, SongsFile>();
  private readonly seen = new Set<string>();

  /** A file as it is known from earlier; `null` where it is to be read. */
  known(file: string, look: Look): LibraryItem | null {
    this.seen.add(resolve(file));
    const facts = this.folderOf(file).known(file);
    return facts && songItem(file, facts, look, noWishes);
  }

  /** Reads a file as a line of a list. */
  read(file: string, look: Look): LibraryItem {
    const item = fileItem(file, look);
    this.seen.add(resolve(file));
    this.folderOf(file).learn(file, item.facts ?? null);
    return item;
  }

  /** Keeps what was read for the next start. */
  keep(): void {
    for (const folder of this.folders.values()) folder.keep(this.seen);
  }

  private folderOf(file: string): SongsFile {
    const path = dirname(resolve(file));
    const known = this.folders.get(path);
    if (known) return known;
    const opened = new SongsFile(path);
    this.folders.set(path, opened);
    return opened;
  }
}

/** A file as a line of the list; one with faults is listed with the first of them. */
export function fileItem(file: string, look: Look, wishes: SongWishes = noWishes): LibraryItem {
  const faulty = (title: string, detail: string): LibraryItem => ({
    file,
    kind: 'faulty',
    title: safeText(title),
    detail,
    wishes,
  });
  let loaded: Loaded;
  try {
    loaded = load(file);
  } catch (error) {
    if (error instanceof Stop) return faulty(basename(file), error.what);
    throw error;
  }
  const { content } = loaded;
  if (!content) return faulty(basename(file), firstFault(loaded));
  switch (content.kind) {
    case 'set':
      return {
        file,
        kind: 'set',
        title: safeText(content.set.title),
        detail: `${content.set.entries.length} songs`,
        wishes,
      };
    case 'instrument':
      return faulty(content.instrument.name, 'an instrument, not a chart');
    case 'pattern':
      return faulty(content.pattern.name, 'a pattern, not a chart');
    case 'chart':
      return songItem(file, songFacts(content.chart), look, wishes);
  }
}

/** A chart as a line of a list, in the key and tempo that are wished for. */
function songItem(file: string, own: SongFacts, look: Look, wishes: SongWishes): LibraryItem {
  const facts: SongFacts = {
    ...own,
    key: wishes.key ?? own.key,
    tempo: { ...own.tempo, bpm: wishes.bpm ?? own.tempo.bpm },
  };
  const key = keyName(facts.key);
  const tempo = shortTempo(facts.tempo, look.unicode);
  const detail = `${(look.unicode ? withSigns(key) : key).padEnd(4)} ${tempo.padEnd(12)} ${meterText(facts.meter)}`;
  return { file, kind: 'chart', title: safeText(facts.title), detail, wishes, facts };
}
