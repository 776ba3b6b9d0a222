import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { mandolin } from '../../src/hand/instrument.js';
import { keyNow } from '../../src/playback/pass-view.js';
import type { Performance } from '../../src/playback/performance.js';
import { asPlayed } from '../../src/setlist/as-played.js';
import { readDocument } from '../../src/setlist/document.js';
import { phraseDrill } from '../../src/shed/drills/phrase.js';
import { ringDrill } from '../../src/shed/drills/whole.js';
import { chordName } from '../../src/theory/chord.js';
import { type Key, keyName } from '../../src/theory/key.js';
import { arrange } from '../../src/time/arrange.js';

const text =
  'title: Lock Song\nkey: G\nform: V, B (banjo, key D), V\nsections:\n  V: |\n    1 4\n  B: |\n    1 5 @key=Em 1- b7\n';
const a: Key = { tonic: 'A', mode: 'major' };

function read(source: string): Chart {
  const reading = readChart(new TextEncoder().encode(source));
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return reading.value;
}

function sounding(chart: Chart): string {
  return unroll(chart)
    .bars.map(
      (bar) => `${keyName(bar.key)}:${bar.cells.map(({ chord }) => (chord ? chordName(chord) : 'nc'))}`,
    )
    .join(' ');
}

describe('an arrangement of a song that goes to other keys', () => {
  const made = (key: Key) => arrange(read(text), { key, instrument: mandolin, share: 1 });
  const at = (bar: number, key: Key, set: Key): string =>
    keyName(
      keyNow({
        arrangement: made(key),
        cursor: { bar, pass: 1 },
        setup: { key: set, passes: null },
      } as Performance),
    );

  it('has a family for each of them, and none where it stays in its own', () => {
    expect([...(made(a).families?.keys() ?? [])]).toEqual(['E', 'F#m']);
    expect(made(a).families?.get('E')?.name).toBe('three-finger');
    const still = read(text.replace(' (banjo, key D)', '').replace('@key=Em ', ''));
    expect(arrange(still, { key: a, instrument: mandolin, share: 1 }).families).toBeUndefined();
  });

  it('says which key sounds at the cursor', () => {
    expect([0, 2, 4, 6].map((bar) => at(bar, a, a))).toEqual(['A', 'E', 'F#m', 'A']);
    expect(at(2, a, { tonic: 'C', mode: 'major' })).toBe('C');
  });

  it('plans each bar’s hand in its own key', () => {
    expect([...new Set(made(a).plan.changes.map(({ key }) => keyName(key)))]).toEqual(['A', 'E', 'F#m']);
  });
});

describe('a set’s form', () => {
  it('names the keys that sound in the key of the set', () => {
    const set = readDocument(
      new TextEncoder().encode(
        'title: S\ncharts:\n  - file: lock-song.yaml\n    key: A\n    form: V, V (banjo, key E), V\n',
      ),
    );
    if (!set.ok || set.value.kind !== 'set') throw new Error(JSON.stringify(set.faults));
    const [entry] = set.value.set.entries;
    if (!entry) throw new Error('no song');
    const chart = asPlayed(read(text), entry);
    expect(sounding({ ...chart, key: a })).toBe('A:A A:D E:E E:A A:A A:D');
    expect(sounding({ ...chart, key: { tonic: 'C', mode: 'major' } })).toBe('C:C C:F G:G G:C C:C C:F');
  });
});

describe('drills of a song that goes to other keys', () => {
  it('count the numbers of its bars in their own keys, written and read', () => {
    const chart = read(text);
    const { bars } = unroll(chart);
    const phrase = phraseDrill(chart, bars, 2, 6).chart;
    expect(writeChart(phrase)).toContain('    @key=D 1 5 @key=Em 1- b7\n');
    expect(sounding(read(writeChart(phrase)))).toBe('D:D D:A Em:Em Em:D');
    expect(sounding(read(writeChart({ ...phrase, key: a })))).toBe('E:E E:B F#m:F#m F#m:E');
    expect(sounding(read(writeChart(ringDrill(chart).chart)))).toBe(sounding(chart));
  });
});
