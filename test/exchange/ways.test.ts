import { describe, expect, it } from 'vitest';
import { meterText } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import type { SheetRead } from '../../src/exchange/lead-sheet.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { waySignOfDecoration, waySignOfWords } from '../../src/exchange/way-signs.js';
import { chordName } from '../../src/theory/chord.js';
import { numberText } from '../../src/theory/number.js';
import { chart as read } from '../chart/written.js';
import { scoreOf } from './score.js';

/** What a sheet comes to: form and sections as they are written, the bars that are played, and what was said. */
function brought({ sheet, remarks }: SheetRead) {
  const made = chartFromSheet(sheet);
  const text = writeChart(made.chart);
  const reading = readChart(new TextEncoder().encode(text));
  if (!reading.ok) throw new Error(`${text}\n${reading.faults[0]?.message}`);
  const { bars, fault } = unroll(reading.value);
  expect(fault).toBeNull();
  const played = bars.map(({ cells }) =>
    cells.map(({ number }) => (number ? numberText(number) : 'nc')).join('-'),
  );
  const told = [...remarks, ...made.remarks].map(({ message }) => message);
  return {
    form: /^form: (.*)$/m.exec(text)?.[1],
    text,
    played: played.join(' '),
    sounding: bars
      .map(
        ({ meter, cells }) =>
          `${meterText(meter)} ${cells.map(({ chord }) => (chord ? chordName(chord) : 'nc')).join(' ')}`,
      )
      .join(', '),
    told: told.filter((one) => !/melody|tempo/.test(one)),
  };
}

const abc = (music: string, head = ''): SheetRead => {
  const [tune] = abcTunes(`X:1\nT:Weir\nM:4/4\nL:1/4\nQ:1/4=120\n${head}K:C\n${music}\n`);
  if (!tune) throw new Error('no tune');
  return readAbc(tune);
};

describe('ABC with a way by signs', () => {
  it.each([
    [
      'D.S. al Coda',
      '"C"z4|!segno!"F"z4|"G"z4!dacoda!|"Am"z4!D.S.alcoda!|!coda!"Dm"z4|"C"z4|]',
      'A, from sign to coda, coda',
      '1 4 5 6- 4 5 2- 1',
    ],
    [
      'the decoration D.S. with a coda in words',
      '"C"z4|!segno!"F"z4|"^To Coda""G"z4|"Am"z4!D.S.!|"^Coda""Dm"z4|]',
      'A, from sign to coda, coda',
      '1 4 5 6- 4 5 2-',
    ],
    [
      'but the coda’s sign in both places',
      '"C"z4|!segno!"F"z4|!coda!"G"z4|"Am"z4 "^D.S. al Coda"|!coda!"Dm"z4|]',
      'A, from sign to coda, coda',
      '1 4 5 6- 4 5 2-',
    ],
    [
      'Da Capo al Fine, with a repeat',
      '|:"C"z4|"F"z4:|"G"z4!fine!|"Am"z4|"F"z4!D.C.alfine!|]',
      'A, B, from top to fine',
      '1 4 1 4 5 6- 4 1 4 5',
    ],
    ['Da Capo without an end', '"C"z4|"F"z4!dacapo!|"G"z4|]', 'A, from top, B', '1 4 1 4 5'],
    ['Fine between bar lines', '"C"z4|"F"z4|!fine!|"G"z4|!D.C.!|]', 'A, from top to fine', '1 4 5 1 4'],
  ])('%s', (_, music, form, played) => {
    const came = brought(abc(music));
    expect(came.form).toBe(form);
    expect(came.played).toBe(played);
    expect(came.told).toStrictEqual([]);
  });

  it.each([
    [
      'a key of another mode between',
      '"C"z4|!segno!"F"z4|"G"z4!dacoda!|[K:Am]"Am"z4!D.S.alcoda!|!coda!"Dm"z4|]',
      '4/4 C, 4/4 F, 4/4 G, 4/4 Am, 4/4 F, 4/4 G, 4/4 Dm',
    ],
    [
      'keys on the way',
      '"C"z4|[K:D]"D"z4|!segno!"A"z4!dacoda!|[K:G]"G"z4!D.S.alcoda!|!coda!"D"z4|]',
      '4/4 C, 4/4 D, 4/4 A, 4/4 G, 4/4 A, 4/4 D',
    ],
    [
      'a bar of broken beats in front of the coda',
      '"C"z4|!segno!"F"z4|"G"z7/2!dacoda!|"Am"z4!D.S.alcoda!|!coda!"Dm"z4|]',
      '4/4 C, 4/4 F, 7/8 G, 4/4 Am, 4/4 F, 7/8 G, 4/4 Dm',
    ],
    [
      'a meter that holds at the sign',
      '"C"z4|[M:3/4]"F"z3|!segno!"F"z3!dacoda!|[M:4/4]"Am"z4!D.S.alcoda!|!coda!"Dm"z4|]',
      '4/4 C, 3/4 F, 3/4 F, 4/4 Am, 3/4 F, 4/4 Dm',
    ],
  ])('is in the meter and key that each bar stands in: %s', (_, music, wanted) => {
    expect(brought(abc(music)).sounding).toBe(wanted);
  });

  it('has a part that comes again in its own meter', () => {
    const came = brought(abc('P:A\n"C"z4|\nP:B\n"F"z4|[M:3/4]"G"z3|', 'P:ABA\n'));
    expect(came.sounding).toBe('4/4 C, 4/4 F, 3/4 G, 4/4 C');
  });

  it('puts the form word after the last time of its part where parts have an order', () => {
    const came = brought(
      abc(
        'P:A\n!segno!"C"z4|"F"z4|\nP:B\n"G"z4!dacoda!|"Am"z4!D.S.alcoda!|\nP:C\n!coda!"Dm"z4|]',
        'P:ABABC\n',
      ),
    );
    expect(came.form).toBe('A, B, A, B, from sign to coda, C');
    expect(came.played).toBe('1 4 5 6- 1 4 5 6- 1 4 5 2-');
  });

  it.each([
    ['“D.S.” cannot be followed and is left out: there is no sign (segno)', '"C"z4|"F"z4!D.S.!|]', '1 4'],
    [
      '“D.C. al Fine” cannot be followed and is left out: there is no “Fine”',
      '"C"z4|"F"z4!D.C.alfine!|]',
      '1 4',
    ],
    [
      '“D.C. al Coda” cannot be followed and is left out: there is no “To Coda”',
      '"C"z4|"F"z4!D.C.alcoda!|"G"z4|]',
      '1 4 5',
    ],
    [
      '“D.C. al Coda” cannot be followed and is left out: there is no coda',
      '"C"z4!dacoda!|"F"z4!D.C.alcoda!|]',
      '1 4',
    ],
    ['left out: a “Segno” that nothing uses', '"C"z4|!segno!"F"z4|]', '1 4'],
    ['the bars after “D.C. al Fine” are never played', '"C"z4!fine!|"F"z4!D.C.alfine!|"G"z4|]', '1 4 1'],
    ['left out: a second “Segno” that nothing uses', '!segno!"C"z4|!segno!"F"z4|"G"z4!D.S.!|]', '1 4 5 4 5'],
  ])('says: %s', (message, music, played) => {
    const came = brought(abc(music));
    expect(came.told.filter((one) => one.startsWith(message))).toHaveLength(1);
    expect(came.played).toBe(played);
  });
});

