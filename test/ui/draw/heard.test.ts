import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../src/listen/marks.js';
import { chartLines } from '../../../src/ui/draw/chart.js';
import { hearsPieces, hearsWord } from '../../../src/ui/draw/hears.js';
import { type Line, lineWidth, plainText } from '../../../src/ui/draw/line.js';
import { paint } from '../../../src/ui/draw/paint.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import { deaf, type EarView } from '../../../src/ui/state/ear.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import type { StrokeMark } from '../../../src/ui/state/modes.js';
import { having, running, standing } from '../model.js';
import { chartViewOf } from './chart-views.js';

const text = `title: Marks
key: G
tempo: 120
form: A
sections:
  A: |
    1 4 5 1
    4 4 1 1
    5 5 1 1
    1 4 5 1
`;

const stroke = (bar: number, beat: number, place: Mark['place'] = 'on', isHollow = false): StrokeMark => ({
  pass: 1,
  bar,
  beat,
  at: 0,
  mark: { place, isHollow },
});

function drawn(
  strokes: readonly StrokeMark[] | null,
  { bar = 0, height = 6, width = 45, unicode = true } = {},
) {
  const marksIn = strokes && ((index: number) => strokes.filter((one) => one.bar === index));
  return chartLines(chartViewOf(text, { marksIn, bar, unicode }), width, height).map((line) =>
    plainText(line).trimEnd(),
  );
}

describe('marks under the rail', () => {
  const strokes = [
    stroke(0, 0),
    stroke(0, 1, 'early'),
    stroke(0, 2, 'late'),
    stroke(1, 0, 'on', true),
    stroke(1, 1, 'early', true),
    stroke(1, 3, 'late', true),
  ];

  it('stand below the beats of the line that sounds, with nothing for what was not heard', () => {
    const [numbers, , rail, marks, next] = drawn(strokes);
    expect(rail).toBe('         ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─');
    expect(marks).toBe('         ∙ ◂ ▸    ○ ◁   ▷');
    expect(numbers).toContain('1        4        5        1');
    expect(next).toContain('4        4        1        1');
  });

  it('are told apart without colour and in plain characters', () => {
    expect(drawn(strokes, { unicode: false })[3]).toBe('         . < >    o (   )');
    const signs = ['∙', '◂', '▸', '○', '◁', '▷'];
    expect(new Set(signs).size).toBe(6);
  });

  it('cost a line only while it is listened', () => {
    const silent = drawn(null, { height: 18, bar: 5 });
    const heard = drawn([], { height: 18, bar: 5 });
    // The row before has one too, where there are lines to spare.
    expect(heard.filter((line) => line !== '')).toEqual(silent.filter((line) => line !== ''));
    expect(heard.indexOf(silent.find((line) => line.includes('─')) ?? '')).toBe(
      silent.findIndex((line) => line.includes('─')),
    );
  });

  it('of the row before stay in sight where there is room', () => {
    const lines = drawn(strokes, { height: 18, bar: 4 });
    expect(lines).toContain('         ∙ ◂ ▸    ○ ◁   ▷');
  });

  it('keep the coming row in sight on the fewest lines', () => {
    const lines = drawn(strokes, { height: 6, bar: 0 });
    expect(lines).toHaveLength(6);
    expect(lines[4]).toContain('4        4');
    expect(lines[5]).toContain('C        C');
  });

  it('show what says more, where strokes are closer than columns', () => {
    const close = [stroke(0, 0, 'on', true), stroke(0, 0.2), stroke(0, 0.25, 'late')];
    expect(drawn(close)[3]?.trim()).toBe('○');
  });

  it('of an early stroke stand at the bar it belongs to', () => {
    expect(drawn([stroke(1, -0.5, 'on')])[3]).toBe('                  ∙');
  });
});

describe('the sign that it listens', () => {
  const ear = (changes: Partial<EarView>): EarView => ({
    ...deaf,
    on: true,
    opened: { name: 'here', rate: 48_000 },
    ...changes,
  });
  const shown = (changes: Partial<EarView>, unicode = true): string =>
    hearsPieces(ear(changes), unicode)
      .map(({ text: one }) => one)
      .join('');

  it('has a meter, a word where nothing is judged, and always the same width', () => {
    const all = [
      shown({}),
      shown({ level: 3 }),
      shown({ level: 5 }, false),
      shown({ opened: null }),
      shown({ opened: null, trouble: 'it has gone' }),
      shown({ condition: 'clipping', trouble: 'x' }),
      shown({ condition: 'noisy', trouble: 'x' }),
      shown({ condition: 'silent', trouble: 'x' }),
      shown({ trouble: 'no sound comes' }),
      shown({ company: true }),
    ];
    expect(all).toEqual([
      'hears ·····',
      'hears )))··',
      'hears )))))',
      'hears opens',
      'hears lost ',
      'hears clips',
      'hears noise',
      'hears mute ',
      'hears lost ',
      'hears many ',
    ]);
  });

  it('is not there where nobody listens', () => {
    expect(hearsPieces(deaf, true)).toEqual([]);
    expect(hearsWord(deaf)).toBe('');
  });
});

