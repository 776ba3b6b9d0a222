import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { expect, it } from 'vitest';
import { subfolders } from '../../src/config/files.js';
import { folders } from '../../src/config/folders.js';

it('lists the folders that have charts or folders in them, and no others', () => {
  const folder = mkdtempSync(join(tmpdir(), 'barkline-files-'));
  for (const [name, file] of [
    ['songs', 'a.yaml'],
    ['tunes', 'b.YML'],
    ['pages', 'README.md'],
    ['.hidden', 'c.yaml'],
  ] as const) {
    mkdirSync(join(folder, name));
    writeFileSync(join(folder, name, file), '');
  }
  mkdirSync(join(folder, 'years', '2026'), { recursive: true });
  mkdirSync(join(folder, 'pages', '.git'));
  expect(subfolders(folder).map((path) => basename(path))).toEqual(['songs', 'tunes', 'years']);
  expect(subfolders(join(folder, 'nowhere'))).toEqual([]);
});

it('does not list the reference that stands beside the demo charts', () => {
  expect(subfolders(folders.demo)).toEqual([]);
});
