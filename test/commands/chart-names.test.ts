import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { chartFile, namedCharts } from '../../src/commands/chart-names.js';

const folder = mkdtempSync(join(tmpdir(), 'barkline-names-'));
afterAll(() => rmSync(folder, { recursive: true }));
const [own, demo] = [join(folder, 'own'), join(folder, 'demo')];
for (const path of [own, demo, join(own, 'wälzer')]) mkdirSync(path);
for (const path of [
  'own/Mill Race.yaml',
  'own/both.yml',
  'own/wälzer/both.yaml',
  'own/no.txt',
  'demo/both.yaml',
  'demo/weir.yaml',
  'here.yaml',
])
  writeFileSync(join(folder, path), 'title: T\n');
const named = () => namedCharts(own, demo);

describe('a chart by its name', () => {
  it('is the player’s own before the demo one, and in a folder within by both names', () => {
    expect(named()).toEqual([
      { name: 'both', file: join(own, 'both.yml') },
      { name: 'Mill Race', file: join(own, 'Mill Race.yaml') },
      { name: 'wälzer/both', file: join(own, 'wälzer/both.yaml') },
      { name: 'weir', file: join(demo, 'weir.yaml') },
    ]);
  });

  it.each([
    ['weir', join(demo, 'weir.yaml')],
    ['weir.yaml', join(demo, 'weir.yaml')],
    ['Mill Race', join(own, 'Mill Race.yaml')],
    ['wälzer/both', join(own, 'wälzer/both.yaml')],
    // What is there by that path comes first, then with its ending.
    [join(folder, 'here.yaml'), join(folder, 'here.yaml')],
    [join(folder, 'here'), join(folder, 'here.yaml')],
    [own, own],
    ['missing', 'missing'],
    ['../demo/weir', '../demo/weir'],
    ['', ''],
  ])('“%s”', (text, file) => {
    expect(chartFile(text, named)).toBe(file);
  });
});
