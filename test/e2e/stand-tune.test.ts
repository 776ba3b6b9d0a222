import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { demo, until } from './harness.js';
import type { Screen } from './screen.js';
import { setStage } from './stage.js';

const stage = setStage();

const song = `title: Paper Lantern Turn
key: G
tempo: 60
cues: tune
form: kickoff (banjo), A
sections:
  kickoff: |
    1 5
  A: |
    1 1 4 5
    1 4 5 1
tune:
  A: |
    DE | G2 B2 d2 B2 | G4 e2 g2 | c2 e2 B2 G2 | A2 d4 DE |
    G2 B2 d2 B2 | c4 z4 | A2 F2 D2 F2 | G6 |
`;

function file(name: string, text: string): string {
  const path = join(stage.folder, name);
  writeFileSync(path, text);
  return path;
}

/** The line of the tune on the screen, and the one below it, by their numbers. */
function tuneLine(shown: Screen): { readonly at: number; readonly text: string } {
  const lines = shown.lines();
  const at = lines.findIndex((line) => /^ (?:tune|…| +5,6, 1)/.test(line));
  return { at, text: lines[at] ?? '' };
}

/** The line of numbers that is played: the one with the name of its part, and a number at the place of its first bar. */
function numbers(shown: Screen, part: string): number {
  return shown.lines().findIndex((line) => new RegExp(`^ ${part} +1 `).test(line));
}

describe.each([
  [60, 18],
  [80, 24],
  [100, 30],
  [140, 45],
] as const)('the tune on the stand at %dx%d', (columns, rows) => {
  it('comes and goes with M above the line that is played, moves with the music, and is there while paused', async () => {
    const shown = stage.open(
      columns,
      rows,
      `play ${file('lantern.yaml', song)} --count-in 0 --tempo 200 --key A`,
    );
    await shown.shows('ready');
    await shown.press('Down');
    await shown.shows(/3 of 10/);
    const before = numbers(shown, 'A');
    expect(tuneLine(shown).at).toBe(-1);
    await shown.press('M');
    await shown.shows('the tune, by degree');
    const { at, text } = tuneLine(shown);
    // In any key the degrees are the same.
    expect(text).toMatch(/^ tune[ …]+1 +3 +5 +3 +1 +- +6 +1' +4 +6 +3 +1 /);
    expect(numbers(shown, 'A')).toBe(at + 1);
    expect([before, before + 1]).toContain(at + 1);
    stage.capture(`tune-${columns}x${rows}`, shown.text());
    await shown.press('Space');
    const marks = new Set<string>();
    expect(
      await until(() => {
        for (const mark of shown.inverted()) marks.add(mark);
        return ["1'", '6', '3'].every((degree) => marks.has(degree));
      }, 15_000),
    ).toBe(true);
    await shown.press('Space');
    await shown.shows('paused');
    expect(tuneLine(shown).text).toMatch(/^ tune/);
    await shown.press('M');
    await shown.shows('the tune is hidden');
    expect(tuneLine(shown).at).toBe(-1);
  });
});

describe('the tune on the stand', () => {
  it('is marked without colour and without Unicode', async () => {
    const lantern = file('lantern.yaml', song);
    const shown = stage.open(80, 24, `play ${lantern} --no-unicode --count-in 0 --from 3`, { NO_COLOR: '1' });
    await shown.shows('ready');
    await shown.press('M', 'Space');
    // Beside the number of the chord and the part of the form, the degree that sounds is inverted.
    expect(await until(() => shown.inverted().join() === 'A,5,1', 10_000), shown.inverted().join()).toBe(
      true,
    );
    // All that is shown is ASCII.
    expect(shown.text()).toMatch(/^[\x00-\x7f]*$/);
  });

  it('is there again when the chart is opened again, and shows the cues that it gives', async () => {
    const lantern = file('lantern.yaml', song);
    const state = { XDG_STATE_HOME: join(stage.folder, 'kept') };
    const first = stage.open(80, 24, `play ${lantern}`, state);
    await first.shows('ready');
    expect(first.text()).toContain('“tune in: 4”');
    await first.press('M');
    await first.shows('the tune, by degree');
    await first.press('q');
    await first.shows('ended 0');
    stage.clear();
    const again = stage.open(80, 24, `play ${lantern} --from 3`, state);
    await again.shows('ready');
    expect(tuneLine(again).text).toMatch(/^ tune/);
  });

  it('gives its cues in plain text too, as the written ones are told', async () => {
    const text = song.replace('    1 4 5 1\n', '    1 "softly" 4 5 1\n');
    const shown = stage.open(100, 30, `play ${file('plain.yaml', text)} --plain --tempo 400 --count-in 0`);
    await shown.shows(/bar 2 kickoff: 5, D, frets 7 4 5 x[^"]*"tune in: 4"/);
    await shown.shows(/bar 8 A: 4, C[^"]*"softly"/);
    await shown.shows('the end', 20_000);
    await shown.press('q', 'u', 'i', 't', 'Enter');
    await shown.shows('ended 0');
  });

  it('is said to be missing where a chart has none', async () => {
    const shown = stage.open(
      80,
      24,
      `play ${file('bare.yaml', song.slice(0, song.indexOf('tune:')).replace('cues: tune\n', ''))}`,
    );
    await shown.shows('ready');
    await shown.press('M');
    await shown.shows('this chart has no tune');
    expect(tuneLine(shown).at).toBe(-1);
  });

  it('is shown in a song of a set, and not on its card', async () => {
    const lantern = file('lantern.yaml', song);
    const set = file(
      'set.yaml',
      `title: Evening\ncharts:\n  - file: ${lantern}\n    form: A\n  - file: ${demo('weir-hands')}\n`,
    );
    const shown = stage.open(100, 30, `play ${set}`);
    await shown.shows('Paper Lantern Turn');
    expect(tuneLine(shown).at).toBe(-1);
    await shown.press('Space');
    await shown.shows('of 8');
    await shown.press('M');
    expect(await until(() => tuneLine(shown).at > 0)).toBe(true);
    await shown.press('f');
    expect(await until(() => tuneLine(shown).at < 0)).toBe(true);
  });
});
