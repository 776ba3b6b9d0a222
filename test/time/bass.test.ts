import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlayedBar } from '../../src/chart/chart.js';
import { bassNotes } from '../../src/time/bass.js';
import type { NoteEvent } from '../../src/time/event.js';
import type { Score } from '../../src/time/score.js';
import { bars } from '../hand/charts.js';
import { score } from './scores.js';

/** Every bass note of a pass, in time's order. */
const bassOf = (of: Score): NoteEvent[] =>
  of.notes
    .flat()
    .filter((note) => note.voice === 'bass')
    .sort((one, other) => one.at - other.at);

/** The bass of a bar in C unless the head says otherwise, as `tick note length`, ticks from the bar's start. */
function bass(written: string, bar = 0, head = {}): string[] {
  const made = score(written, { key: 'C', ...head });
  const start = made.bars[bar]?.start ?? 0;
  return (made.notes[bar] ?? [])
    .filter((note) => note.voice === 'bass')
    .map(({ at, note, length }) => `${at - start} ${note} ${length}`);
}

/** The notes alone, of a bar of four in C. */
const notes = (written: string, tonic = 'C'): number[] =>
  bassOf(score(written, { key: tonic })).map(({ note }) => note);

describe('the bass', () => {
  // Common practice: the root on 1, its fifth on 3; in three the root alone; where two beats are felt, one on each.
  // C2 is 36, the G below it 31 (MIDI 1.0: middle C is 60). A note ends a 24th of a quarter before the next.
  it.each([
    ['4/4', ['0 36 1880', '1920 31 1880']],
    ['3/4', ['0 36 2840']],
    ['2/4', ['0 36 920', '960 31 920']],
    ['2/2', ['0 36 1880', '1920 31 1880']],
    ['6/8', ['0 36 1400', '1440 31 1400']],
    ['9/8', ['0 36 4280']],
    ['12/8', ['0 36 2840', '2880 31 2840']],
  ])('alternates root and fifth in a bar of %s', (meter, expected) => {
    expect(bass('1 1', 0, { meter })).toStrictEqual(expected);
  });

  it.each([
    ['a slash throughout', '1/3', ['0 28 1880', '1920 28 1880']],
    ['a slash below another chord', '4/1', ['0 36 1880', '1920 36 1880']],
    ['two chords', '(1 4)', ['0 36 1880', '1920 29 1880']],
    ['three beats and one', '(1... 4.)', ['0 36 1880', '1920 31 920', '2880 29 920']],
    ['one beat and three', '(1. 4...)', ['0 36 920', '960 29 920', '1920 36 1880']],
    ['a chord a beat', '(1 4 5 1)', ['0 36 920', '960 29 920', '1920 31 920', '2880 36 920']],
    ['left to ring', '1~', ['0 36 3800']],
    ['stopped', '1!', ['0 36 440']],
    ['ringing, then stopped', '(1~ 4!)', ['0 36 1880', '1920 29 440']],
    ['no chord', 'nc', []],
    ['half without a chord', '(1 nc)', ['0 36 1880']],
    ['half without a chord, the other way', '(nc 1)', ['1920 36 1880']],
  ])('plays %s', (_, written, expected) => {
    expect(bass(`${written} 1`)).toStrictEqual(expected);
  });

  it('comes early with an early chord, an eighth before its place, and ends the one before it there', () => {
    expect(bass("1 '4")).toStrictEqual(['0 36 1880', '1920 31 1400']);
    // F1 is 29; the C below it is out of reach, so the C above answers.
    expect(bass("1 '4", 1)).toStrictEqual(['-480 29 2360', '1920 36 1880']);
    expect(bass("(1 '4) 1")).toStrictEqual(['0 36 1400', '1440 29 2360']);
    expect(bass("1 '4~", 1)).toStrictEqual(['-480 29 4280']);
    expect(bass("1 '4!", 1)).toStrictEqual(['-480 29 440']);
  });

  it('comes as early in halves and dotted quarters: an eighth is an eighth', () => {
    expect(bass("1 '4", 1, { meter: '2/2' })[0]).toBe('-480 29 2360');
    expect(bass("1 '4", 1, { meter: '6/8' })[0]).toBe('-480 29 1880');
  });

  it('ends the last chord of a pass where the first one comes early', () => {
    expect(bass("'1 4", 0)[0]).toBe('-480 36 2360');
    expect(bass("'1 4", 1)).toStrictEqual(['0 29 1880', '1920 36 1400']);
  });

  // Common practice: the fifth below where a bass with E1 (28) for its lowest string reaches it, else above.
  it.each([
    ['E', 28, 35],
    ['F', 29, 36],
    ['G', 31, 38],
    ['Ab', 32, 39],
    ['A', 33, 28],
    ['Bb', 34, 29],
    ['B', 35, 30],
    ['C', 36, 31],
    ['D', 38, 33],
    ['Eb', 39, 34],
  ])('in %s has its root at %i and its fifth at %i', (tonic, root, fifth) => {
    expect(notes('1', tonic)).toStrictEqual([root, fifth]);
  });

  // Common practice: half steps from the root, folded into an octave.
  it.each([
    ['diminished', '7o', 6],
    ['diminished with a seventh', '7o^7', 6],
    ['half diminished', '2-^7b5', 6],
    ['a lowered fifth', '5^7b5', 6],
    ['augmented', '5+', 8],
    ['augmented with a seventh', '1+^7', 8],
    ['minor', '6-', 7],
    ['a seventh', '5^7', 7],
    ['a suspended fourth', '5^sus4', 7],
    ['root and fifth only', '1^5', 7],
    ['a lowered ninth', '5^7b9', 7],
  ])('answers with the fifth that the chord has: %s', (_, written, steps) => {
    const [root = 0, fifth = 0] = notes(written);
    expect((fifth - root + 12) % 12).toBe(steps);
  });

  it('is louder on the chord than on what answers it, within what MIDI can say', () => {
    const [first, second] = bassOf(score('1'));
    expect(first?.velocity).toBeGreaterThan(second?.velocity ?? 127);
    expect([first, second].every((one) => one && one.velocity >= 1 && one.velocity <= 127)).toBe(true);
  });

  it('is not swung away from the beat', () => {
    expect(bass('1', 0, { feel: 'swing=67' })).toStrictEqual(bass('1'));
  });

  it('goes on where no shape is known', () => {
    expect(bassOf(score('1 4', {}, { notesOf: () => [] }))).toHaveLength(4);
  });
});

