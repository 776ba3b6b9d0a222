import { describe, expect, it } from 'vitest';
import { keyName } from '../../src/theory/key.js';
import { usualClick } from '../../src/time/click.js';
import { usualMix } from '../../src/time/sound.js';
import { withChoices } from '../../src/ui/state/choices.js';
import type { StandStart } from '../../src/ui/state/modes.js';
import { keyOf, mandolin, usualStart } from './model.js';

const start: StandStart = {
  key: keyOf('A'),
  bpm: 120,
  countIn: 1,
  passes: null,
  range: null,
  from: 0,
  instrument: mandolin,
  plan: {},
  ...usualStart,
};
const nothing = new Set<never>();

describe('withChoices', () => {
  it('puts what was kept into the start', () => {
    const kept = {
      key: 'Bb',
      bpm: 144,
      countIn: 2,
      click: { ...usualClick, kind: 'backbeat' },
      pattern: 'shuffle',
      mix: { ...usualMix, alone: 'bass' },
      range: { from: 4, to: 8 },
      sight: { layout: 'written', names: 'numbers', hand: false, ahead: true, tune: true },
      picks: [{ key: 'Bb', section: 'V', chord: 'Bb', frets: '3-0-1-1', fingers: '2-x-1-1' }],
    };
    const made = withChoices(start, kept, 32, nothing);
    expect(keyName(made.key)).toBe('Bb');
    expect(made).toMatchObject({
      bpm: 144,
      countIn: 2,
      from: 4,
      range: { from: 4, to: 8 },
      picks: kept.picks,
    });
    expect(made.click.kind).toBe('backbeat');
    expect(made.pattern?.name).toBe('shuffle');
    expect(made.mix.alone).toBe('bass');
    expect(made.sight).toMatchObject({
      layout: 'written',
      names: 'numbers',
      hand: false,
      far: false,
      peek: 0,
      tune: true,
    });
  });

  it('leaves what the command line or a set has decided', () => {
    const made = withChoices(
      start,
      { key: 'Bb', bpm: 144, range: { from: 1, to: 2 } },
      32,
      new Set(['key', 'range'] as const),
    );
    expect(keyName(made.key)).toBe('A');
    expect(made).toMatchObject({ bpm: 144, range: null, from: 0 });
  });

  it.each<[string, unknown]>([
    ['nothing', null],
    ['a list', [1]],
    ['a key of the other mode', { key: 'Am' }],
    ['no key', { key: 'H' }],
    ['a tempo there is none of', { bpm: 4000 }],
    ['a tempo that is not a number', { bpm: '120' }],
    ['a loop beyond the chart', { range: { from: 30, to: 33 } }],
    ['a loop that ends before it begins', { range: { from: 5, to: 5 } }],
    ['a loop of half bars', { range: { from: 0.5, to: 2 } }],
    ['a click of no kind', { click: { kind: 'loud', accents: true, gaps: null } }],
    ['a mix without levels', { mix: { on: usualMix.on } }],
    ['a pattern that has gone', { pattern: 'gone' }],
    ['shapes that are none', { picks: 'all' }],
    ['shapes with parts missing', { picks: [{ key: 'A' }, null, 7] }],
  ])('does not take %s', (_, kept) => {
    const made = withChoices(start, kept, 32, nothing);
    expect({ ...made, sight: undefined, picks: undefined }).toEqual({
      ...start,
      sight: undefined,
      picks: undefined,
    });
    expect(made.picks ?? []).toEqual([]);
  });
});
