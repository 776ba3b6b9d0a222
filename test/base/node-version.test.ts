import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { leastNode, nodeFault } from '../../src/base/node-version.js';

const root = new URL('../../', import.meta.url);
const read = (file: string): string => readFileSync(new URL(file, root), 'utf8');

describe('which Node is needed', () => {
  it.each(['4.9.1', '18.20.8', '19.9.0'])('%s is too old, which is said in a line', (found) => {
    expect(nodeFault(found)).toMatch(/^barkline needs Node 20 or later, and this is Node [\d.]+; .*\n$/);
    expect(nodeFault(found)).toContain(found);
  });

  it.each(['20.0.0', '22.11.0', '100.0.0'])('%s will do', (found) => {
    expect(nodeFault(found)).toBe('');
  });

  it('is what package.json says, and every way in goes through the check', () => {
    const { engines, bin, scripts } = JSON.parse(read('package.json'));
    expect(engines.node).toBe(`>=${leastNode}`);
    expect([bin.barkline, scripts.start]).toEqual(['dist/start.js', 'node dist/start.js']);
  });

  it('is checked before anything else is loaded', () => {
    const imported = [...read('src/start.ts').matchAll(/^import .*'(.+)'/gm)].map((match) => match[1]);
    expect(imported).toEqual(['./base/node-version.js']);
    expect(read('src/base/node-version.ts')).not.toMatch(
      /^import|`.*\$\{|\?\.|\?\?|\/[dgimsuy]*v[dgimsuy]*[;,)]/m,
    );
  });
});
