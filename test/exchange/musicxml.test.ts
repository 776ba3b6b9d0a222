import fc from 'fast-check';
import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { writeChart } from '../../src/chart/write.js';
import { harmonyKinds, qualityOfKind } from '../../src/exchange/harmony-kinds.js';
import { type LeadSheet, plainBar } from '../../src/exchange/lead-sheet.js';
import { withoutMelody } from '../../src/exchange/melody.js';
import { readMusicXml } from '../../src/exchange/musicxml-read.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { unpackMxl } from '../../src/exchange/unpack-mxl.js';
import { parseChord } from '../../src/theory/chord.js';
import { qualities } from '../../src/theory/quality.js';
import { scoreOf } from './score.js';

function chord(text: string) {
  const read = parseChord(text);
  if (!read.ok) throw new Error(text);
  return read.value;
}

const sheetOf = (...chords: string[]): LeadSheet => ({
  title: 'T & <T>',
  by: null,
  key: { tonic: 'G', mode: 'major' },
  meter: { beats: 4, unit: 4 },
  tempo: { bpm: 120, count: 'quarter' },
  form: null,
  bars: chords.map((text) => ({
    ...plainBar,
    chords: [{ at: 0, chord: chord(text), text: null, place: plainBar.place }],
  })),
});

const measures = (...bodies: string[]): string =>
  `<?xml version="1.0"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1">${bodies
    .map((body, index) => `<measure number="${index + 1}">${body}</measure>`)
    .join('')}</part></score-partwise>`;
const attributes =
  '<attributes><divisions>2</divisions><key><fifths>1</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>';
const harmony = (root: string, kind: string, more = ''): string =>
  `<harmony><root><root-step>${root}</root-step></root><kind>${kind}</kind>${more}</harmony>`;
const note = (length: number): string =>
  `<note><pitch><step>C</step><octave>4</octave></pitch><duration>${length}</duration></note>`;

function bars(text: string): string {
  const { sheet } = withoutMelody(scoreOf(text));
  const written = writeChart(chartFromSheet(sheet).chart);
  return written.slice(written.indexOf('  A: |\n') + 7).trim();
}

describe('kinds of harmony', () => {
  it('are there for every quality, each once', () => {
    expect(harmonyKinds.map(({ quality }) => quality).sort()).toEqual(qualities.map(({ id }) => id).sort());
    for (const { kind, degrees, quality } of harmonyKinds) expect(qualityOfKind(kind, degrees)).toBe(quality);
  });
});

describe('a score written', () => {
  it('has a chop of G as a frame whose string 1 is the highest', () => {
    // MusicXML 4.0, elements/string: “String numbers start with 1 for the highest pitched full-length string.” G chop 7-5-2-3, fingers little ring index middle (common practice).
    const text = musicXml(sheetOf('G'), {
      fingeringOf: () => ({ frets: [7, 5, 2, 3], fingers: [4, 3, 1, 2] }) as never,
    });
    const notes = [
      ...text.matchAll(/<string>(\d)<\/string><fret>(\d+)<\/fret><fingering>(\d)<\/fingering>/g),
    ];
    expect(notes.map(([, string, fret, finger]) => `(${string},${fret}) ${finger}`)).toEqual([
      '(4,7) 4',
      '(3,5) 3',
      '(2,2) 1',
      '(1,3) 2',
    ]);
    expect(text).toContain('<frame-frets>6</frame-frets><first-fret>2</first-fret>');
  });

  it('escapes what XML would take for its own', () => {
    expect(musicXml(sheetOf('G'))).toContain('<work-title>T &amp; &lt;T&gt;</work-title>');
  });

  it('has kind, degree and bass', () => {
    const text = musicXml(sheetOf('D/F#', 'A7b9', 'Em'));
    expect(text).toContain(
      '<kind>major</kind><bass><bass-step>F</bass-step><bass-alter>1</bass-alter></bass>',
    );
    expect(text).toContain(
      '<kind text="7b9">dominant</kind><degree print-object="no"><degree-value>9</degree-value><degree-alter>-1</degree-alter><degree-type>add</degree-type></degree>',
    );
    expect(text).toContain('<root-step>E</root-step></root><kind text="m">minor</kind>');
  });
});

