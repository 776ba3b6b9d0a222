import { describe, expect, it } from 'vitest';
import type { SheetRead } from '../../src/exchange/lead-sheet.js';
import { chordName } from '../../src/theory/chord.js';
import { scoreOf } from './score.js';

/*
 * Whatever a score has is kept, told, or says only how notes are drawn: nothing is read past in silence. The lists are the
 * elements that MusicXML 4.0 (its schema) allows at each place.
 */

const attributes =
  '<attributes><divisions>1</divisions><key><fifths>1</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes><sound tempo="120"/>';
const harmony = (root: string, more = '', front = ''): string =>
  `<harmony>${front}<root><root-step>${root}</root-step></root><kind>major</kind>${more}</harmony>`;
const rest = '<note><rest/><duration>4</duration></note>';

function read(inFirst: string, second = `${harmony('C')}${rest}`, head = ''): SheetRead {
  return scoreOf(
    `<score-partwise version="4.0">${head}<part id="P1"><measure number="1">${attributes}${inFirst}${harmony('G')}${rest}</measure><measure number="2">${second}</measure></part></score-partwise>`,
  );
}

const told = ({ remarks }: SheetRead): string[] => remarks.map(({ message }) => message);
const bars = ({ sheet }: SheetRead): string =>
  sheet.bars
    .map(({ chords }) => chords.map(({ chord }) => (chord ? chordName(chord) : 'nc')).join(' '))
    .join(' | ');
const leftOut = expect.stringMatching(/^left out: .{5,}/);

/** Each element must be among those that are kept or only drawn, or be told; and must change nothing of the chords. */
function isToldOrKept(
  made: (name: string) => SheetRead,
  names: readonly string[],
  kept: readonly string[],
): void {
  for (const name of names) {
    const read = made(name);
    expect([name, bars(read)]).toEqual([name, 'G | C']);
    if (kept.includes(name)) expect([name, told(read)]).toEqual([name, []]);
    else expect([name, told(read)]).toEqual([name, [leftOut]]);
  }
}

