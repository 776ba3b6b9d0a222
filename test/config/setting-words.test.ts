import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { type SettingWords, settingWords } from '../../src/config/setting-words.js';
import { readSettings } from '../../src/config/settings.js';
import { settingNames } from '../../src/ui/keys/bindings.js';
import { isKeyName } from '../../src/ui/keys/names.js';

const folder = mkdtempSync(join(tmpdir(), 'barkline-words-'));
const words = { actions: settingNames, isKey: isKeyName };

function read(lines: readonly string[]) {
  writeFileSync(join(folder, 'settings.yaml'), `${lines.join('\n')}\n`);
  const { settings, faults } = readSettings(folder, words);
  return { settings, faults: faults.filter((fault) => fault.includes('settings.yaml:')) };
}
const all: readonly (readonly [string, SettingWords])[] = Object.entries(settingWords);

it.each(all)('%s: its example reads without a fault', (name, { example }) => {
  expect(example[0]).toMatch(new RegExp(`^${name}:`));
  expect(read(example).faults).toEqual([]);
});

it('has examples that read together, and each says something', () => {
  expect(read(all.flatMap(([, { example }]) => example)).faults).toEqual([]);
  for (const [name, { example }] of all) {
    const isUsual = ['chop', 'spread'].includes(name);
    const same = JSON.stringify(plain(read(example).settings)) === JSON.stringify(plain(read([]).settings));
    expect(same, name).toBe(isUsual);
  }
});

it('says what holds without a setting', () => {
  const { settings } = read([]);
  for (const name of ['home', 'melody', 'chop', 'spread', 'target'] as const)
    expect(read([`${name}: ${settingWords[name].usual}`]), name).toEqual({ settings, faults: [] });
  expect(read([`listen: ${settingWords.listen.usual}`])).toEqual({ settings, faults: [] });
  expect(read([`hand: ${settingWords.hand.usual}`])).toEqual({ settings, faults: [] });
});

/** Maps as lists, so that they can be compared as texts. */
function plain(value: unknown): unknown {
  if (value instanceof Map) return [...value].map(plain);
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, plain(one)]));
}
