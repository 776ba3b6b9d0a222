import { describe, expect, it } from 'vitest';
import { songFacts } from '../../../src/chart/find/song-facts.js';
import { libraryLines } from '../../../src/ui/draw/library.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import type { Library, LibraryItem } from '../../../src/ui/state/library.js';
import { found } from '../../../src/ui/state/library-found.js';
import type { Message } from '../../../src/ui/state/messages.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import { chart } from '../../chart/written.js';
import { demoChart, having } from '../model.js';

const item = (title: string, detail = 'A 120 4/4', kind: LibraryItem['kind'] = 'chart'): LibraryItem => ({
  file: `/charts/${title.toLowerCase().replace(/ /g, '-')}.yaml`,
  kind,
  title,
  detail,
  wishes: { key: null, bpm: null },
});

const items = [
  item('Weir Hands', 'B 252'),
  item('Ōsier and Twine', 'E♭ 176'),
  item('Harvest', '6 songs', 'set'),
  item('Broken', 'broken.yaml:3:1: no key', 'faulty'),
  item('waltzes', '4 files', 'folder'),
  item('write down a new chart', 'write the chords', 'new'),
];
const library: Library = { title: 'Charts and sets', items, index: 0, from: null, query: '' };

function listing(columns = 80, rows = 24, list: Library = library): Model {
  return having(firstModel({ colour: false, unicode: true }, columns, rows), {
    kind: 'library',
    library: list,
  }).model;
}

const press = (action: Action): Message => ({ kind: 'action', action, at: 0 });
const type = (text: string): Message[] => [...text].map((one) => ({ kind: 'typed', text: one }));
const titles = (model: Model): string[] =>
  model.library ? found(model.library).map((one) => one.title) : [];

describe('the list', () => {
  it('is searched by typing: every word must be there, what begins so comes first', () => {
    expect(titles(having(listing(), ...type('w')).model)).toEqual([
      'Weir Hands',
      'waltzes',
      'write down a new chart',
      'Ōsier and Twine',
    ]);
    expect(titles(having(listing(), ...type('osi eb')).model)).toEqual(['Ōsier and Twine']);
    expect(titles(having(listing(), ...type('nothing like it')).model)).toEqual([]);
    expect(
      titles(having(listing(), ...type('252 q'), press('list-erase'), press('list-erase')).model),
    ).toEqual(['Weir Hands']);
  });

  it('gives the whole list back with Esc, then says how to leave', () => {
    const searched = having(listing(), ...type('weir')).model;
    const whole = having(searched, press('back')).model;
    expect(titles(whole)).toHaveLength(items.length);
    const again = having(whole, press('back'));
    expect(again.effects).toEqual([]);
    expect(again.model.notice).toBe('this is the first list; Ctrl-C leaves');
  });

  it('opens what is chosen, each kind its own way, and tells the fault of what cannot be opened', () => {
    const opened = (steps: number) =>
      having(listing(), ...Array.from({ length: steps }, () => press('list-on')), press('list-open'));
    expect(opened(0).effects).toEqual([
      { kind: 'open', file: '/charts/weir-hands.yaml', wishes: { key: null, bpm: null }, from: 'chart' },
    ]);
    expect(opened(2).effects).toMatchObject([{ from: 'set' }]);
    expect(opened(3).effects).toEqual([]);
    expect(opened(3).model.notice).toBe('broken.yaml:3:1: no key');
    expect(opened(4).effects).toMatchObject([{ from: 'folder' }]);
    expect(opened(5).effects).toMatchObject([{ from: 'new' }]);
  });

  it('goes round, by pages, and to both ends', () => {
    const at = (...actions: Action[]) => having(listing(), ...actions.map(press)).model.library?.index;
    expect(at('list-back')).toBe(5);
    expect(at('list-back', 'list-on')).toBe(0);
    expect(at('list-page-on')).toBe(5);
    expect(at('list-end', 'list-page-back')).toBe(0);
    expect(at('list-end', 'list-start')).toBe(0);
  });

  it('leads from a folder or set back to where it was opened', () => {
    const inner: Library = { ...library, title: 'waltzes', items: items.slice(0, 1) };
    const within = having(listing(), { kind: 'library', library: inner }).model;
    expect(within.library?.title).toBe('waltzes');
    expect(having(within, press('back')).model.library?.title).toBe('Charts and sets');
  });

  it('gives titles no more room than the longest needs: tags have the rest, and no column moves while one searches', () => {
    const facts = songFacts(demoChart('weir-hands'));
    const tagged = items.map((one) => (one.kind === 'chart' ? { ...one, facts } : one));
    const tags = facts.tags.join(', ');
    const model = listing(80, 24, { ...library, items: tagged });
    const lineOf = (shown: Model, title: string): string =>
      libraryLines(shown, shown.library as Library)
        .map(plainText)
        .find((line) => line.includes(title)) ?? '';
    const line = lineOf(model, 'Weir Hands');
    expect(line).toContain(tags);
    const found = having(model, ...type('weir')).model;
    expect(lineOf(found, 'Weir Hands').indexOf('B 252')).toBe(line.indexOf('B 252'));
  });

  it('says at the very right that nothing sounds, above the order', () => {
    const model = listing(100, 30);
    const link = { ...model.session.link, output: 'silent' };
    const silent: Model = { ...model, session: { ...model.session, link } };
    const lines = libraryLines(silent, library).map(plainText);
    expect(lines[0]).toMatch(/ silent$/);
    expect(lines[0]).toHaveLength((lines[1] ?? '').trimEnd().length);
  });

  it('is drawn with faults in sight, and the chosen line always among those shown', () => {
    const many: Library = {
      ...library,
      items: Array.from({ length: 200 }, (_, index) => item(`Song ${index}`)),
    };
    for (const [columns, rows] of [
      [60, 18],
      [80, 24],
      [240, 70],
    ] as const) {
      for (const index of [0, 7, 100, 199]) {
        const model = listing(columns, rows, { ...many, index });
        const lines = libraryLines(model, model.library as Library);
        expect(lines).toHaveLength(rows - 1);
        expect(lines.filter((line) => plainText(line).includes('▸'))).toHaveLength(1);
        expect(
          lines
            .find((line) => plainText(line).includes('▸'))
            ?.map((one) => one.text)
            .join(''),
        ).toContain(`Song ${index} `);
        for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(columns);
      }
    }
    const model = listing();
    const text = libraryLines(model, model.library as Library)
      .map(plainText)
      .join('\n');
    expect(text).toContain('faulty: broken.yaml:3:1: no key');
    expect(text).toContain('folder: waltzes');
    expect(text).toContain('set: Harvest');
  });
});

