import { describe, expect, it } from 'vitest';
import { plainText } from '../../../src/ui/draw/line.js';
import { tuningLines } from '../../../src/ui/draw/tuning.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { overlayOf } from '../../../src/ui/state/select.js';
import { allText, isInTune, tuningText } from '../../../src/ui/state/tuning.js';
import { having, standing } from '../model.js';

const action = (name: 'tune' | 'back' | 'listen' | 'course-tone' | 'course-on', at = 0): Message => ({
  kind: 'action',
  action: name,
  at,
});
const opened: Message = {
  kind: 'ear',
  at: 0,
  message: { kind: 'opened', name: 'a microphone', rate: 48_000, by: 'arecord' },
};
/** A course that was struck. */
const course = (
  place: number | null,
  cents: number | null,
  apartCents: number | null,
  more = {},
): Message => ({
  kind: 'ear',
  at: 20_000,
  message: {
    kind: 'course',
    ms: 20_000,
    sample: 9,
    course: place,
    note: 60,
    cents,
    apartCents,
    others: false,
    ...more,
  },
});

const listening = having(standing('weir-hands', 60, 24), action('listen'), opened).model;
const tuning = having(listening, action('tune'));
function shown(model: Model): string[] {
  const overlay = overlayOf(model, 'tuning');
  if (!overlay) throw new Error('nothing is tuned');
  return tuningLines(model, overlay).map((line) => plainText(line).trimEnd());
}

describe('tuning', () => {
  it('sounds the courses where nothing listens, as ever', () => {
    const { effects, model } = having(standing('weir-hands'), action('tune'));
    expect(effects).toContainEqual({ kind: 'tell', message: { kind: 'play', tick: 0 } });
    expect(model.overlay).toBeNull();
  });

  it('hears the courses of the instrument where something listens, and sounds nothing', () => {
    expect(tuning.effects).toEqual([
      {
        kind: 'hear-courses',
        courses: [
          { hertz: expect.closeTo(196, 0), strings: 2 },
          { hertz: expect.closeTo(293.66, 1), strings: 2 },
          { hertz: 440, strings: 2 },
          { hertz: expect.closeTo(659.26, 1), strings: 2 },
        ],
      },
    ]);
  });

  it.each([['by its key', 'tune'] as const, ['by a step back', 'back'] as const])(
    'is over %s, and the ear is told',
    (_, name) => {
      const { model, effects } = having(tuning.model, action(name));
      expect(model.overlay).toBeNull();
      expect(effects).toEqual([{ kind: 'hear-courses', courses: null }]);
    },
  );

  it('is over by whatever else takes its place', () => {
    const away = having(tuning.model, {
      kind: 'library',
      library: { title: '', items: [], index: 0, query: '' } as never,
    });
    expect(away.effects).toContainEqual({ kind: 'hear-courses', courses: null });
  });

  it('shows what was heard of each course, the last one large', () => {
    const { model } = having(tuning.model, course(0, -12.2, 0), course(2, 0.4, 6.1), course(1, 2.6, 1));
    const lines = shown(model);
    const list = lines.indexOf('   G  12 cents flat');
    expect(lines.slice(list, list + 4)).toEqual([
      '   G  12 cents flat',
      ' ▸ D  in tune',
      '   A  in tune, its strings 6 cents apart',
      '   E  not heard yet',
    ]);
    expect(lines[0]).toBe(' Tuning   strike each course; in tune is within 3 cents');
    expect(lines.some((line) => /flat ─{21}┼●─{20} sharp/.test(line))).toBe(true);
  });

  it('says what else was struck, and what rings into it', () => {
    expect(shown(having(tuning.model, course(null, null, null, { note: 77.9 })).model).join('\n')).toContain(
      'heard F#5, 2 half steps above E',
    );
    expect(shown(having(tuning.model, course(null, null, null, { note: 43.1 })).model).join('\n')).toContain(
      'heard G2, an octave below G',
    );
    expect(shown(having(tuning.model, course(1, 4, 0, { others: true })).model).join('\n')).toContain(
      'other strings ring too',
    );
  });

  it('sounds a course on request, and judges nothing of that tone', () => {
    const toned = having(tuning.model, action('course-on'), action('course-tone', 19_000));
    expect(toned.effects).toContainEqual({ kind: 'tell', message: { kind: 'play', tick: 0 } });
    const replaced = toned.effects.find((one) => one.kind === 'replace');
    expect(replaced).toMatchObject({ segments: [{ length: 2500 }] });
    // It is over for the player before it is over for the room.
    const over = having(
      toned.model,
      { kind: 'player', at: 19_010, message: { kind: 'state', state: 'running', tick: 0 } },
      { kind: 'player', at: 19_900, message: { kind: 'state', state: 'stopped', tick: 2500 } },
      course(1, -9, 0),
    );
    expect(overlayOf(over.model, 'tuning')?.courses).toEqual([null, null, null, null]);
    const later = having(over.model, course(1, -9, 0, { ms: 23_000 }));
    expect(overlayOf(later.model, 'tuning')?.courses[1]).toEqual({ cents: -9, apartCents: 0 });
  });

  it('fits every size', () => {
    for (const [columns, rows] of [
      [60, 18],
      [80, 24],
      [200, 60],
    ] as const) {
      const lines = shown({ ...tuning.model, size: { columns, rows } });
      expect(lines).toHaveLength(rows - 1);
      expect(lines.at(-1)).toContain('Space sounds this course');
      for (const name of ['G', 'D', 'A', 'E'])
        expect(lines.some((line) => line.endsWith(`${name}  not heard yet`))).toBe(true);
    }
  });
});

describe('how a tuning is said', () => {
  it.each([
    [0, 0, 'in tune', true],
    [-3.4, 3.4, 'in tune', true],
    [3.6, 0, '4 cents sharp', false],
    [-12, 0, '12 cents flat', false],
    [1, 6, 'in tune, its strings 6 cents apart', false],
    [-20, 4, '20 cents flat, its strings 4 cents apart', false],
  ])('%f and %f cents: %s', (cents, apartCents, text, done) => {
    expect(tuningText({ cents, apartCents })).toBe(text);
    expect(isInTune({ cents, apartCents })).toBe(done);
  });

  it.each([
    [[0, 1, -2, 3], 'all courses are in tune'],
    [[-22, -20, -19, -23], 'all courses are about 21 cents flat, and in tune with each other'],
    [[-22, -20, -19, -3], ''],
    [[5, 4, 6, 5], ''],
  ])('%j: %s', (all, text) => {
    expect(allText(all.map((cents) => ({ cents, apartCents: 0 })))).toBe(text);
    expect(allText([...all.map((cents) => ({ cents, apartCents: 0 })), null])).toBe('');
  });
});