describe('bassNotes', () => {
  it('tells places in felt beats, each until the next, the last until the end it is given', () => {
    const [bar] = bars('1', { key: 'C' }) as [PlayedBar];
    const [cell] = bar.cells;
    const made = cell ? bassNotes(bar, cell, 3.5) : [];
    expect(made.map(({ at, until }) => [at, until])).toStrictEqual([
      [0, 2],
      [2, 3.5],
    ]);
  });
});

describe('any pass', () => {
  const marked = fc
    .tuple(
      fc.constantFrom('', "'"),
      fc.constantFrom('1', '4', '6-', '5/7', 'b7', '7o', '5+', 'nc'),
      fc.constantFrom('', '', '~', '!'),
    )
    .map(([early, number, ending]) => (number === 'nc' ? number : early + number + ending));
  const bar = fc.oneof(
    marked,
    fc
      .array(marked, { minLength: 2, maxLength: 3 })
      .map((cells) => `(${cells.map((one) => `${one}..`).join(' ')})`),
    fc.tuple(marked, marked).map(([one, other]) => `(${one}... ${other}.)`),
    fc.constantFrom('@3/4 1', '@6/8 1', '@2/2 1', '@4/4 1', '@tempo=90 1'),
  );
  const passage = fc.array(bar, { minLength: 1, maxLength: 8 }).map((list) => list.join(' '));
  const tonic = fc.constantFrom('C', 'E', 'F#', 'Bb', 'Eb', 'Am');

  it('has never two bass notes at once, over the seam of the pass neither', () => {
    fc.assert(
      fc.property(passage, tonic, (written, key) => {
        const made = score(written, { key, crooked: 'yes' });
        const played = bassOf(made);
        played.forEach((one, index) => {
          expect(one.length).toBeGreaterThanOrEqual(1);
          const next = played[index + 1];
          // After the last comes the first again, a pass later.
          const limit = next ? next.at : (played[0]?.at ?? 0) + made.length;
          expect(one.at + one.length).toBeLessThanOrEqual(limit);
        });
      }),
      { numRuns: 60 },
    );
  });

  it('keeps within reach of a bass: from E1 up to the B♭ of its second octave', () => {
    fc.assert(
      fc.property(passage, tonic, (written, key) => {
        const played = bassOf(score(written, { key, crooked: 'yes' }));
        expect(played.filter(({ note }) => note < 28 || note > 46)).toStrictEqual([]);
      }),
      { numRuns: 60 },
    );
  });
});
