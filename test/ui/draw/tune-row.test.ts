import { describe, expect, it } from 'vitest';
import { notesBeforeAgain, tuneByBars } from '../../../src/chart/tune/tune-by-bars.js';
import { type ChartView, chartLines } from '../../../src/ui/draw/chart.js';
import { plainText } from '../../../src/ui/draw/line.js';
import { layoutKinds } from '../../../src/ui/state/sight.js';
import type { TunePlace } from '../../../src/ui/state/tune-sight.js';
import { chartViewOf } from './chart-views.js';

const song = `title: Mill Road
key: C
tempo: 120
form: A, R, B
sections:
  A: |
    1 4 "all in" 5 1
    6- 4 5 1
  R: 1 4 1 5
  B: |
    |: 4 1 [1st 5 ] [2nd 1 ] :|
tune:
  A: |
    G,A, | C2 E2 G4 | AGFE D4 | B,2 D2 G4- | G2 E2 C4 |
    A4 c4 | A2 F2 C4 | D2 G2 F2 D2 | C4 z4 |
  B: |
    F4 A4 | G4 z4 | D4 B,4 | C8 |
`;

function view(now: TunePlace | null, changes: Partial<ChartView> = {}, text = song): ChartView {
  const made = chartViewOf(text, changes);
  const { bars, pickups } = tuneByBars(made.chart, made.bars);
  return { ...made, tune: { notesOf: (bar) => bars[bar] ?? null, from: 0, ahead: pickups[0] ?? [], now } };
}

function picture(one: ChartView, width: number, height: number): string[] {
  return chartLines(one, width, height).map((line) => plainText(line).trimEnd());
}

/** The text that is marked, with the column it begins at. */
function marked(one: ChartView, width = 57, height = 16): readonly string[] {
  return chartLines(one, width, height).flatMap((line) => {
    let column = 0;
    return line.flatMap(({ text, style }) => {
      const at = column;
      column += text.length;
      return style === 'tune-on' ? [`${at} ${text}`] : [];
    });
  });
}