const measure = (chord: string, { before = '', behind = '' } = {}): string =>
  `<measure number="1">${before}<harmony><root><root-step>${chord}</root-step></root><kind>major</kind></harmony><note><rest/><duration>4</duration></note>${behind}</measure>`;
const score = (...measures: string[]): SheetRead =>
  scoreOf(
    `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>R</part-name></score-part></part-list><part id="P1">${measures
      .join('')
      .replace(
        /(<measure[^>]*>)/,
        '$1<attributes><divisions>1</divisions><key><fifths>0</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>',
      )}</part></score-partwise>`,
  );
const direction = (type: string, sound = ''): string =>
  `<direction><direction-type>${type}</direction-type>${sound && `<sound ${sound}/>`}</direction>`;

describe('MusicXML with a way by signs', () => {
  it('follows segno, to coda, dal segno and coda by what programs are told', () => {
    const came = brought(
      score(
        measure('C'),
        measure('F', { before: direction('<segno/>', 'segno="s"') }),
        measure('G', {
          behind: direction('<words>To Coda</words></direction-type><direction-type><coda/>', 'tocoda="c"'),
        }),
        measure('A', { behind: direction('<words>D.S. al Coda</words>', 'dalsegno="s"') }),
        measure('D', { before: direction('<coda/>', 'coda="c"') }),
      ),
    );
    expect(came.form).toBe('A, from sign to coda, coda');
    expect(came.played).toBe('1 4 5 6 4 5 2');
    expect(came.told).toStrictEqual([]);
  });

  it('follows signs and words alone, and a segno on a bar line', () => {
    const came = brought(
      score(
        measure('C', { before: '<barline location="left"><segno/></barline>' }),
        measure('F', { behind: direction('<words>Fine</words>') }),
        measure('G', { behind: direction('<words>D.S. al Fine</words>') }),
      ),
    );
    expect(came.form).toBe('A, from sign to fine');
    expect(came.played).toBe('1 4 5 1 4');
  });

  it('says how “To Coda” at the beginning of a bar is read', () => {
    const came = brought(
      score(
        measure('C', { before: direction('<words>To Coda</words>') }),
        measure('F', { behind: direction('<words>D.C. al Coda</words>', 'dacapo="yes"') }),
        measure('G', { before: direction('<coda/>') }),
      ),
    );
    expect(came.told).toStrictEqual([
      '“To Coda” is at the beginning of its bar and is read as if it came after the bar',
    ]);
    expect(came.played).toBe('1 4 1 5');
  });

  it('says when there is no sign to go back to', () => {
    const came = brought(score(measure('C'), measure('F', { behind: '<sound dalsegno="s"/>' })));
    expect(came.told).toStrictEqual([
      '“D.S.” cannot be followed and is left out: there is no sign (segno) before it',
    ]);
  });
});

