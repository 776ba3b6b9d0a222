import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { keepHints, recallHints } from '../../src/config/hints-file.js';
import { remember } from '../../src/config/remembered.js';

const folder = mkdtempSync(join(tmpdir(), 'barkline-hints-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const all = ['open', 'play', 'far'];

describe('the hints that are kept', () => {
  it('are all there on a first run, and those that are left from then on', () => {
    const own = join(folder, 'first');
    expect(recallHints(all, own)).toEqual(all);
    remember({ out: 'none' }, own);
    expect(recallHints(all, own)).toEqual(all);
    keepHints(['far'], own);
    expect(recallHints(all, own)).toEqual(['far']);
    keepHints([], own);
    expect(recallHints(all, own)).toEqual([]);
  });

  it('are none where the program was used before there were any, and none that it does not know', () => {
    const own = join(folder, 'used');
    remember({ last: '/some/chart.yaml' }, own);
    expect(recallHints(all, own)).toEqual([]);
    const other = join(folder, 'other');
    keepHints(['far', 'gone'], other);
    expect(recallHints(all, other)).toEqual(['far']);
  });
});
