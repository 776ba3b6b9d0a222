import { readdirSync } from 'node:fs';
import { parseMidi, writeMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { meta, midiFileOf, TrackBytes } from '../../src/exchange/midi-bytes.js';
import { midiFile, notesInPass } from '../../src/exchange/midi-file.js';
import { arrange } from '../../src/time/arrange.js';
import { usualMix } from '../../src/time/sound.js';
import { demoChart, mandolin } from '../ui/model.js';

const mix = { ...usualMix, on: { click: true, bass: true, low: true, chop: true, lead: true } };
const demos = readdirSync(new URL('../../charts/', import.meta.url))
  .filter((name) => name.endsWith('.yaml') && name !== 'osier-lock-gathering.yaml')
  .map((name) => name.replace('.yaml', ''));

function fileOf(chart: ReturnType<typeof demoChart>, passes: number, countIn = 1): Uint8Array {
  const arrangement = arrange(chart, { key: chart.key, share: 1, instrument: mandolin });
  const take = {
    score: arrangement.score,
    ...(arrangement.final ? { finalScore: arrangement.final.score } : {}),
    passes,
    share: 1,
    countIn,
    lead: { melody: 'all' as const, mine: ['me'] },
  };
  return midiFile({ chart, arrangement, take, mix });
}

describe('a MIDI file', () => {
  it.each(demos)('of %s is, byte for byte, what another library writes of what it reads in it', (name) => {
    const bytes = fileOf(demoChart(name), 2);
    expect(Buffer.from(writeMidi(parseMidi(bytes), { running: false })).equals(Buffer.from(bytes))).toBe(
      true,
    );
  });

  it('begins with a push that would come before it where nothing counts in', () => {
    const text = "title: t\nkey: A\nsections:\n  A: |\n    '1! 4 5 1\n";
    const read = readChart(new TextEncoder().encode(text));
    if (!read.ok) throw new Error(read.faults[0]?.message);
    const tracks = parseMidi(fileOf(read.value, 1, 0)).tracks;
    const notes = tracks.flatMap((track) => track.filter(({ type }) => type === 'noteOn'));
    expect(notes.length).toBeGreaterThan(0);
    expect(tracks.flat().every(({ deltaTime }) => deltaTime >= 0)).toBe(true);
  });

  it('counts the notes of a pass before they are written', () => {
    const chart = demoChart('weir-hands');
    const arrangement = arrange(chart, { key: chart.key, share: 1, instrument: mandolin });
    const written = parseMidi(fileOf(chart, 3, 0)).tracks.flat();
    expect(written.filter(({ type }) => type === 'noteOn').length).toBe(3 * notesInPass(arrangement));
  });
});

describe('a track', () => {
  it('waits longer than the standard can say in one', () => {
    const track = new TrackBytes();
    const late = 3 * 0x0fffffff + 5;
    track.send(late, 0x90, 60, 100);
    track.send(late, 0x80, 60, 0);
    const [events = []] = parseMidi(midiFileOf([track.end(late)], 960)).tracks;
    expect(events.reduce((sum, { deltaTime }) => sum + deltaTime, 0)).toBe(late);
    expect(events.filter(({ type }) => type !== 'text').map(({ type }) => type)).toEqual([
      'noteOn',
      'noteOff',
      'endOfTrack',
    ]);
  });

  it('has texts of any length', () => {
    const track = new TrackBytes();
    const text = 'é'.repeat(20_000);
    track.tell(7, meta.text, new TextEncoder().encode(text));
    const [[first] = []] = parseMidi(midiFileOf([track.end(10)], 960)).tracks;
    const read = first?.type === 'text' ? Buffer.from(first.text, 'latin1').toString('utf8') : '';
    expect(read).toBe(text);
  });
});
