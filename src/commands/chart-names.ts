import { existsSync, statSync } from 'node:fs';
import { relative } from 'node:path';
import { chartFiles, subfolders } from '../config/chart-folders.js';
import { folders } from '../config/folders.js';

/** A chart or set that can be named without its folder and extension. */
export interface NamedChart {
  /** `ropewalk-penny`, or in a folder within the player's own `waltzes/ropewalk-penny`. */
  readonly name: string;
  readonly file: string;
}

const ending = /\.ya?ml$/i;

/** The player's own charts, those in folders within, and the demo ones; of one name the player's own. */
export function namedCharts(
  own: string = folders.charts,
  demo: string = folders.demo,
): readonly NamedChart[] {
  const found = new Map<string, NamedChart>();
  const take = (folder: string, inner: readonly string[]): void => {
    for (const file of [folder, ...inner].flatMap(chartFiles)) {
      const name = relative(folder, file).replace(ending, '');
      if (!found.has(name)) found.set(name, { name, file });
    }
  };
  take(own, subfolders(own));
  take(demo, []);
  return [...found.values()];
}

/**
 * The file that a command line means: the path itself; else with the extension of charts; else the player's own chart of that name, else
 * the demo one. If none of these is there, the text as it is, and opening it reports that it is missing.
 */
export function chartFile(text: string, charts: () => readonly NamedChart[] = namedCharts): string {
  if (text === '' || existsSync(text)) return text;
  const here = [`${text}.yaml`, `${text}.yml`].find(isFile);
  const name = text.replace(ending, '');
  return here ?? charts().find((one) => one.name === name)?.file ?? text;
}

function isFile(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isFile() ?? false;
}
