import { describe, expect, it } from 'vitest';
import { walkSongs } from '../../src/setlist/walk.js';

/** Walks files that are given by what they name; `*` is a link's sign: `a*` is the same file as `a`. */
function walk(files: Readonly<Record<string, readonly string[]>>, start: string) {
  const opened: string[] = [];
  const idOf = (file: string): string => file.replace('*', '');
  const found = walkSongs(
    start,
    (file) => {
      opened.push(file);
      return { opened: { file }, songs: files[idOf(file)] ?? [] };
    },
    idOf,
  );
  return { opened, found };
}

describe('walkSongs', () => {
  it('opens each file once, a set before its songs, in their order', () => {
    const { opened, found } = walk({ s: ['a', 't', 'a', 'b'], t: ['b', 'a', 'c'] }, 's');
    expect(opened).toEqual(['s', 'a', 't', 'b', 'c']);
    expect([...found.files.keys()]).toEqual(['s', 'a', 't', 'b', 'c']);
    expect(found.circles).toEqual([]);
  });

  it('opens nineteen files of sets nested eighteen deep that name the next one twice', () => {
    const files = Object.fromEntries(
      Array.from({ length: 18 }, (_, level) => [`s${level}`, [`s${level + 1}`, `s${level + 1}`]]),
    );
    expect(walk(files, 's0').opened).toHaveLength(19);
  });

  it('goes a hundred thousand sets deep', () => {
    const files = Object.fromEntries(
      Array.from({ length: 100_000 }, (_, level) => [`s${level}`, [`s${level + 1}`]]),
    );
    expect(walk(files, 's0').opened).toHaveLength(100_001);
  });

  it.each([
    ['a set that has itself', { s: ['a', 's'] }, [{ set: 's', song: 1, way: ['s', 's'] }]],
    [
      'a set within a set within it',
      { s: ['t'], t: ['a', 's'] },
      [{ set: 't', song: 1, way: ['s', 't', 's'] }],
    ],
    [
      'a circle that does not begin with the first',
      { s: ['t'], t: ['u'], u: ['t'] },
      [{ set: 'u', song: 0, way: ['t', 'u', 't'] }],
    ],
    [
      'a set that has itself twice',
      { s: ['s', 's'] },
      [
        { set: 's', song: 0, way: ['s', 's'] },
        { set: 's', song: 1, way: ['s', 's'] },
      ],
    ],
    ['a set that has itself by a link', { s: ['s*'] }, [{ set: 's', song: 0, way: ['s', 's'] }]],
    ['a set that is named twice, but not within itself', { s: ['t', 't'], t: ['a'] }, []],
  ])('names the circle of %s', (_, files: Readonly<Record<string, readonly string[]>>, circles) => {
    expect(walk(files, 's').found.circles).toEqual(circles);
  });
});
