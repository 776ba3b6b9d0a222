import { describe, expect, it } from 'vitest';
import { libraryLines } from '../../../src/ui/draw/library.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { found, type Library, type LibraryItem } from '../../../src/ui/state/library.js';
import type { Message } from '../../../src/ui/state/messages.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import { having } from '../model.js';

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
