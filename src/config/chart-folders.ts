import { readdirSync } from 'node:fs';
import { join } from 'node:path';

/*
 * Which files of a folder are charts, by their names alone: asked at every start, so that nothing that reads them is imported.
 */

/** The folders within a folder that have charts or folders in them, by name, without hidden ones; none when it is not there. */
export function subfolders(folder: string): string[] {
  try {
    return readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'))
      .map((entry) => join(folder, entry.name))
      .filter(hasCharts)
      .sort((one, other) => one.localeCompare(other));
  } catch {
    return [];
  }
}

/** Whether a folder has something to list; one that may not be read is kept, so that opening it says why. */
function hasCharts(folder: string): boolean {
  try {
    return readdirSync(folder, { withFileTypes: true }).some(
      (entry) => isChartName(entry.name) || (entry.isDirectory() && !entry.name.startsWith('.')),
    );
  } catch {
    return true;
  }
}

function isChartName(name: string): boolean {
  return /\.ya?ml$/i.test(name);
}

/** The chart and set files of a folder, by name; none when the folder is not there. */
export function chartFiles(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter(isChartName)
      .sort((one, other) => one.localeCompare(other))
      .map((name) => join(folder, name));
  } catch {
    return [];
  }
}
