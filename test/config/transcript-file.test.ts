import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  allTranscripts,
  forgetTranscript,
  keepTranscript,
  newTranscriptName,
  recallTranscript,
} from '../../src/config/transcript-file.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const chord = { degree: 4, alter: 0, minor: true, seventh: false } as const;
const kept = {
  at: 5,
  key: 'A',
  tempo: 'half=90',
  meter: '2/2',
  transcript: { bars: [{ chords: [chord] }, null], split: false, last: 0 },
};

describe('what was being written down', () => {
  it('is kept under a name of its own until it is forgotten', () => {
    const [one, other] = [newTranscriptName(), newTranscriptName()];
    expect(keepTranscript(one, kept, folder)).toBeNull();
    keepTranscript(other, { ...kept, at: 9 }, folder);
    expect(recallTranscript(one, folder)).toEqual(kept);
    expect(allTranscripts(folder).map(({ name }) => name)).toEqual([other, one]);
    forgetTranscript(other, folder);
    expect(allTranscripts(folder).map(({ name }) => name)).toEqual([one]);
  });

  it.each([
    'no json',
    '{}',
    JSON.stringify({
      ...kept,
      transcript: { ...kept.transcript, bars: [{ chords: [{ ...chord, degree: 9 }] }] },
    }),
    JSON.stringify({ ...kept, transcript: { ...kept.transcript, bars: [{ chords: [] }] } }),
    JSON.stringify({ ...kept, at: 'x' }),
  ])('is none where %j is kept', (text) => {
    mkdirSync(join(folder, 'transcripts'));
    writeFileSync(join(folder, 'transcripts', '0123456789abcdef.json'), text);
    expect(allTranscripts(folder)).toEqual([]);
    expect(recallTranscript('../../etc/passwd', folder)).toBeNull();
  });
});
