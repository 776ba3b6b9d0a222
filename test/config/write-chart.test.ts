import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { writeChartText, writeNewChart } from '../../src/config/write-chart.js';

let folder = '';
let where = { demo: '', charts: '' };
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
  where = { demo: join(folder, 'demo'), charts: join(folder, 'own', 'charts') };
  mkdirSync(where.demo);
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('writeChartText', () => {
  it('writes over the file, through a link too, and keeps its permissions', () => {
    const file = join(folder, 'song.yaml');
    writeFileSync(file, 'old');
    chmodSync(file, 0o640);
    symlinkSync(file, join(folder, 'link.yaml'));
    expect(writeChartText(join(folder, 'link.yaml'), 'new', 'old', where)).toEqual({ ok: true, file });
    expect(readFileSync(file, 'utf8')).toBe('new');
    expect(statSync(file).mode & 0o777).toBe(0o640);
    expect(readdirSync(folder).sort()).toEqual(['demo', 'link.yaml', 'song.yaml']);
  });

  it('does not write over what somebody else has written meanwhile', () => {
    const file = join(folder, 'song.yaml');
    writeFileSync(file, 'theirs');
    const writing = writeChartText(file, 'new', 'old', where);
    expect(writing).toMatchObject({ ok: false });
    expect(writing.ok ? '' : writing.reason).toContain('another program has changed the file');
    expect(readFileSync(file, 'utf8')).toBe('theirs');
  });

  it('leaves demo charts as they are, and writes into the player’s own folder, never over anything', () => {
    const file = join(where.demo, 'song.yaml');
    writeFileSync(file, 'old');
    expect(writeChartText(file, 'new', 'old', where)).toEqual({
      ok: true,
      file: join(where.charts, 'song.yaml'),
    });
    expect(writeChartText(file, 'newer', 'old', where)).toEqual({
      ok: true,
      file: join(where.charts, 'song-2.yaml'),
    });
    expect(readFileSync(file, 'utf8')).toBe('old');
    expect(readFileSync(join(where.charts, 'song.yaml'), 'utf8')).toBe('new');
  });

  it('says why a file cannot be written', () => {
    const writing = writeChartText(join(folder, 'gone.yaml'), 'new', 'old', where);
    expect(writing.ok ? '' : writing.reason).toContain(
      'gone.yaml could not be written: the folder does not exist',
    );
  });
});

describe('writeNewChart', () => {
  it('makes the folder, and finds a free name', () => {
    expect(writeNewChart('bell.yaml', 'a', where.charts)).toEqual({
      ok: true,
      file: join(where.charts, 'bell.yaml'),
    });
    expect(writeNewChart('bell.yaml', 'b', where.charts)).toEqual({
      ok: true,
      file: join(where.charts, 'bell-2.yaml'),
    });
    expect(writeNewChart('bell.yaml', 'c', where.charts)).toEqual({
      ok: true,
      file: join(where.charts, 'bell-3.yaml'),
    });
  });
});