const opened: Message = {
  kind: 'ear',
  message: { kind: 'opened', name: 'here', rate: 48_000, by: 'test' },
  at: 0,
  calibrated: true,
};
const listen: Message = { kind: 'action', action: 'listen', at: 0 };
const says = [
  'Late into 4: 60 ms, 3 of 4 times (bars 5, 13, 21)',
  'Chops 8 ms ahead of the beat, steady (spread 11 ms)',
];

function heard(model: Model): Model {
  const { mode } = model;
  if (mode.kind !== 'chart') throw new Error('no chart');
  const verdict = { result: 'not clean' } as never;
  return {
    ...model,
    notice: '',
    mode: { ...mode, stand: { ...mode.stand, heard: { verdict, says, at: 0 } } },
  };
}

describe.each([
  [60, 18],
  [80, 24],
  [100, 30],
  [140, 45],
])('the stand at %dx%d', (columns, rows) => {
  const model = having(standing('half-a-mile-of-fog', columns, rows), listen, opened).model;
  const screen = (one: Model): string[] => standLines(one).map(plainText);

  it('shows that it listens, and fits', () => {
    const lines = standLines(model);
    expect(plainText(lines[0] as Line)).toContain('hears ·····');
    expect(plainText(lines[0] as Line)).toContain('Half a M');
    expect(lines).toHaveLength(rows - 1);
    for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(columns);
  });

  it('tells what was heard while the music rests, and leaves the bar at hand in sight', () => {
    const lines = screen(heard(model));
    expect(lines.join('\n')).toContain('not clean  Late into 4: 60 ms');
    expect(lines.join('\n')).toContain('Chops 8 ms ahead');
    const rail = lines.findIndex((line) => line.includes('─ ─') && !line.includes('┼'));
    expect(lines.slice(0, rail + 1)).toEqual(screen(model).slice(0, rail + 1));
    expect(lines).toHaveLength(rows - 1);
  });

  it('has one line of it, the worst, when the music goes on, and none over a caution', () => {
    const plays = heard(running(model).model);
    const line = screen(plays).at(-2);
    expect(line).toContain('Late into 4: 60 ms');
    expect(screen(plays).join('\n')).not.toContain('Chops 8 ms');
    expect(screen({ ...plays, notice: 'the output is gone' }).at(-2)).toContain('the output is gone');
    expect(screen({ ...plays, at: 8001 }).at(-2)).not.toContain('Late into');
  });

  it('has neither marks nor what was heard in the far view, only a word', () => {
    const { mode } = heard(running(model).model);
    if (mode.kind !== 'chart') throw new Error('no chart');
    const stand = {
      ...mode.stand,
      strokes: [stroke(0, 0, 'late', true)],
      sight: { ...mode.stand.sight, far: true },
    };
    const far = { ...running(model).model, notice: '', mode: { ...mode, stand } };
    const lines = screen(far);
    expect(lines[0]).toContain('hears');
    expect(lines.join('\n')).not.toMatch(/[▷▸)]|Late into/);
  });

  it('says what is wrong to its end', () => {
    const sentence = 'the microphone is overloaded; turn its level down, or move it away from the instrument';
    const bad = having(model, {
      kind: 'ear',
      message: { kind: 'condition', condition: 'clipping', sentence },
      at: 0,
    }).model;
    expect(screen(bad).slice(-4).join(' ').replace(/\s+/g, ' ')).toContain(sentence);
  });
});

describe('the drawn beat', () => {
  it.each([0, 1, 2, 3])('is painted alike on beat %d whether it is listened or not', (beat) => {
    const look = { colour: true, unicode: true };
    const rails = (marksIn: (() => readonly StrokeMark[]) | null): string[] =>
      chartLines(chartViewOf(text, { marksIn, bar: 5, beat }), 45, 18)
        .filter((line) => plainText(line).includes('━'))
        .map((line) => paint(line, look));
    const silent = rails(null);
    expect(silent).toHaveLength(1);
    expect(rails(() => [stroke(5, 0, 'late', true)])).toEqual(silent);
  });
});
