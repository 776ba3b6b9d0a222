import { describe, expect, it } from 'vitest';
import type { Format } from '../../src/exchange/format.js';
import {
  formatNamed,
  formatOfFile,
  formats,
  mayHoldSongs,
  writtenFormats,
} from '../../src/exchange/formats.js';

const all: readonly Format[] = formats;

describe('the list of formats', () => {
  it.each(all.map((format) => [format.name, format] as const))(
    '%s can be loaded, and says what it cannot hold',
    async (_, format) => {
      expect(format.reader ?? format.writer).toBeDefined();
      if (format.reader) expect(typeof (await format.reader.load())).toBe('function');
      if (format.writer) expect(typeof (await format.writer.load())).toBe('function');
      expect(format.extensions.length).toBeGreaterThan(0);
      expect(format.cannotHold.length).toBeGreaterThan(10);
    },
  );

  it('has each name once, and one format that songs are read from for each extension', () => {
    expect(new Set(all.map(({ name }) => name)).size).toBe(all.length);
    const read = all.flatMap(({ reader, extensions }) => (reader?.kind === 'songs' ? extensions : []));
    expect(new Set(read).size).toBe(read.length);
  });

  it('writes files that end as they always did', () => {
    expect(writtenFormats.map(({ name, extensions }) => [name, extensions[0]])).toEqual([
      ['pdf', 'pdf'],
      ['text', 'txt'],
      ['midi', 'mid'],
      ['abc', 'abc'],
      ['musicxml', 'musicxml'],
    ]);
    expect(formatNamed('midi').writer.kind).toBe('song');
  });
});

describe('the format of a file', () => {
  it.each([
    // What it holds goes before its name.
    ['a.txt', 'X:1\nT:t\nK:C\n', 'abc'],
    ['a.txt', '% a remark\n', 'abc'],
    ['a.abc', ' <?xml version="1.0"?><score-partwise/>', 'musicxml'],
    ['a.abc', 'PK\u0003\u0004', 'musicxml'],
    // Where that does not tell, its name.
    ['a.ABC', 'nothing of the kind', 'abc'],
    ['a.mxl', 'nothing of the kind', 'musicxml'],
    ['a.xml', '', 'musicxml'],
    ['a.txt', 'G C D G\n', 'letters'],
    ['a.other', 'G C D G\n', 'letters'],
    ['abc', 'G C D G\n', 'letters'],
  ])('%s with %j is %s', (name, text, format) => {
    expect(formatOfFile(name, text).name).toBe(format);
  });

  it('tells by its name whether a folder’s file may hold songs', () => {
    const names = ['a.abc', 'b.MusicXML', 'c.mxl', 'd.xml', 'e.txt', 'f.yaml', 'abc', 'g.mid'];
    expect(names.filter(mayHoldSongs)).toEqual(['a.abc', 'b.MusicXML', 'c.mxl', 'd.xml']);
  });
});