describe('a chart with a form word', () => {
  const text = (form: string, V = '1 @sign 4 1 5', C = '6- 5 @to-coda 4 5'): string =>
    `title: Weir\nkey: A\ntempo: 120\nform: ${form}\nsections:\n  V: |\n    ${V}\n  C: |\n    ${C}\n  coda: |\n    2- 5\n  tag: first 2 of V + 5 1\n`;

  it.each([
    'V, C, from sign to coda, coda',
    'V, V, C, V, C, from sign to coda, coda, tag',
    'V, C, from top to coda, coda',
    'V, C, from sign, tag',
    'V, C, from top',
  ])('%s comes back as it went, by ABC and by MusicXML', (form) => {
    const chart = read(text(form));
    const { sheet, lost } = sheetFromChart(chart, chart.key);
    expect(lost).toStrictEqual([]);
    const [tune] = abcTunes(abcText(sheet));
    if (!tune) throw new Error('no tune');
    const played = unroll(chart).bars.length;
    for (const back of [readAbc(tune), scoreOf(musicXml(sheet, { form }))]) {
      const came = brought(back);
      expect(came.form).toBe(form);
      expect(came.played.split(' ')).toHaveLength(played);
      expect(came.told).toStrictEqual([]);
    }
  });

  it('is written out as it is played where no sheet has such a way, and says so', () => {
    const chart = read(text('V, C, from sign to coda, C'));
    const { sheet, lost } = sheetFromChart(chart, chart.key);
    expect(lost).toStrictEqual(['the form: the song is written out as it is played']);
    expect(sheet.bars).toHaveLength(unroll(chart).bars.length);
    expect(sheet.bars.some(({ marks, back, coda }) => marks || back || coda)).toBe(false);
  });
});

describe('the signs of the way', () => {
  it.each([
    ['D.S.', 'sign', null],
    ['D. S. al Coda', 'sign', 'coda'],
    ['dal segno al fine', 'sign', 'fine'],
    ['DC', 'top', null],
    ['Da Capo al Fine', 'top', 'fine'],
  ])('%s', (words, from, to) => {
    expect(waySignOfWords(words)).toStrictEqual({ kind: 'back', way: { from, to } });
  });

  it('are no other words', () => {
    for (const words of ['coda soon', 'fine and slow', 'D.J.', 'to the river', 'DS2'])
      expect(waySignOfWords(words)).toBeNull();
    expect(waySignOfDecoration('trill')).toBeNull();
  });
});

describe('words about going back with more words than a sign has', () => {
  const music = (words: string): string =>
    `"C"z4|"^Segno""F"z4|"^To Coda""G"z4|"^${words}""Am"z4||"^Coda""Dm"z4|]`;

  it.each([
    'D.S. al Coda (no repeat)',
    'D.S. al Coda, no repeats',
    'D.S. al Coda senza rep.',
    'D.S. al Coda e poi la Coda',
    'Dal Segno al Coda, then to the Coda',
  ])('%s is one', (words) => {
    const { form, told } = brought(abc(music(words)));
    expect({ form, told }).toEqual({ form: 'A, from sign to coda, coda', told: [] });
  });

  it('con rep. is one, and that repeats are not taken is told', () => {
    const { form, told } = brought(abc(music('D.S. al Coda con rep.')));
    expect(form).toBe('A, from sign to coda, coda');
    expect(told).toEqual(['“D.S. al Coda con rep.”: repeats are not played again after it']);
  });

  it.each(['D.C. al 2nd ending', 'D.S. and fade', 'Da Capo twice', 'Dal Segno x 3'])(
    '%s is told by its name',
    (words) => {
      const wanted = `“${words}” is not a jump that can be followed and is kept as a cue`;
      expect(brought(abc(`"C"z4|"^${words}""F"z4|]`)).told).toEqual([wanted]);
    },
  );

  it.each(['Dance', 'DS9', 'D.J. solo'])('%s is a cue like any other', (words) => {
    expect(brought(abc(`"C"z4|"^${words}""F"z4|]`)).told).toEqual([]);
  });
});
