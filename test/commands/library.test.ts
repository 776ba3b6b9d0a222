import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'barkline-library-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The program's modules with folders of their own: what is kept and the user's charts are found by the environment. */
async function fresh(name: string) {
  for (const kind of ['STATE', 'DATA', 'CONFIG', 'CACHE'])
    vi.stubEnv(`XDG_${kind}_HOME`, join(folder, name, kind));
  vi.resetModules();
  const { firstLibrary } = await import('../../src/commands/library.js');
  const { keepChoices } = await import('../../src/config/choices.js');
  const { SongFiles } = await import('../../src/commands/song-files.js');
  const { folders } = await import('../../src/config/folders.js');
  const { writeNewChart } = await import('../../src/config/write-chart.js');
  const { found } = await import('../../src/ui/state/library-found.js');
  const listed = () =>
    found(firstLibrary(undefined, { look: { colour: false, unicode: true }, songs: new SongFiles() }));
  const titles = (): string[] => listed().map(({ title }) => title);
  const hints = (): string[] => listed().flatMap(({ title, hint }) => (hint === 'start here' ? [title] : []));
  return { titles, hints, keepChoices, folders, writeNewChart };
}

beforeEach(() => {
  vi.unstubAllEnvs();
});

describe('the list a newcomer sees', () => {
  it('begins with a song in A, 4/4, of 1, 4 and 5, says so, and has the harder ones later', async () => {
    const { titles, hints, folders } = await fresh('new');
    const all = titles();
    expect(all[0]).toBe('Ropewalk Penny');
    expect(hints()).toEqual(['Ropewalk Penny']);
    expect(all.indexOf('Copperwort Lane')).toBeGreaterThan(all.indexOf('Sluice Gate Morning'));
    expect(all.indexOf('Weir Hands')).toBeGreaterThan(all.indexOf('Half a Mile of Fog'));
    expect(all.at(-1)).toBe('write down a new chart');
    const { readFileSync } = await import('node:fs');
    const { readChart } = await import('../../src/chart/read.js');
    const { unroll } = await import('../../src/chart/unroll.js');
    const { keyName } = await import('../../src/theory/key.js');
    const reading = readChart(readFileSync(join(folders.demo, 'ropewalk-penny.yaml')));
    if (!reading.ok) throw new Error('it does not read');
    const { key, meter } = reading.value;
    expect([keyName(key), meter.beats, meter.unit]).toEqual(['A', 4, 4]);
    const roots = unroll(reading.value).bars.flatMap(({ cells }) => cells.map(({ chord }) => chord?.root));
    expect([...new Set(roots)].sort()).toEqual(['A', 'D', 'E']);
  });

  it('names every demo chart in its order', async () => {
    const { titles, folders } = await fresh('order');
    const { readdirSync, readFileSync } = await import('node:fs');
    const source = readFileSync(new URL('../../src/commands/library.ts', import.meta.url), 'utf8');
    const named = readdirSync(folders.demo).filter((name) => name.endsWith('.yaml'));
    expect(titles()).toHaveLength(named.length + 1);
    for (const name of named) expect(source).toContain(`'${name.replace('.yaml', '')}'`);
  });
});

describe('the list of somebody who has played', () => {
  it('begins with what was played last, then the player’s own charts, then the demo ones; no hint any more', async () => {
    const { titles, hints, keepChoices, folders, writeNewChart } = await fresh('played');
    const chart = (title: string): string => `title: ${title}\nkey: G\nform: A\nsections:\n  A: 1 4 5 1\n`;
    for (const name of ['zinc', 'alder']) {
      const written = writeNewChart(`${name}.yaml`, chart(`Own ${name}`));
      expect(written.ok).toBe(true);
    }
    keepChoices(join(folders.demo, 'weir-hands.yaml'), {}, 1000);
    keepChoices(join(folders.demo, 'copperwort-lane.yaml'), {}, 2000);
    expect(titles().slice(0, 6)).toEqual([
      'Copperwort Lane',
      'Weir Hands',
      'Own alder',
      'Own zinc',
      'Ropewalk Penny',
      'Sluice Gate Morning',
    ]);
    expect(hints()).toEqual([]);
  });
});
