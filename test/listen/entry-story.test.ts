import { describe, expect, it } from 'vitest';
import { toldEntries, wrongOf } from '../../src/listen/chord-faults.js';
import type { ExpectedChord, ExpectedStroke } from '../../src/listen/expected.js';
import type { Matched } from '../../src/listen/matched.js';
import { type HeardChord, type TimedStroke, wasChord } from '../../src/listen/timed-stroke.js';

const chordOf = (name: string): ExpectedChord => ({ name, number: name, notes: [], pitchClasses: [] });

/**
 * Strokes of C after G, before D, as they were heard: `C` right, `G`, `D`, `A` another, `x` surely not C, `?` unsure, `.` not heard; in small
 * letters with little confidence. After `|` another bar begins.
 */
function strokes(heard: string): Matched[] {
  const entries = [
    { name: 'G', heard: 'G' },
    { name: 'C', heard },
    { name: 'D', heard: 'D' },
  ];
  let at = 0;
  return entries.flatMap(({ name, heard: letters }, entry) =>
    [...letters.replaceAll('|', '')].map((letter, index): Matched => {
      at += 400;
      const best = /[a-g]/i.test(letter) ? letter.toUpperCase() : null;
      const expected: ExpectedStroke = {
        bar: 10 * entry + barOf(letters, index),
        beat: index,
        tick: at,
        at,
        kind: 'chop',
        ending: 'chop',
        chord: chordOf(name),
        entry,
        from: index === 0 && entry > 0 ? chordOf(entries[entry - 1]?.name ?? '') : null,
        early: false,
      };
      const isAsked = letter === '?' ? null : best === name;
      const chord = {
        asked: name,
        best,
        isAsked,
        confidence: /[a-g]/.test(letter) ? 0.82 : letter === '?' ? 0.6 : 0.99,
      };
      const one = { at, kind: 'chop', kindSure: 1, strength: 1, ringMs: null, ringsOn: null, chord } as const;
      return {
        expected,
        heard: letter === '.' ? null : one,
        late: letter === '.' ? null : 0,
        lateOfOwn: null,
      };
    }),
  );
}

/** Which bar of those that `|` parts a stroke is in. */
function barOf(letters: string, index: number): number {
  const bars = letters.split('|');
  return bars.findIndex((_, bar) => bars.slice(0, bar + 1).join('').length > index);
}

describe('what an entry tells', () => {
  it.each([
    ['CCCC', 'right', 4, []],
    ['????', 'right', 0, []],
    ['....', 'right', 0, []],
    ['GCCC', 'old', 1, []],
    ['GGCC', 'old', 2, []],
    ['G?CC', 'old', 1, []],
    // After a stroke that was not heard, one is not enough.
    ['.GCC', 'old', 2, []],
    ['.GGC', 'old', 3, []],
    // One stroke of which the ear is not sure is no late change.
    ['gCCC', 'right', 4, []],
    // A chord that came early is wrong where it came.
    ['CCCD', 'early', 1, ['D one']],
    ['CCDD', 'early', 2, ['D whole']],
    ['CDDD', 'early', 3, ['D whole']],
    // Another chord, which one is not known, may be the old one.
    ['xGCC', 'old', 2, []],
    ['GGGG', 'wrong', 4, ['G whole']],
    ['AAAA', 'wrong', 4, ['A whole']],
    // The ear errs on one of them.
    ['AACAAAAA', 'wrong', 8, ['A whole']],
    ['xxxx', 'wrong', 4, ['null whole']],
    ['CCAC', 'right', 4, ['A one']],
    ['CCaC', 'right', 4, []],
    ['GCCA', 'old', 1, ['A one']],
    // Another chord for a bar, with low notes that may be of any: not the next one, which nothing else speaks for.
    ['CCCC|xAxA', 'wrong', 4, ['A whole']],
    ['xAxA|CCCC', 'wrong', 4, ['A whole']],
    ['CCCC|AAAA|CCCC', 'wrong', 4, ['A whole']],
    ['CCCC|CCCA', 'right', 8, ['A one']],
    ['CC|A', 'right', 3, ['A one']],
    // The old chord for a bar is late, the next for one early.
    ['GGGG|CCCC', 'old', 4, []],
    ['CCCC|xDxD', 'early', 4, ['D whole']],
  ])('%s: %s, %i strokes', (heard, kind, count, wrong) => {
    const [, entry] = toldEntries(strokes(heard));
    expect([entry?.story.kind, entry?.story.strokes]).toStrictEqual([kind, count]);
    const said = entry ? wrongOf(entry).map((one) => `${one.heard} ${one.whole ? 'whole' : 'one'}`) : null;
    expect(said).toStrictEqual(wrong);
  });
});

describe('strokes that are unsure one by one', () => {
  const leaning = (heard: string, best: string): Matched[] =>
    strokes(heard).map((one) => ({
      ...one,
      heard: one.heard?.chord?.isAsked === null ? leant(one.heard, best) : one.heard,
    }));
  const leant = (heard: TimedStroke, best: string): TimedStroke => {
    const chord = heard.chord as HeardChord;
    const leans = { best, isAsked: best === chord.asked };
    return { ...heard, chord: { ...chord, confidence: 0.76, leans } };
  };
  it.each([
    ['all lean to another chord', '????', 'A', 'wrong', ['A whole']],
    ['they lean to the chord', '????', 'C', 'right', []],
    ['one alone leans to another', 'CC?C', 'A', 'right', []],
  ])('%s', (_, heard, best, kind, wrong) => {
    const [, entry] = toldEntries(leaning(heard, best));
    expect(entry?.story.kind).toBe(kind);
    const said = entry ? wrongOf(entry).map((one) => `${one.heard} ${one.whole ? 'whole' : 'one'}`) : null;
    expect(said).toStrictEqual(wrong);
  });
});

describe('wasChord', () => {
  const heard = (isAsked: boolean | null, best: string | null): Parameters<typeof wasChord>[0] => ({
    chord: { asked: 'C', best, isAsked, confidence: 0.9 },
  });
  it.each([
    ['the chord asked for', heard(true, 'C'), 'C', true],
    ['not the chord asked for', heard(false, null), 'C', false],
    ['unsure', heard(null, null), 'C', null],
    ['asked for another, and heard', heard(false, 'G'), 'G', true],
    ['asked for another, and heard that', heard(true, 'C'), 'G', false],
    ['asked for another, and heard none', heard(false, null), 'G', null],
    ['not asked', { chord: null }, 'G', null],
  ])('%s', (_, stroke, name, was) => {
    expect(wasChord(stroke, name)).toBe(was);
  });
});
