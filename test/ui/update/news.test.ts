import { describe, expect, it } from 'vitest';
import { libraryLines } from '../../../src/ui/draw/library.js';
import type { Line } from '../../../src/ui/draw/line.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { having, standing } from '../model.js';

const noSound = 'no built-in sound: no sound card was found';
const silent = (at: number): Message => ({
  kind: 'player',
  at,
  message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [noSound] },
});
const key = (at: number): Message => ({ kind: 'action', action: 'bar-on', at });
const styleOf = (lines: readonly Line[], text: string): string | undefined =>
  lines.flat().find((piece) => piece.text.includes(text))?.style;

describe('what the player should read', () => {
  it('is plain where it is news: that there is no sound, and a drill’s caution', () => {
    const told = having(standing('weir-hands'), silent(0)).model;
    expect(styleOf(standLines(told), noSound)).toBe('plain');
    expect(
      styleOf(standLines(having(told, { kind: 'action', action: 'share-50', at: 1 }).model), '50 %'),
    ).toBe('plain');
  });

  it('is said once: the first key after it could be read takes it away, and a dim word stays', () => {
    const told = having(standing('weir-hands'), silent(0)).model;
    expect(having(told, key(500)).model.notice).toBe(`${noSound}; barkline doctor says what to do`);
    const read = having(told, key(500), key(2500)).model;
    expect(read.notice).toBe('');
    expect(styleOf(standLines(read), 'silent')).toBe('dim');
    const library = { title: 'Charts', items: [], index: 0, from: null, query: '' };
    const list: Model = { ...read, mode: { kind: 'library' }, library };
    expect(styleOf(libraryLines(list, library), 'silent')).toBe('dim');
    // Other news in its place stays as it would.
    const other = having(told, { kind: 'action', action: 'share-50', at: 100 }, key(2500)).model;
    expect(other.notice).toBe('50 % of the chart’s tempo: 126');
  });

  it.each([
    ['a chart that does not read', { kind: 'open-failed', reason: 'a.yaml:3:4: no chord' }],
    ['a file that was not written', { kind: 'not-written', reason: 'the disk is full' }],
    ['a player that died', { kind: 'player', at: 0, message: { kind: 'died', reason: 'signal 9' } }],
  ] as const)('is drawn as a fault where something is wrong: %s', (_, message) => {
    const told = having(standing('weir-hands'), message).model;
    expect(told.notice).not.toBe('');
    expect(styleOf(standLines(told), told.notice.slice(0, 20))).toBe('warn');
    // What is said next is news again.
    const next = having(told, { kind: 'action', action: 'share-50', at: 1 }).model;
    expect(styleOf(standLines(next), '50 %')).toBe('plain');
  });
});
