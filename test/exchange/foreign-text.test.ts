import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { isSafe } from '../../src/base/safe-text.js';
import { readChart } from '../../src/chart/read.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import { midiFile } from '../../src/exchange/midi-file.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { mandolin } from '../../src/hand/instrument.js';
import { arrange } from '../../src/time/arrange.js';
import { usualMix } from '../../src/time/sound.js';
import { scoreOf } from './score.js';

/* What a format cannot escape it leaves out; what it can reads back the same. */

const steering = 'a\u001b]52;c;x\u0007\u009b2J\u202eb';
const signs = '50% of \\"x" [1] & &lt; \\%';

function chartOf(title: string) {
  const reading = readChart(
    new TextEncoder().encode(
      `title: ${JSON.stringify(title)}\nby: ${JSON.stringify(title)}\nkey: A\nsections:\n  V: |\n    1 "${steering}" 4\n`,
    ),
  );
  if (!reading.ok) throw new Error('the chart does not read');
  return reading.value;
}

const sheetOf = (title: string) => {
  const chart = chartOf(title);
  return sheetFromChart(chart, chart.key).sheet;
};

describe('ABC', () => {
  const back = (title: string) => {
    const text = abcText(sheetOf(title));
    expect(text.split('\n').every(isSafe)).toBe(true);
    const [tune] = abcTunes(text);
    return tune && readAbc(tune).sheet;
  };

  it('leaves control characters out of its fields and annotations', () => {
    expect(back(steering)).toMatchObject({ title: 'a]52;c;x2Jb', by: 'a]52;c;x2Jb' });
    expect(back(steering)?.bars[1]?.cues).toEqual(['a]52;c;x2Jb']);
  });

  it('escapes percent signs, backslashes and what looks like an entity (ABC 2.1, 8.2)', () => {
    expect(abcText(sheetOf(signs))).toContain('T:50\\% of \\\\"x" [1] & \\&lt; \\\\\\%\n');
    expect(back(signs)).toMatchObject({ title: signs, by: signs });
  });
});

describe('MusicXML', () => {
  it('writes as references what could steer a terminal, and leaves out what XML forbids', () => {
    const text = musicXml(sheetOf(steering));
    expect(text.split('\n').every(isSafe)).toBe(true);
    expect(text).toContain('<work-title>a]52;c;x&#x9b;2J&#x202e;b</work-title>');
    expect(scoreOf(text).sheet.title).toBe('a]52;c;x\u009b2J\u202eb');
  });
});

describe('a MIDI file', () => {
  it('has texts without control characters', () => {
    const chart = chartOf(steering);
    const arrangement = arrange(chart, { key: chart.key, share: 1, instrument: mandolin });
    const take = { score: arrangement.score, passes: 1, share: 1, countIn: 0 };
    const [first = []] = parseMidi(midiFile({ chart, arrangement, take, mix: usualMix })).tracks;
    const texts = first.flatMap((event) => ('text' in event ? [event.text] : []));
    expect(texts).toEqual(['a]52;c;x2Jb', 'V', 'A', 'a]52;c;x2Jb', 'D']);
  });
});
