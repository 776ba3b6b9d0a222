import { describe, expect, it } from 'vitest';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { abcSung, withSungWords } from '../../src/exchange/sung-words.js';
import { scoreOf } from './score.js';

function written(sheet: Parameters<typeof chartFromSheet>[0]): (string | undefined)[] {
  const { chart } = chartFromSheet({ ...sheet, bars: withSungWords(sheet.bars) });
  return chart.sections.flatMap(({ lines }) => lines.map(({ words }) => words));
}

describe('words that are sung', () => {
  it.each([
    ['The riv-er took * the~mill | road_ so\\-long', 'The river took the mill road so-long'],
    ['a - b-c', 'abc'],
    ['|', ''],
  ])('of an ABC line %j', (line, text) => {
    expect(abcSung(line)).toBe(text);
  });

  it('of ABC are those of the line of music above, of several verses each with its number', () => {
    const text =
      'X:1\nT:S\nM:4/4\nL:1/4\nQ:1/4=120\nK:G\n"G"GGGG|"C"cccc|\nw: The riv-er\nw: We built\n"D"dddd\nw: and on\nW: behind\n';
    const [tune] = abcTunes(text);
    if (!tune) throw new Error('no tune');
    const { sheet, remarks } = readAbc(tune);
    expect(written(sheet)).toEqual(['1. The river', '2. We built', undefined, 'and on', undefined]);
    expect(chartFromSheet(sheet).chart.sections[0]?.lines.every((line) => line.words === undefined)).toBe(
      true,
    );
    expect(remarks.map(({ message }) => message)).toContain('left out: lyrics');
    expect(remarks.map(({ message }) => message)).toContain('left out: lyrics after the tune');
  });

  it('of a score are put together from syllables, line by line', () => {
    const note = (text: string, syllabic: string, verse = '1'): string =>
      `<note><pitch><step>G</step><octave>4</octave></pitch><duration>4</duration><lyric number="${verse}"><syllabic>${syllabic}</syllabic><text>${text}</text></lyric></note>`;
    const harmony = '<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>';
    const score = `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>A</part-name></score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>${harmony}${note('riv', 'begin')}</measure><measure number="2">${note('er', 'end')}</measure><measure number="3"><print new-system="yes"/>${note('took', 'single')}</measure></part></score-partwise>`;
    expect(written(scoreOf(score).sheet)).toEqual(['river', undefined, 'took', undefined]);
  });
});
