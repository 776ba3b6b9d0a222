import { accessSync, mkdtempSync, rmdirSync, statfsSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { chartFiles, subfolders } from '../../config/files.js';
import { folders } from '../../config/folders.js';
import { readSettings } from '../../config/settings.js';
import { notWritten } from '../../config/why-not.js';
import { settingNames } from '../../ui/keys/bindings.js';
import { isKeyName } from '../../ui/keys/names.js';
import { Stop } from '../exit.js';
import { firstFault, load } from '../load.js';
import type { FoundCharts, FoundFolder, FoundSettings } from './judge-files.js';

/** Looks whether a folder can be written, or made where it is not there: by making a folder within and removing it again. */
export function lookAtFolder(path: string): FoundFolder {
  const isThere = statSync(path, { throwIfNoEntry: false }) !== undefined;
  let unwritable: string | null = null;
  let free: number | null = null;
  try {
    const nearest = nearestThere(path);
    rmdirSync(mkdtempSync(join(nearest, '.barkline-')));
    const { bavail, bsize } = statfsSync(nearest);
    free = bavail * bsize;
  } catch (error) {
    unwritable = notWritten(error).message;
  }
  return { path, isThere, unwritable, free };
}

/** The folder itself, or the one above it in which what is missing would be made. */
function nearestThere(path: string): string {
  let at = path;
  while (at !== dirname(at) && !isThere(at)) at = dirname(at);
  return at;
}

function isThere(path: string): boolean {
  try {
    accessSync(path);
    return true;
  } catch (error) {
    // What may not even be looked at is there, and says so when it is written to.
    return (error as NodeJS.ErrnoException).code !== 'ENOENT';
  }
}

/** Reads the settings as the screen does, keys too. */
export function lookAtSettings(): FoundSettings & Pick<ReturnType<typeof readSettings>, 'settings'> {
  const { settings, faults, file } = readSettings(folders.config, {
    actions: settingNames,
    isKey: isKeyName,
  });
  return { settings, faults, file, isThere: statSync(file, { throwIfNoEntry: false }) !== undefined };
}

/**
 * Reads the player's own charts, folders within included, and the demo ones; those for which there is no time are counted. Between two
 * everything else has its turn.
 */
export async function lookAtCharts(seconds: number): Promise<FoundCharts> {
  const files = [folders.charts, ...subfolders(folders.charts), folders.demo].flatMap(chartFiles);
  const unreadable: { file: string; fault: string }[] = [];
  const end = Date.now() + 1000 * seconds;
  let looked = 0;
  for (const file of files) {
    if (Date.now() > end) break;
    const fault = faultOf(file);
    if (fault !== null) unreadable.push({ file, fault });
    looked += 1;
    await new Promise((resolve) => setImmediate(resolve));
  }
  return { looked, more: files.length - looked, unreadable };
}

function faultOf(file: string): string | null {
  try {
    const loaded = load(file);
    return loaded.content ? null : firstFault(loaded);
  } catch (error) {
    if (error instanceof Stop) return error.what;
    throw error;
  }
}