describe('the order of the list', () => {
  const chartOf = (title: string, key: string, tempo: number): LibraryItem => {
    const file = `/charts/${title.toLowerCase()}.yaml`;
    const text = `title: ${title}\nkey: ${key}\ntempo: ${tempo}\nsections:\n  V: 1 4 1 5\n`;
    return { ...item(title), file, facts: songFacts(chart(text)), place: [0, 0] };
  };
  const songs: readonly LibraryItem[] = [
    { ...chartOf('Alder', 'D', 180), place: [0, 2] },
    { ...chartOf('Birch', 'A', 240), place: [0, 1] },
    { ...chartOf('Cedar', 'G', 90), place: [50, 9], played: 50 },
    item('evergreens', '4 files', 'folder'),
    item('write down a new chart', 'write the chords', 'new'),
  ];
  const list = (more: Partial<Library> = {}): Library => ({ ...library, items: songs, ...more });
  const names = (model: Model): string =>
    titles(model)
      .map((one) => one[0])
      .join('');
  const tab = (times: number): Message[] => Array.from({ length: times }, () => press('list-order'));

  it('goes round with Tab: usual, title, key, tempo, last played, weakest; folders and a new chart stay behind', () => {
    const seen = [0, 1, 2, 3, 4, 5, 6].map((times) =>
      names(having(listing(80, 24, list()), ...tab(times)).model),
    );
    // By key from A: Birch in A, Alder in D, Cedar in G. Nothing is known of the diary yet: as usual.
    expect(seen).toStrictEqual(['CBAew', 'ABCew', 'BACew', 'CABew', 'CABew', 'CBAew', 'CBAew']);
  });

  it('is kept, and the diary is read when it goes by it', () => {
    const effects = [...Array(6).keys()].map(
      (times) => having(listing(80, 24, list()), ...tab(times + 1)).effects,
    );
    expect(effects.slice(0, 4).map((all) => all.at(-1))).toStrictEqual(
      ['title', 'key', 'tempo', 'played'].map((order) => ({ kind: 'keep-order', order })),
    );
    expect(effects[4]?.slice(-2)).toStrictEqual([
      { kind: 'keep-order', order: 'weakest' },
      { kind: 'find-weak' },
    ]);
    const weak = new Map([
      ['Alder', { missed: 1, of: 2 }],
      ['Cedar', { missed: 3, of: 4 }],
    ]);
    const model = having(listing(80, 24, list()), ...tab(5), { kind: 'weak-songs', weak }).model;
    expect(names(model)).toBe('CABew');
    const text = libraryLines(model, model.library as Library)
      .map(plainText)
      .join('\n');
    expect(text).toContain('by weakest');
    expect(text).toMatch(/Cedar .*3 of 4 missed/);
    expect(text).toMatch(/Birch .*not marked/);
  });

  it('of the songs of a set is its own at first, and is not kept', () => {
    const set = list({ isSet: true, items: [item('run the whole set', '', 'run'), ...songs.slice(0, 3)] });
    expect(names(listing(80, 24, set))).toBe('rABC');
    const sorted = having(listing(80, 24, set), ...tab(2));
    expect(names(sorted.model)).toBe('rBAC');
    expect(sorted.effects).toStrictEqual([]);
  });

  it('holds in the list that a folder leads back to, and not in a set', () => {
    const within = having(
      listing(80, 24, list()),
      { kind: 'library', library: list({ title: 'folder' }) },
      ...tab(1),
      press('back'),
    ).model;
    expect(within.library?.title).toBe('Charts and sets');
    expect(within.library?.order).toBe('title');
    const set = having(
      listing(80, 24, list()),
      { kind: 'library', library: list({ isSet: true }) },
      ...tab(1),
      press('back'),
    ).model;
    expect(set.library?.order ?? 'usual').toBe('usual');
  });

  it('has what was played since first, by last played, and where it was in the usual one', () => {
    const played = having(listing(80, 24, list()), {
      kind: 'chart-played',
      file: '/charts/alder.yaml',
      played: 99,
    }).model;
    expect(names(played)).toBe('CBAew');
    expect(names(having(played, ...tab(4)).model)).toBe('ACBew');
  });

  it('is the one that what is found is in; in the usual one what is meant by its key comes first', () => {
    const found = having(listing(80, 24, list()), ...tab(3), ...type('1 4')).model;
    expect(names(found)).toBe('CAB');
    expect(names(having(listing(80, 24, list()), ...type('A')).model)).toBe('B');
    expect(names(having(listing(80, 24, list()), ...type('80-190')).model)).toBe('CA');
  });
});

