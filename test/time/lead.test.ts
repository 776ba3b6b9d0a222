import { describe, expect, it } from 'vitest';
import { tuneShift } from '../../src/chart/fit.js';
import { readChart } from '../../src/chart/read.js';
import { degreesText, tuneTexts } from '../../src/chart/tune/degrees-text.js';
import { partsPerQuarter } from '../../src/chart/tune/tune.js';
import { contradicts, sungRange } from '../../src/chart/tune/tune-range.js';
import { unroll } from '../../src/chart/unroll.js';
import { midiNote } from '../../src/theory/pitch.js';
import { joined, type LeadBar, leadBars } from '../../src/time/lead.js';
import { swungParts } from '../../src/time/note-tick.js';

function chartOf(tune: string, head = 'key: C\ntempo: 120', bars = '1 4') {
  const text = `title: T\n${head}\nsections:\n  A: |\n    ${bars}\ntune:\n  A: |\n    ${tune}\n`;
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  return { chart: read.value, faults: read.faults };
}

/** A pass as it sounds in front of nothing: its pick-up, and all that is tied as one. */
function linked(bars: readonly LeadBar[]) {
  return joined([...(bars[0]?.pickup ?? []), ...bars.flatMap(({ notes }) => notes)]);
}

function told(tune: string, head?: string, bars?: string): string {
  const { chart } = chartOf(tune, head, bars);
  const played = unroll(chart).bars;
  const starts = played.map((_, index) => index * 3840);
  return linked(leadBars(chart, played, { key: chart.key, starts }))
    .map(({ at, length, note }) => `${at}+${length}:${note}`)
    .join(' ');
}

describe('the tune on the timeline', () => {
  it('has ties as one note, and the pick-up in front of the pass', () => {
    expect(told('G | c6- cc- | c4 G3 |')).toBe('-480+480:67 0+3360:72 3360+2400:72 5760+1440:67');
  });

  it('swings as the bars do: the off-beat eighth and what lies within, but no triplet', () => {
    expect(told('CD EF (3GAB c2 | Z |', 'key: C\ntempo: 120\nfeel: swing=60')).toBe(
      '0+576:60 576+384:62 960+576:64 1536+384:65 1920+320:67 2240+320:69 2560+320:71 2880+960:72',
    );
    const bar = { meter: { beats: 4, unit: 4 }, feel: { swing: 60 } } as const;
    expect(swungParts(partsPerQuarter / 4, bar)).toBe(partsPerQuarter * 0.3);
    expect(swungParts(partsPerQuarter * 1.75, bar)).toBe(partsPerQuarter * 1.8);
    expect(swungParts(partsPerQuarter / 2, { ...bar, meter: { beats: 2, unit: 2 } })).toBe(
      partsPerQuarter / 2,
    );
  });

  it('lasts through a chord that is held', () => {
    const { chart } = chartOf('c8 | G8 |', 'key: C\ntempo: 120', '1_6 4');
    const played = unroll(chart).bars;
    const notes = linked(leadBars(chart, played, { key: chart.key, starts: [0, 5760] }));
    expect(notes.map(({ at, length }) => `${at}+${length}`)).toEqual(['0+5760', '5760+3840']);
  });
});

describe('what a tune knows', () => {
  it('is its range, counted in the song’s key', () => {
    const { chart } = chartOf('G,4 c4 | e4 d4 |');
    expect(sungRange(chart)).toEqual({
      low: { degree: 5, alter: 0, octave: -1 },
      high: { degree: 3, alter: 0, octave: 1 },
    });
  });

  it.each([
    ["5, to 3'", 0],
    ['5,, to 3', 0],
    ["5, to 4'", 1],
    ["4, to 3'", 1],
  ])('a range %s beside it is told %d times', (range, times) => {
    const { faults } = chartOf('G,4 c4 | e4 d4 |', `key: C\ntempo: 120\nrange: ${range}`);
    expect(faults.map(({ line, severity, message }) => `${line} ${severity} ${message}`)).toEqual(
      times === 0
        ? []
        : [
            "4 warning the tune goes from 5, to 3', but this range is different; leave it out, or write “5, to 3'”",
          ],
    );
  });

  it('may lie an octave off and is the same', () => {
    const note = (degree: number, octave: number) => ({ degree, alter: 0, octave }) as const;
    expect(contradicts({ low: note(1, 0), high: note(5, 0) }, { low: note(1, 1), high: note(5, 1) })).toBe(
      false,
    );
    expect(contradicts({ low: note(1, 0), high: note(5, 1) }, { low: note(1, 0), high: note(5, 0) })).toBe(
      true,
    );
  });

  it('puts it into the octave of a voice, else leaves it where it is written', () => {
    const { chart } = chartOf('c4 e4 | g8 |');
    const voice = (low: number, high: number) => ({ low: midiNote(low), high: midiNote(high) });
    expect(tuneShift(chart, chart.key, null)).toBe(0);
    expect(tuneShift(chart, chart.key, voice(70, 80))).toBe(0);
    expect(tuneShift(chart, chart.key, voice(55, 70))).toBe(-12);
    expect(tuneShift(chart, chart.key, voice(40, 60))).toBe(-24);
  });

  it('is told in degrees, a beat at a time', () => {
    const { chart } = chartOf("G | c2 Bc d4- | d2 z2 _B2 e'2 |");
    expect([...tuneTexts(chart).values()]).toEqual(["5 | 1' 71' 2' -", "- 0 b7 3''"]);
    expect(degreesText([], partsPerQuarter)).toBe('');
  });
});
