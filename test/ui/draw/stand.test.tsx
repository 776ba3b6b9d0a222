import { render } from 'ink-testing-library';
import { describe, expect, it } from 'vitest';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import { StandScreen } from '../../../src/ui/screens/StandScreen.js';
import type { Model } from '../../../src/ui/state/model.js';
import { having, running, standing } from '../model.js';

function picture(model: Parameters<typeof standLines>[0]): string[] {
  return standLines(model).map((line) => plainText(line).trimEnd());
}

describe('standLines', () => {
  it('draws chart, hand and prompt at 80x24', () => {
    expect(picture(standing('weir-hands'))).toEqual([
      ' Weir Hands                                   B    252 ♩  4/4  ready     silent',
      ' kickoff──╴V─────╴break─────╴V────╴break─────╴V────╴break─────╴V─────   1 of 60',
      '',
      '          An eight-bar form that goes round    now   1    B     11-9-6-7',
      '          and round. Fast.                     E ┼───┼─M─┼───┼───┼───┼───┼───┼',
      '                                               A ┼─I─┼───┼───┼───┼───┼───┼───┼',
      '                                               D ┼───┼───┼───┼─R─┼───┼───┼───┼',
      '                                               G ┼───┼───┼───┼───┼───┼─L─┼───┼',
      ' kickoff  1        1        5▴       1▴            6   7   8   9  10  11  12',
      ' banjo    B        B        F♯       B         next  5    F♯    11-8-9-x',
      '          ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─   E ┼╌╌╌┼╌∙╌┼╌╌╌┼╌╌╌┼╌╌╌┼╌╌╌┼╌╌╌┼',
      '                                               A ┼───┼───┼───┼─R─┼───┼───┼───┼',
      ' V        1        1        4        4         D ┼───┼───┼─M─┼─∙─┼───┼───┼───┼',
      '          B        B        E        E         G ┼───┼───┼───┼───┼───┼═L═┼───┼',
      '          ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─       6   7   8   9  10  11  12',
      '                                               in 8  ▮▮▮▮▮▮▮▮▴',
      '          1        1        5▴       1▴        little stays; middle to the D',
      '          B        B        F♯       B         course, one fret toward the',
      '          ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─   bridge; ring to the A course;',
      '                                               index lifts; a hard change',
      '                                               then 1 B  11-9-6-7 in 12',
      '',
      ' Space play   ↑ ↓ section   - + tempo   k key   f far   ? keys   q leave',
    ]);
  });

  it.each([
    [60, 18],
    [77, 20],
    [78, 20],
    [80, 24],
    [100, 30],
    [140, 45],
    [240, 70],
  ])('fills %dx%d but the last line, and no line is too wide', (columns, rows) => {
    for (const chart of ['nine-barges-late', 'copperwort-lane', 'tollhouse-kettle', 'lockkeepers-candle']) {
      const model = standing(chart, columns, rows);
      for (const shown of [model, having(running(model).model, { kind: 'clock', at: 9000 }).model]) {
        const lines = standLines(shown);
        expect(lines).toHaveLength(rows - 1);
        for (const line of lines) expect(lineWidth(line)).toBe(columns);
      }
    }
  });

  it('has the line that comes in sight, and nothing of the hand cut off, at the least size', () => {
    const text = picture(standing('nine-barges-late', 60, 18)).join('\n');
    expect(text).toMatch(/kickoff +2-▴ +5/);
    expect(text).toMatch(/\n V +1 +1 +1 +1/);
    // Every fretted course of both shapes has its finger drawn.
    const lines = text.split('\n').slice(8, 14);
    const written =
      lines[0]?.match(/(?:\d+|x)(?:-(?:\d+|x)){3}/g)?.flatMap((frets) => frets.split('-')) ?? [];
    expect(written).toHaveLength(8);
    expect(
      lines
        .slice(1)
        .join('\n')
        .match(/[IMRL](?=[─═┼])/g),
    ).toHaveLength(written.filter((at) => at !== 'x').length);
  });

  it('has only ASCII without Unicode', () => {
    const model = standing('nine-barges-late', 80, 24, false);
    expect(picture(having(running(model).model, { kind: 'clock', at: 9000 }).model).join('\n')).toMatch(
      /^[\n -~]*$/,
    );
  });

  it('counts the beats to the change and marks the beat that sounds', () => {
    const playing = running(standing('weir-hands')).model;
    const shown = picture(having(playing, { kind: 'clock', at: 4000 + 5 * 1000 + 10 }).model);
    const countdown = shown.findIndex((line) => line.includes('in 3'));
    expect(shown[countdown]).toContain('in 3  ▮▮▮·····');
    expect(shown[countdown + 1]).toContain('stay L · M to D, R to A');
    expect(shown[10]).toContain('━ ━ ─ ─');
  });
});

describe('StandScreen', () => {
  it('shows the lines in a terminal', () => {
    const model = standing('weir-hands', 100, 24);
    const { lastFrame } = render(<StandScreen model={model} />);
    expect(lastFrame()).toContain('Weir Hands');
    expect(lastFrame()).toContain('11-9-6-7');
  });
});

describe('the word beside the key back', () => {
  const list = { title: 'Charts', items: [], index: 0, from: null, query: '' };
  const foot = (model: Model): string => plainText(standLines(model).at(-1) ?? []);
  const alone = standing('ropewalk-penny', 100, 30);
  const listed: Model = { ...alone, library: list };

  it('says where it leads: to the list, and from a drill to its song', () => {
    expect(foot(listed)).toContain('Esc list');
    const drills = having(listed, { kind: 'action', action: 'choose-drill', at: 0 }).model;
    if (drills.overlay?.kind !== 'drills') throw new Error('no drills');
    const [drill] = drills.overlay.drills;
    if (!drill) throw new Error('no drill');
    const drilled = having(drills, { kind: 'drill-chosen', drill }).model;
    expect(foot(drilled)).toContain('Esc song');
    const back = having(drilled, { kind: 'action', action: 'back', at: 1 }).model;
    expect(back.mode.kind).toBe('chart');
  });

  it('is not there where nothing is behind the song, for then that key leaves', () => {
    expect(foot(alone)).not.toContain('Esc');
    expect(having(alone, { kind: 'action', action: 'back', at: 0 }).effects).toContainEqual({
      kind: 'leave',
    });
  });
});