describe('the tune over the line that is played', () => {
  it('stands right over its numbers, below cues; the line before gives its line', () => {
    expect(picture(view(null, { bar: 4 }), 57, 16).slice(0, 8)).toStrictEqual([
      'A        1           4           5           1',
      '         C           F           G           C',
      '         ─ ── ── ──  ─ ── ── ──  ─ ── ── ──  ─ ── ── ──',
      '',
      "tune     6 -  1' -   6 4  1  -   2 5  4  2   1 -  0  0",
      '         6-          4           5           1',
      '         Am          F           G           C',
      '         ─ ── ── ──  ─ ── ── ──  ─ ── ── ──  ─ ── ── ──',
    ]);
  });

  it('has the pick-up of the pass in front of its first bar', () => {
    expect(picture(view(null), 57, 6)).toStrictEqual([
      '    5,6, 1 3  5  -   65 43 2 -   7, 2 5  -   - 3  1  -',
      'A        1           4           5           1',
      '         C           F           G           C',
      '         ─ ── ── ──  ─ ── ── ──  “all in”    ─ ── ── ──',
      '         6-          4           5           1',
      '         Am          F           G           C',
    ]);
  });

  it('says by an ellipsis that there are more notes than fit', () => {
    const quick = song.replace('A4 c4 |', 'Acde fedc |');
    expect(picture(view(null, { bar: 4 }, quick), 41, 16)[4]?.slice(0, 16)).toBe("tune …   62'4'2'");
    expect(picture(view(null, { bar: 0 }, quick.replace('C2 E2 G4', 'C,D,E,F, G,4')), 41, 16)[4]).toMatch(
      /^… {3}5,6, 1, 5, {3}6 {2}2/,
    );
  });

  it('leaves its line empty over a section without a tune, so that nothing jumps', () => {
    const lines = picture(view(null, { bar: 8 }), 57, 16);
    expect(lines[4]).toBe('');
    expect(lines[5]).toMatch(/^R {8}1 /);
  });

  it('has the pick-up of a later part where it sounds, in the bar before', () => {
    const ahead = song.replace('F4 A4 | G4', 'EF | F4 A4 | G4');
    expect(picture(view(null, { bar: 8 }, ahead), 57, 16)[4]).toBe(`tune${' '.repeat(41)}0 0  0  34`);
  });

  it('marks the degree that sounds, in the bar under the cursor and nowhere else', () => {
    expect(marked(view({ bar: 1, tick: 0 }, { bar: 1, beat: 0 }))).toStrictEqual(['21 6']);
    expect(marked(view({ bar: 1, tick: 480 }, { bar: 1, beat: 0 }))).toStrictEqual(['22 5']);
    expect(marked(view({ bar: 2, tick: 2880 }, { bar: 2, beat: 3 }))).toStrictEqual(['41 -']);
    expect(marked(view({ bar: 3, tick: 0 }, { bar: 3, beat: 0 }))).toStrictEqual(['45 -']);
    // Silence, another bar than the one that is looked at, and a pause have no mark.
    expect(marked(view({ bar: 7, tick: 1920 }, { bar: 7, beat: 2 }))).toStrictEqual([]);
    expect(marked(view({ bar: 1, tick: 480 }, { bar: 0 }))).toStrictEqual([]);
    expect(marked(view(null, { bar: 1 }))).toStrictEqual([]);
  });

  it('marks the pick-up while it is counted in', () => {
    expect(marked(view({ bar: 0, tick: -960 }))).toStrictEqual(['4 5,']);
    expect(marked(view({ bar: 0, tick: -480 }))).toStrictEqual(['6 6,']);
    expect(marked(view({ bar: 0, tick: -961 }))).toStrictEqual([]);
  });

  it('has the pick-up of a loop in front of its first bar, and at its end', () => {
    const ahead = song.replace('F4 A4 | G4', 'EF | F4 A4 | G4');
    const made = chartViewOf(ahead, { bar: 12 });
    const tunes = tuneByBars(made.chart, made.bars);
    const tune = {
      notesOf: (bar: number) =>
        bar === 13 ? notesBeforeAgain(tunes, made.bars, 13, 12) : (tunes.bars[bar] ?? null),
      from: 12,
      ahead: tunes.pickups[12] ?? [],
    };
    const at = (now: TunePlace): ChartView => ({ ...made, tune: { ...tune, now } });
    expect(picture(at({ bar: 12, tick: -480 }), 57, 16)[4]).toBe(
      '      34 4 -  6  -   5 -  0  34  2 -  7, -   4 -  6  -',
    );
    expect(marked(at({ bar: 12, tick: -480 }))).toStrictEqual(['7 4']);
  });

  it('is that of the time through that is next, as the chart is written', () => {
    const written = picture(view(null, { bar: 12, layout: 'written' }), 57, 16);
    expect(written.slice(4, 6)).toStrictEqual([
      'tune       4 - 6 -   5 -  0  0   2 -  7, -   1 - - -',
      'B        |:4         1           5           1        :|',
    ]);
  });

  const words = song.replace('    1 4 "all in"', '    > The river took the road\n    1 4 "all in" "softly"');
  const many = layoutKinds.flatMap((layout) =>
    [9, 12, 14, 16, 22, 40].flatMap((height) =>
      [0, 4, 8, 12].flatMap((bar) => [song, words].map((text) => ({ layout, height, bar, text }))),
    ),
  );
  it.each(many)('leaves the numbers where they are: $layout on $height lines at bar $bar', (one) => {
    const { layout, height, bar, text } = one;
    const shown = picture(view(null, { layout, bar }, text), 57, height);
    const bare = chartLines({ ...view(null, { layout, bar }, text), tune: null }, 57, height);
    const hidden = bare.map((line) => plainText(line).trimEnd());
    const at = currentLine(bare);
    expect(shown.length).toBeLessThanOrEqual(height);
    // Where the chart has no line before the one that is played, the tune takes one above it.
    expect([at, at + 1]).toContain(shown.indexOf(hidden[at] ?? ''));
    if (height >= 9 && text === song) expect(shown[at]).toBe(hidden[at]);
  });
});

/** The line with the numbers of the row that is played: the one that has something marked as being here. */
function currentLine(drawn: ReturnType<typeof chartLines>): number {
  return drawn.findIndex((line) => line.some(({ style }) => style === 'here'));
}
