import { describe, expect, it } from 'vitest';
import { readChart } from '../../../../src/chart/read.js';
import { unroll } from '../../../../src/chart/unroll.js';
import { barsOn } from '../../../../src/ui/draw/band/chords-ahead.js';
import { formMoment } from '../../../../src/ui/draw/band/form-moment.js';
import { blockSigns, largeWords } from '../../../../src/ui/draw/band/large-words.js';
import { singsFor, sungMoment } from '../../../../src/ui/draw/band/sung.js';
import { wordFont } from '../../../../src/ui/draw/word-letters.js';
import { sung, texts } from './stage.js';

const reading = readChart(new TextEncoder().encode(sung));
if (!reading.ok) throw new Error('the chart does not read');
const { bars } = unroll(reading.value, { key: reading.value.key });
const place = (bar: number) => ({ bar, beat: 0, range: { from: 0, to: bars.length }, goesRound: true });
const singer = singsFor({ part: 'singer', leads: false });
const at = (bar: number) => sungMoment(bars, place(bar), singer);

describe('the words of a singer', () => {
  it('are those of the line that is sung, and of the next with the bars until it', () => {
    expect(at(4)).toEqual({
      now: '1. The river took the mill road down'.slice(3),
      next: { words: 'and left the lamp alight for me', bars: 4 },
    });
    expect(at(9)).toEqual({
      now: 'and left the lamp alight for me',
      next: { words: 'Oh lay the lantern low, my love', bars: 3 },
    });
  });

  it('are not those of a kick-off or a break: there the bars to the entry are counted', () => {
    expect(at(0)).toEqual({ now: null, next: { words: 'The river took the mill road down', bars: 4 } });
    expect(at(20)).toEqual({ now: null, next: { words: 'And morning found the gate ajar', bars: 8 } });
    expect(at(27)).toEqual({ now: null, next: { words: 'And morning found the gate ajar', bars: 1 } });
  });

  it('come round with the form, and end with it', () => {
    expect(at(43)?.next).toEqual({ words: 'The river took the mill road down', bars: 5 });
    const last = sungMoment(bars, { ...place(43), goesRound: false }, singer);
    expect(last).toEqual({ now: 'lay it low', next: null });
  });

  it('are those that come where the music goes once more through a part, or leaves the pass', () => {
    const place = { bar: 1, beat: 0, range: { from: 0, to: 99 }, goesRound: false } as const;
    const on = (jump: { after: number; to: number | null }) => [...barsOn({ ...place, jump })].slice(0, 6);
    expect(on({ after: 3, to: 0 })).toEqual([1, 2, 3, 0, 1, 2]);
    expect(on({ after: 3, to: null })).toEqual([1, 2, 3]);
    // What is looked at after the jump goes on as written.
    expect(on({ after: 0, to: 0 })).toEqual([1, 2, 3, 4, 5, 6]);
  });

  it('hold where the form names the singer', () => {
    const bar = { section: 'V', who: 'singer' } as (typeof bars)[number];
    expect(singer(bar)).toBe(true);
    expect(singer({ ...bar, who: 'Bea' })).toBe(true);
    expect(singer({ ...bar, who: 'Fiddle ' })).toBe(false);
    expect(singer({ ...bar, who: 'me' })).toBe(false);
    expect(singsFor({ part: 'singer', leads: true })({ ...bar, who: 'me' })).toBe(true);
  });

  it('go with where the song is, and with the cue that comes', () => {
    expect(formMoment(bars, place(14))).toEqual({
      part: 'C',
      bar: 3,
      of: 8,
      next: { text: 'break', bars: 6 },
      cue: { text: 'all stop', bars: 4 },
    });
    expect(formMoment(bars, place(18))?.cue).toEqual({ text: 'all stop', bars: 0 });
    expect(formMoment(bars, place(19))?.cue).toBeNull();
  });
});

describe('largeWords', () => {
  const room = { columns: 30, lines: 6, unicode: true, style: 'plain' } as const;

  it('draws block letters while all of it fits, at the largest scale', () => {
    expect(texts(largeWords('Hold', { ...room, lines: 3 }))).toEqual([
      '█ █ ▄▀▀▄ █   █▀▄',
      '█▀█ █  █ █   █ █',
      '▀ ▀  ▀▀  ▀▀▀ ▀▀',
    ]);
    expect(texts(largeWords('go', { ...room, columns: 40, most: 3 }))[1]).toMatch(/^██/);
    expect(texts(largeWords('one two', { ...room, columns: 16 }))).toHaveLength(6);
  });

  it('sets letters apart where blocks do not fit, and writes them plain where that does not either', () => {
    const one = { ...room, lines: 1 };
    expect(texts(largeWords('one more time', one))).toEqual(['o n e   m o r e   t i m e']);
    expect(texts(largeWords('one more time for me', one))).toEqual(['one more time for me']);
    expect(texts(largeWords('one more time for all of us here', one))).toEqual([
      'one more time for all of us h…',
    ]);
  });

  it('never breaks a word to make it large, and takes what has no letter as it is', () => {
    expect(texts(largeWords('incomprehensible', { ...room, columns: 20 }))[0]).toBe('incomprehensible');
    expect(blockSigns('Où est l’été…')).toBe("OU EST L'ETE...");
    expect(blockSigns('川')).toBeNull();
    expect(texts(largeWords('川', { ...room, lines: 2 }))).toEqual(['川', '']);
  });

  it('has letters of equal height that all differ', () => {
    const drawn = Object.values(wordFont.letters).map((rows) => rows.join('\n'));
    expect(new Set(drawn).size).toBe(drawn.length);
    for (const rows of Object.values(wordFont.letters)) {
      expect(rows).toHaveLength(wordFont.tall);
      expect(new Set(rows.map((row) => row.length)).size).toBe(1);
    }
  });
});
