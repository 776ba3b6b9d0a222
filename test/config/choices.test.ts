import { mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { keepChoices, recallChoices } from '../../src/config/choices.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('choices of a chart', () => {
  it('are kept beside each other, by the file’s real path', () => {
    const file = join(folder, 'song.yaml');
    writeFileSync(file, '');
    symlinkSync(file, join(folder, 'link.yaml'));
    keepChoices(file, { key: 'A', bpm: 100 }, null, folder);
    keepChoices(join(folder, 'link.yaml'), { bpm: 120 }, 5000, folder);
    expect(recallChoices(file, folder)).toEqual({ choices: { key: 'A', bpm: 120 }, played: 5000 });
    keepChoices(file, { range: null }, null, folder);
    expect(recallChoices(file, folder).played).toBe(5000);
    expect(recallChoices(join(folder, 'other.yaml'), folder)).toEqual({ choices: {}, played: 0 });
    // Nothing is left of the writing aside.
    expect(readdirSync(join(folder, 'charts')).every((name) => name.endsWith('.json'))).toBe(true);
  });

  it.each(['', 'no json', '[1]', '7', '{"choices": 3, "played": "x"}'])(
    'of a file that holds %j are none',
    (text) => {
      const file = join(folder, 'song.yaml');
      keepChoices(file, {}, null, folder);
      const [name = ''] = readdirSync(join(folder, 'charts'));
      writeFileSync(join(folder, 'charts', name), text);
      expect(recallChoices(file, folder)).toEqual({ choices: {}, played: 0 });
    },
  );
});