describe('everything of a score', () => {
  it('in a measure', () => {
    const names =
      'note backup forward direction attributes harmony figured-bass print sound listening barline grouping link bookmark made-up';
    const kept = [
      'note',
      'backup',
      'forward',
      'direction',
      'attributes',
      'harmony',
      'print',
      'sound',
      'barline',
    ];
    isToldOrKept(
      (name) =>
        name === 'harmony' ? read('') : read(`<${name}></${name}>`.replace('<note>', '<note><rest/>')),
      names.split(' '),
      kept,
    );
  });

  it('among the attributes', () => {
    const names =
      'divisions key time staves part-symbol instruments clef staff-details transpose for-part directive footnote level';
    const drawn = [
      'divisions',
      'staves',
      'part-symbol',
      'instruments',
      'clef',
      'staff-details',
      'footnote',
      'level',
    ];
    isToldOrKept((name) => read(`<attributes><${name}/></attributes>`), names.split(' '), drawn);
  });

  it('among the directions', () => {
    const names =
      'rehearsal segno coda words symbol wedge dynamics dashes bracket pedal metronome octave-shift harp-pedals damp damp-all eyeglasses string-mute scordatura image principal-voice percussion accordion-registration staff-divide other-direction';
    isToldOrKept(
      (name) => read(`<direction><direction-type><${name}>V</${name}></direction-type></direction>`),
      names.split(' '),
      ['rehearsal', 'words', 'segno', 'coda'],
    );
  });

  it('among the signs on notes', () => {
    const own =
      'tied slur tuplet glissando slide dynamics arpeggiate non-arpeggiate accidental-mark other-notation';
    const melody = ['tied', 'slur', 'tuplet', 'glissando', 'slide', 'accidental-mark'];
    const withSign = (sign: string): SheetRead =>
      read(`<note><grace/><rest/><notations>${sign}</notations></note>`.replace('<grace/>', ''));
    isToldOrKept((name) => withSign(`<${name}/>`), own.split(' '), melody);
    for (const [group, names] of [
      ['articulations', 'accent staccato tenuto scoop plop doit falloff breath-mark other-articulation'],
      ['ornaments', 'trill-mark turn shake wavy-line mordent schleifer tremolo haydn other-ornament'],
      [
        'technical',
        'up-bow down-bow harmonic fingering fret string hammer-on pull-off bend tap golpe other-technical',
      ],
    ] as const)
      isToldOrKept((name) => withSign(`<${group}><${name}/></${group}>`), names.split(' '), []);
  });

  it('of a note', () => {
    isToldOrKept(
      (name) => read(`<note><rest/><${name}/></note>`),
      ['lyric', 'grace', 'dot', 'stem', 'beam'],
      ['dot', 'stem', 'beam'],
    );
  });

  it('of a harmony', () => {
    const harmonyWith = (more: string): SheetRead => read('', `${harmony('C', more)}${rest}`);
    isToldOrKept(
      (name) => harmonyWith(`<${name}/>`),
      ['frame', 'inversion', 'footnote', 'level', 'staff'],
      ['footnote', 'level', 'staff'],
    );
    expect(told(harmonyWith('<root><root-step>D</root-step></root><kind>major</kind>'))).toEqual([
      'left out: all but the first chord of a harmony',
    ]);
    expect(told(read('', `${harmony('D')}${harmony('C')}${rest}`))).toEqual([
      'left out: all but the last of several chords at the same place',
    ]);
    expect(told(read('', `<harmony><function>IV</function><kind>major</kind></harmony>${rest}`))).toEqual([
      '“a chord by function” is not a known chord: nc is written, with this text as a cue',
    ]);
  });

  it('of what sounds', () => {
    const names =
      'tempo dynamics dacapo segno dalsegno coda tocoda divisions forward-repeat fine time-only pizzicato pan elevation damper-pedal soft-pedal sostenuto-pedal id';
    // “tocoda” and “fine” in front of a bar's chords are kept and told: see the ways below.
    const kept = ['tempo', 'id', 'segno', 'coda', 'dacapo', 'dalsegno'];
    const asked = names.split(' ').filter((name) => !['tocoda', 'fine'].includes(name));
    isToldOrKept((name) => read(`<sound ${name}="120"/>`), asked, kept);
    const within = 'instrument-change midi-device midi-instrument play swing offset';
    isToldOrKept((name) => read(`<sound><${name}/></sound>`), within.split(' '), []);
  });

  it('of a bar line', () => {
    const barline = (inner: string): SheetRead =>
      read('', `${harmony('C')}${rest}<barline>${inner}</barline>`);
    const names = 'bar-style wavy-line segno coda fermata';
    isToldOrKept((name) => barline(`<${name}/>`), names.split(' '), ['bar-style']);
    expect(told(barline('<repeat direction="backward" times="40"/>'))).toEqual([]);
    expect(barline('<repeat direction="backward" times="40"/>').sheet.bars[1]?.closes).toBe(40);
    expect(told(barline('<repeat direction="backward" times="x"/>'))).toEqual([
      'left out: a repeat marked x times is read as twice',
    ]);
    expect(told(barline('<ending number="" type="start"/>'))).toEqual([
      'left out: an ending without a valid number',
    ]);
  });

  it('of a time signature', () => {
    for (const time of [
      '<senza-misura/>',
      '<beats>3+2</beats><beat-type>8</beat-type>',
      '<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type>',
      '<beats>4</beats><beat-type>16</beat-type>',
    ])
      expect(told(read(`<attributes><time>${time}</time></attributes>`))).toEqual([
        'left out: a time signature that a chart cannot have',
      ]);
    expect(
      told(
        read(
          '<attributes><time><beats>4</beats><beat-type>4</beat-type><interchangeable/></time></attributes>',
        ),
      ),
    ).toEqual(['left out: the second of two time signatures']);
  });

  it('in front of the music', () => {
    const head = (inner: string): SheetRead => read('', undefined, inner);
    for (const [inner, what] of [
      ['<work><work-number>1</work-number></work>', 'the number of the work'],
      ['<movement-number>1</movement-number>', 'the number of the movement'],
      [
        '<work><work-title>A</work-title></work><movement-title>B</movement-title>',
        'the title of a movement',
      ],
      ['<identification><creator>A</creator><creator>B</creator></identification>', 'further authors'],
      ['<identification><rights>A</rights></identification>', 'rights'],
      ['<identification><source>A</source></identification>', 'the source'],
      ['<identification><relation>A</relation></identification>', 'related works'],
      [
        '<identification><miscellaneous><miscellaneous-field name="x">A</miscellaneous-field></miscellaneous></identification>',
        'notes by its writer',
      ],
      ['<credit><credit-words>A</credit-words></credit>', 'words on the page outside the music'],
    ] as const)
      expect(told(head(inner))).toEqual([`left out: ${what}`]);
    expect(told(head('<movement-title>B</movement-title><defaults><scaling/></defaults>'))).toEqual([]);
  });
});