describe('files that are not read yet', () => {
  const unread = (name: string): LibraryItem => ({
    ...item(name, 'not read yet', 'unread'),
    file: `/charts/${name}`,
    place: [0, 0],
  });
  const read = (name: string, title: string): LibraryItem => ({
    ...item(title),
    file: `/charts/${name}`,
    place: [0, 0],
  });
  const files = ['a.yaml', 'b.yaml', 'c.yaml'].map(unread);
  const opened = having(firstModel({ colour: false, unicode: true }, 80, 24), {
    kind: 'library',
    library: { ...library, items: files },
  });

  it('are asked for when the list comes, and are there by their names', () => {
    expect(opened.effects).toStrictEqual([{ kind: 'read-items', files: files.map(({ file }) => file) }]);
    expect(titles(opened.model)).toStrictEqual(['a.yaml', 'b.yaml', 'c.yaml']);
    const text = libraryLines(opened.model, opened.model.library as Library).map(plainText);
    expect(text[0]).toContain('reading: 0 of 3');
  });

  it('take their places when they are read; what is chosen stays chosen', () => {
    const chosen = having(opened.model, press('list-on')).model;
    const items = [read('a.yaml', 'Zinc'), read('b.yaml', 'Moss')];
    const model = having(chosen, { kind: 'items-read', items }).model;
    expect(titles(model)).toStrictEqual(['c.yaml', 'Moss', 'Zinc']);
    expect(found(model.library as Library)[model.library?.index ?? -1]?.title).toBe('Moss');
    const text = libraryLines(model, model.library as Library).map(plainText);
    expect(text[0]).toContain('reading: 2 of 3');
  });

  it('are opened as what they are', () => {
    expect(having(opened.model, press('list-open')).effects).toMatchObject([
      { kind: 'open', file: '/charts/a.yaml', from: 'chart' },
    ]);
  });

  it('are told where nothing is found', () => {
    const model = having(opened.model, ...type('moss')).model;
    const text = libraryLines(model, model.library as Library)
      .map(plainText)
      .join(' ');
    expect(text).toContain('nothing has “moss”; 3 files are not read yet');
  });
});
