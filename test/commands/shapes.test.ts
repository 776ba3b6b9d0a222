import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';

const program = new URL('../../dist/main.js', import.meta.url).pathname;
const run = (...words: string[]) =>
  spawnSync(process.execPath, [program, 'shapes', ...words], { encoding: 'utf8' });

describe('shapes', () => {
  it('prints one document with frets, fingers, notes and effort', () => {
    const document = JSON.parse(run('G', '--json').stdout);
    expect(document).toMatchObject({ chord: 'G', instrument: 'mandolin' });
    // 7-5-2-3 sounds D4 G4 B4 G5 (common practice, computed).
    expect(document.shapes).toContainEqual(
      expect.objectContaining({
        frets: [7, 5, 2, 3],
        fingers: [4, 3, 1, 2],
        notes: [62, 67, 71, 79],
        stock: true,
      }),
    );
    const barre = document.shapes.find((one: { frets: unknown[] }) => one.frets.join() === '7,5,5,7');
    expect(barre).toMatchObject({ fingers: [3, 1, 1, 4] });
    expect(barre.alternatives[0]).toEqual({ fingers: [2, 1, 1, 3], effort: expect.any(Number) });
    expect(document.shapes.length).toBeLessThanOrEqual(6);
    expect(JSON.parse(run('G', '--json', '--all').stdout).shapes.length).toBeGreaterThan(20);
  });

  it('prints stock shapes first, with the parts of the effort when asked', () => {
    const text = run('A', '--explain').stdout;
    expect(text.split('\n')[1]).toMatch(/^ {2}9-7-4-5 +L R I M +effort +\d+ {2}stock {2}\(.*reach/);
    expect(text).toMatch(/more with --all/);
  });

  it('names other fingers that are almost as good', () => {
    const text = run('A').stdout;
    expect(text).toMatch(/^ {2}2-2-4-5 +I I R L +effort +\d+ {2}stock {2}or I I M R$/m);
    expect(run('G').stdout).toMatch(/^ {2}7-5-2-3 +L R I M +effort +\d+ {2}stock$/m);
  });

  it('draws the shapes that it lists, an open course as a ring at the nut', () => {
    const text = run('F', '--open', '--all', '--no-unicode').stdout;
    expect(text).toMatch(/^ {2}5-3-0-1 .* stock/m);
    expect(run('Gm', '--no-unicode').stdout).toContain('E #--|--|-R|');
  });

  it('keeps to what a hand can hold', () => {
    expect(run('G', '--hand', 'small').stdout).not.toContain('7-5-2-3');
    expect(run('G', '--hand', 'tiny').stderr).toContain('“tiny” is not a hand');
  });

  it('answers a bad chord or instrument with 2 and a hint', () => {
    expect(run('H').status).toBe(2);
    const { status, stderr } = run('G', '--instrument', 'mandolyn');
    expect(status).toBe(2);
    expect(stderr).toContain('did you mean “mandolin”?');
  });
});