describe('what can be kept is kept', () => {
  it.each([
    ['<direction><direction-type><segno/></direction-type></direction>', { marks: ['sign'] }],
    ['<direction><direction-type><coda/></direction-type></direction>', { coda: true }],
    ['<barline location="left"><segno/></barline>', { marks: ['sign'] }],
    ['<barline location="left"><coda/></barline>', { coda: true }],
    ['<sound segno="s"/>', { marks: ['sign'] }],
    ['<sound coda="c"/>', { coda: true }],
    ['<sound dalsegno="s"/>', { back: { from: 'sign', to: null } }],
    ['<sound dacapo="yes"/>', { back: { from: 'top', to: null } }],
  ])('the way that %s says', (sign, said) => {
    const read_ = read(sign);
    expect(told(read_)).toEqual([]);
    expect(read_.sheet.bars[0]).toMatchObject(said);
  });

  it.each([
    ['tocoda', 'to-coda', 'To Coda'],
    ['fine', 'fine', 'Fine'],
  ])('%s stands behind its bar, and is told where it does not', (name, mark, words) => {
    const behind = read('', `${harmony('C')}${rest}<sound ${name}="yes"/>`);
    expect(told(behind)).toEqual([]);
    expect(behind.sheet.bars[1]?.marks).toEqual([mark]);
    const before = read('', `<sound ${name}="yes"/>${harmony('C')}${rest}`);
    expect(before.sheet.bars[1]?.marks).toEqual([mark]);
    expect(told(before)).toEqual([
      `“${words}” is at the beginning of its bar and is read as if it came after the bar`,
    ]);
  });

  it('the coda’s sign beside words that say one leaves for it is no beginning of it', () => {
    const { sheet, remarks } = read(
      '',
      `${harmony('C')}${rest}<direction><direction-type><coda/></direction-type><direction-type><words>To Coda</words></direction-type></direction>`,
    );
    expect(remarks).toEqual([]);
    expect(sheet.bars[1]).toMatchObject({ marks: ['to-coda'] });
    expect(sheet.bars[1]).not.toHaveProperty('coda');
  });

  it('what is sung, with the bar that its line begins with', () => {
    const lyric = '<note><rest/><duration>4</duration><lyric><text>la</text></lyric></note>';
    expect(read('', `${harmony('C')}${lyric}`).sheet.bars.map(({ sung }) => sung)).toEqual([
      ['la'],
      undefined,
    ]);
  });

  it.each([
    ['<beat-unit>eighth</beat-unit><per-minute>240</per-minute>', { bpm: 120, count: 'quarter' }],
    ['<beat-unit>half</beat-unit><per-minute>96.4</per-minute>', { bpm: 96, count: 'half' }],
    [
      '<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>90</per-minute>',
      { bpm: 90, count: 'dotted' },
    ],
    [
      '<beat-unit>half</beat-unit><beat-unit-dot/><per-minute>60</per-minute>',
      { bpm: 180, count: 'quarter' },
    ],
  ])('the tempo of %s', (mark, tempo) => {
    const direction = `<direction><direction-type><metronome>${mark}</metronome></direction-type></direction>`;
    const { sheet } = scoreOf(
      `<score-partwise><part><measure>${direction}${harmony('G')}${rest}</measure></part></score-partwise>`,
    );
    expect(sheet.tempo).toEqual(tempo);
  });

  it('a simile sign has the chords of the measure that it repeats', () => {
    const style = (type: string, count = ''): string =>
      `<attributes><measure-style><measure-repeat type="${type}">${count}</measure-repeat></measure-style></attributes>`;
    const { sheet, remarks } = scoreOf(
      `<score-partwise><part>${[
        `${attributes}${harmony('G')}<note><rest/><duration>2</duration></note>${harmony('D')}<note><rest/><duration>2</duration></note>`,
        `${harmony('C')}${rest}`,
        `${style('start', '2')}${rest}`,
        rest,
        `${style('stop')}${rest}`,
      ]
        .map((body) => `<measure>${body}</measure>`)
        .join('')}</part></score-partwise>`,
    );
    expect(bars({ sheet, remarks, notes: 0, chords: 3 })).toBe('G D | C | G D | C | ');
    expect(remarks).toEqual([]);
  });
});
