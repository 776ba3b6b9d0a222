import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { didYouMean } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import { Faults } from '../chart/fault.js';
import { parseVoiceRange, type VoiceRange } from '../chart/fit.js';
import { parseYaml } from '../chart/yaml-source.js';
import { folders } from './folders.js';

/** What the user has set, in `settings.yaml` in the config folder. */
export interface Settings {
  /** What each singer can sing: `singers:` and below it `  Ansa: A3-D5`. */
  readonly singers: ReadonlyMap<string, VoiceRange>;
}

/** The settings, and sentences about what in them is at fault: the rest holds all the same. */
export function readSettings(folder: string = folders.config): {
  settings: Settings;
  faults: readonly string[];
  file: string;
} {
  const file = join(folder, 'settings.yaml');
  const singers = new Map<string, VoiceRange>();
  let bytes: Uint8Array;
  try {
    bytes = readFileSync(file);
  } catch {
    return { settings: { singers }, faults: [], file };
  }
  const faults = new Faults();
  for (const entry of parseYaml(bytes, faults)?.entries ?? []) {
    if (entry.name !== 'singers' || entry.value.kind !== 'map') {
      faults.error(
        entry.place,
        `${quoted(entry.name)} is no setting${didYouMean(entry.name, ['singers'])}; known is singers, with a range for each name`,
      );
      continue;
    }
    for (const { name, value, place } of entry.value.entries) {
      const range = parseVoiceRange(value.kind === 'text' ? value.text : '');
      if (range.ok) singers.set(name, range.value);
      else faults.error(value.kind === 'nothing' ? place : value.place, range.fault.message);
    }
  }
  return {
    settings: { singers },
    faults: faults.sorted().map((fault) => `${file}:${fault.line}:${fault.column}: ${fault.message}`),
    file,
  };
}