describe('a score read', () => {
  it('has its chords where they stand among the notes, and by offset', () => {
    const text = measures(
      `${attributes}${harmony('G', 'major')}${note(4)}${harmony('C', 'major')}${note(4)}`,
      `${harmony('D', 'dominant')}${harmony('G', 'major', '<offset>6</offset>')}${note(8)}`,
    );
    expect(bars(text)).toBe('(1 4) (5^7... 1.)');
  });

  it('has a pick-up, repeats and endings, rehearsal marks, tempo', () => {
    const text = measures(
      `${attributes}<direction><direction-type><metronome><beat-unit>half</beat-unit><per-minute>96</per-minute></metronome></direction-type></direction>${note(2)}`,
      `<barline location="left"><repeat direction="forward"/></barline><direction><direction-type><rehearsal>Verse</rehearsal></direction-type></direction>${harmony('G', 'major')}${note(8)}`,
      `<barline location="left"><ending number="1" type="start"/></barline>${harmony('D', 'major')}${note(8)}<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline>`,
      `<barline location="left"><ending number="2" type="start"/></barline>${harmony('C', 'major')}${note(8)}<barline location="right"><ending number="2" type="discontinue"/></barline>`,
    );
    const { sheet } = withoutMelody(scoreOf(text));
    expect(writeChart(chartFromSheet(sheet).chart)).toBe(
      'title: untitled\nkey: G\ntempo: half=96\nmeter: 4/4\npickup: 1\nform: Verse\nsections:\n  Verse: |\n    |: 1 [1st 5 ] :| [2nd 4 ]\n',
    );
  });

  it.each([
    ['<key><fifths>-1</fifths><mode>minor</mode></key>', 'Dm'],
    ['<key><fifths>0</fifths><mode>dorian</mode></key>', 'Dm'],
    ['<key><fifths>0</fifths><mode>mixolydian</mode></key>', 'G'],
    ['<key><fifths>2</fifths><mode>aeolian</mode></key>', 'Bm'],
    ['<key><fifths>-3</fifths></key>', 'Eb'],
    ['<key><fifths>4</fifths><mode>phrygian</mode></key>', 'G#m'],
  ])('knows the key of %s', (key, name) => {
    const text = measures(
      `<attributes><divisions>1</divisions>${key}</attributes>${harmony('C', 'major')}${note(4)}`,
    );
    const { key: read } = scoreOf(text).sheet;
    expect(read.tonic + (read.mode === 'minor' ? 'm' : '')).toBe(name);
  });

  it('writes nc with a cue for what it does not know, and tells it', () => {
    const text = measures(
      `${attributes}${harmony('G', 'Neapolitan')}${note(8)}`,
      `${harmony('C', 'major')}${note(8)}`,
    );
    expect(bars(text)).toBe('"G Neapolitan" nc 4');
    expect(scoreOf(text).remarks.map(({ message }) => message)).toContain(
      '“G Neapolitan” is not a known chord: nc is written, with this text as a cue',
    );
  });

  it('takes the part that has chords, and says that there are others', () => {
    const text = measures(`${attributes}${note(8)}`).replace(
      '</score-partwise>',
      `<part id="P2"><measure number="1">${attributes}${harmony('G', 'major')}${note(8)}</measure></part></score-partwise>`,
    );
    const read = scoreOf(text);
    expect(read.chords).toBe(1);
    expect(read.remarks.map(({ message }) => message)).toContain('left out: 1 other part');
  });

  it.each([
    [
      '<!DOCTYPE s [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><score-partwise/>',
      'entities defined in the file are not read',
    ],
    [
      '<!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise><work><work-title>&x;</work-title></work></score-partwise>',
      'entities',
    ],
    ['<score-timewise version="4.0"/>', 'save it part by part'],
    ['<html><body/></html>', 'this is not a score but <html>'],
    ['<score-partwise>', 'not well-formed XML'],
    ['<score-partwise><part>&undefined;</part></score-partwise>', 'not well-formed XML'],
    [`<score-partwise>${'<a>'.repeat(200)}`, 'nested more than 64 deep'],
    ['<score-partwise/>', 'the score has no part'],
  ])('refuses %s with a sentence', (text, told) => {
    expect(readMusicXml(text)).toMatchObject({
      ok: false,
      fault: { message: expect.stringContaining(told) },
    });
  });

  it('of any text is a chart that can be written and read, or a fault', () => {
    const bit = fc.constantFrom(
      '<measure>',
      '</measure>',
      '<part id="P1">',
      '</part>',
      attributes,
      note(2),
      note(8),
      harmony('G', 'major'),
      harmony('H', 'major'),
      harmony('C', 'none'),
      '<backup><duration>4</duration></backup>',
      '<forward><duration>2</duration></forward>',
      '<barline><repeat direction="forward"/></barline>',
      '<barline><repeat direction="backward" times="3"/></barline>',
      '<barline><ending number="1" type="start"/></barline>',
      '<barline><ending number="1" type="stop"/></barline>',
      '<sound tempo="x"/>',
      '<attributes><divisions>0</divisions></attributes>',
      '<time><beats>99</beats></time>',
      '&amp;',
      '<',
      'é',
    );
    fc.assert(
      fc.property(fc.array(bit, { maxLength: 30 }), fc.boolean(), (bits, whole) => {
        const body = bits.filter((one) => !whole || !/^<\/?(?:measure|part)|^<$|^&/.test(one)).join('');
        const text = whole
          ? measures(body, body)
          : `<score-partwise><part id="P1">${body}</part></score-partwise>`;
        const read = readMusicXml(text);
        if (!read.ok) {
          expect(read.fault.message.length).toBeGreaterThan(10);
          return;
        }
        const { sheet } = read.value;
        if (sheet.bars.length === 0) return;
        const again = readChart(new TextEncoder().encode(writeChart(chartFromSheet(sheet).chart)));
        expect(again.ok ? [] : again.faults).toEqual([]);
      }),
      { numRuns: 1000 },
    );
  });
});

