import { describe, expect, it } from 'vitest';
import { libraryLines } from '../../../src/ui/draw/library.js';
import { lineWidth, plainText, textWidth } from '../../../src/ui/draw/line.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { hintNames } from '../../../src/ui/state/hint-names.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { having, running, standing } from '../model.js';

const press = (action: Action): Message => ({ kind: 'action', action, at: 0 });
const foot = (model: Model): string => plainText(standLines(model).at(-1) ?? []).trimEnd();
const fresh = (model: Model): Model => ({ ...model, hints: hintNames });

describe('what a newcomer is told to press', () => {
  it('stands in the foot, one at a time, and never again once it was pressed', () => {
    const first = fresh(standing('weir-hands'));
    expect(foot(first)).toBe(' ▸ Space starts the music, and stops it   ? keys   q leave');
    const played = having(first, press('play'));
    expect(played.effects).toContainEqual({
      kind: 'keep-hints',
      left: ['open', 'share', 'key', 'far', 'help'],
    });
    expect(foot(played.model)).toContain('▸ k puts it in another key');
    const later = having(played.model, press('choose-key'), press('back'), press('far'), press('far')).model;
    expect(foot(later)).toContain('▸ ? shows every key of this place');
    const done = having(later, press('help'), press('back'));
    expect(foot(done.model)).toBe(' Space play   ↑ ↓ section   - + tempo   k key   f far   ? keys   q leave');
    expect(done.model.hints).toEqual(['open', 'share']);
  });

  it('names the share of the tempo while the music runs', () => {
    const runs = having(fresh(running(standing('weir-hands')).model), press('play'), press('play')).model;
    const going = {
      ...runs,
      session: { ...runs.session, link: { ...runs.session.link, state: 'running' as const } },
    };
    expect(foot(going)).toContain('▸ 5 plays it at half tempo; 0 at full tempo');
    expect(foot(having(going, press('share-70')).model)).toContain('▸ k puts it');
  });

  it('names only what can be pressed: nothing opens where nothing was found, and what plays is paused', () => {
    const model: Model = { ...standing('weir-hands'), mode: { kind: 'library' } };
    const library = { title: 'Charts', items: [], index: 0, from: null, query: 'q' };
    for (const one of [model, fresh(model)])
      expect(plainText(libraryLines(one, library).at(-1) ?? [])).toBe(' type to search   Esc clears');
    const plays = having(running(standing('weir-hands')).model, press('play')).model;
    expect(plays.session.link.state).toBe('running');
    expect(foot(plays)).toMatch(/^ Space pause {3}↑ ↓ section /);
  });

  it('is kept only when something of it was pressed, and is not there for others', () => {
    expect(having(fresh(standing('weir-hands')), press('bar-on')).effects).not.toContainEqual(
      expect.objectContaining({ kind: 'keep-hints' }),
    );
    expect(foot(standing('weir-hands'))).toMatch(/^ Space play /);
  });

  it.each([60, 80, 100])('fits %i columns, on the stand and in the list', (columns) => {
    const model = fresh({ ...standing('weir-hands'), size: { columns, rows: 24 } });
    expect(lineWidth(standLines(model).at(-1) ?? [])).toBeLessThanOrEqual(columns);
    const library = { title: 'Charts', items: [], index: 0, from: null, query: '' };
    const list: Model = { ...model, mode: { kind: 'library' }, library };
    const line = plainText(libraryLines(list, library).at(-1) ?? []);
    expect(line).toContain('▸ Enter opens the selected song');
    expect(textWidth(line)).toBeLessThanOrEqual(columns);
    // The way out is not what is left away.
    expect(line.trimEnd()).toMatch(/Ctrl-C leaves$/);
  });
});