describe('a compressed score', () => {
  const container =
    '<container><rootfiles><rootfile full-path="song.musicxml" media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>';
  const score = measures(`${attributes}${harmony('G', 'major')}${note(8)}`);

  it('is unpacked by what its container names', () => {
    const archive = zipSync({
      'META-INF/container.xml': strToU8(container),
      'song.musicxml': strToU8(score),
      'x.png': strToU8('no'),
    });
    expect(unpackMxl(archive)).toEqual({ ok: true, value: score });
  });

  it('that would be larger than any score is refused before it is unpacked', () => {
    const huge = new Uint8Array(40 << 20);
    const archive = zipSync({ 'META-INF/container.xml': strToU8(container), 'song.musicxml': huge });
    expect(archive.length).toBeLessThan(100_000);
    expect(unpackMxl(archive)).toMatchObject({
      ok: false,
      fault: { message: expect.stringContaining('larger than 32 MiB') },
    });
  });

  it('that lies about its size gives no more than it has said', () => {
    const archive = zipSync({
      'META-INF/container.xml': strToU8(container),
      'song.musicxml': new Uint8Array(30 << 20),
    });
    const view = new DataView(archive.buffer, archive.byteOffset, archive.byteLength);
    // The size in both headers: 30 MiB become 1000 bytes.
    for (let at = 0; at + 4 <= archive.length; at += 1)
      if (view.getUint32(at, true) === 30 << 20) view.setUint32(at, 1000, true);
    const unpacked = unpackMxl(archive);
    expect(unpacked.ok ? unpacked.value.length : 0).toBeLessThanOrEqual(1000);
  });

  it.each([
    ['no archive', new Uint8Array([0x50, 0x4b, 1, 2, 3])],
    ['one without a container', zipSync({ a: strToU8('b') })],
    ['one whose container names nothing', zipSync({ 'META-INF/container.xml': strToU8('<container/>') })],
    ['one without the score that is named', zipSync({ 'META-INF/container.xml': strToU8(container) })],
  ])('that is %s is refused', (_, bytes) => {
    expect(unpackMxl(bytes).ok).toBe(false);
  });

  it('of any bytes is refused', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        expect(unpackMxl(Uint8Array.from([0x50, 0x4b, 3, 4, ...bytes])).ok).toBe(false);
      }),
    );
  });
});
