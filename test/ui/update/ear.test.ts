import { describe, expect, it } from 'vitest';
import type { EarMessage } from '../../../src/ear/client.js';
import type { Mark } from '../../../src/listen/marks.js';
import type { Verdict } from '../../../src/listen/verdict.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { heardShown, noticeNow } from '../../../src/ui/state/select.js';
import * as marksOf from '../../../src/ui/update/ear.js';
import { update } from '../../../src/ui/update/update.js';
import { having, onStand, performing, running, standing } from '../model.js';

const on: Mark = { place: 'on', isHollow: false };
const name = 'half-a-mile-of-fog';

const ear = (
  message: EarMessage,
  more: { calibrated?: boolean; keeps?: string; at?: number } = {},
): Message => ({
  kind: 'ear',
  message,
  at: 0,
  calibrated: true,
  ...more,
});
const opened = { kind: 'opened', name: 'here', rate: 48_000, by: 'test' } as const;
const level = (db: number, at = 0) =>
  ear({ kind: 'level', condition: 'fine', level: db, peak: db, floor: -80 }, { at });
const key = (action: 'listen' | 'back' | 'play', at = 0): Message => ({ kind: 'action', action, at });
const mark = (pass: number, bar: number, beat: number, at = 0, own: Mark = on): Message => ({
  kind: 'pass-told',
  told: { kind: 'mark', pass, bar, beat, mark: own },
  at,
});
const verdict: Verdict = {
  result: 'clean',
  faults: [],
  strokes: [],
  extra: [],
  silences: [],
  timing: { low: null, chop: null, up: null },
  absolute: true,
  runsOff: null,
  changes: [],
  wrong: [],
  chopsHeard: 0,
  rang: [],
  limits: {
    ahead: 45,
    behind: 20,
    spread: 24,
    lateChange: 40,
    ring: 160,
    late: 0.1,
    wrong: 0.04,
    rang: 0.2,
    leftOut: 0.1,
  },
  interval: 375,
};
const passHeard = (at: number): Message => ({
  kind: 'pass-told',
  told: { kind: 'pass-heard', began: null, verdict, bpm: 160 },
  at,
});
const listens = (model: Model): Model => having(model, key('listen'), ear(opened)).model;
const shownMarks = (model: Model): string[] =>
  (onStand(model)?.strokes ?? []).map((one) => `${one.pass}:${one.bar}:${one.beat}`);

/** A model whose cursor stands there while it plays, as when a beat begins. */
function at(model: Model, pass: number, bar: number, time: number, beat = 0): Model {
  const moved = performing(model, { cursor: { bar, beat, pass, counting: false } });
  return moved.at === time ? moved : { ...moved, at: time };
}

describe('listening on the stand', () => {
  it('is opened and closed by the same key', () => {
    const { model, effects } = having(standing(name), key('listen'));
    expect(model.ear.on).toBe(true);
    expect(effects).toContainEqual({ kind: 'listen', on: true });
    const off = having(model, key('listen'));
    expect(off.model.ear.on).toBe(false);
    expect(off.effects).toContainEqual({ kind: 'listen', on: false });
    // What still comes of it is nothing to anybody.
    expect(having(off.model, ear(opened), level(-10)).model.ear).toEqual(off.model.ear);
  });

  it('says what it listens to, and what becomes of it', () => {
    const model = having(standing(name), key('listen')).model;
    expect(having(model, ear(opened)).model.notice).toBe('listens to here; nothing is kept');
    expect(having(model, ear(opened, { keeps: 'take.wav' })).model.notice).toContain('kept in take.wav');
  });

  it('says once that it is not calibrated', () => {
    const open = ear(opened, { calibrated: false });
    const first = having(standing(name), key('listen'), open).model;
    expect(first.notice).toContain('not calibrated');
    const again = having(first, key('listen'), key('listen'), open).model;
    expect(again.notice).toBe('listens to here; nothing is kept');
  });

  it('makes no new model of a level that is drawn alike', () => {
    const model = having(listens(standing(name)), level(-30)).model;
    const before = model.ear.level;
    expect(before).toBeGreaterThan(0);
    for (const db of [-30.5, -29, -31, -28.5]) expect(update(model, level(db)).model).toBe(model);
    expect(update(model, level(-8)).model).not.toBe(model);
  });

  it('has a meter that rises at once and falls slowly, so that strokes do not make it flicker', () => {
    const model = having(listens(standing(name)), level(-8, 1000)).model;
    expect(model.ear.level).toBe(5);
    const fallen = (...times: number[]) =>
      having(model, ...times.map((one) => level(-90, one))).model.ear.level;
    expect(fallen(1100, 1300, 1599)).toBe(5);
    expect(fallen(1100, 1600, 1700)).toBe(4);
    expect(fallen(1600, 2200, 2800, 3400, 4000, 4600)).toBe(0);
    // Chops three times a second, with silence between: of a hundred levels few are drawn.
    let one = model;
    let drawn = 0;
    for (let at = 1100; at <= 11_000; at += 100) {
      const next = having(one, level(at % 300 === 0 ? -8 : -50, at)).model;
      if (next !== one) drawn += 1;
      one = next;
    }
    expect(drawn).toBeLessThanOrEqual(25);
  });

  it.each<EarMessage>([
    { kind: 'failed', sentence: 'no microphone was found; connect one' },
    { kind: 'failed', sentence: 'the usual microphone may not be opened; add yourself' },
    { kind: 'gone', sentence: 'the microphone has gone; connect it again' },
    { kind: 'stalled', sentence: 'no sound comes any more; look' },
    { kind: 'died', sentence: 'what listens has died; it is started again', again: true },
    { kind: 'condition', condition: 'clipping', sentence: 'overloaded; turn it down' },
    { kind: 'condition', condition: 'noisy', sentence: 'too loud; move nearer' },
    { kind: 'condition', condition: 'silent', sentence: 'nothing at all; look' },
  ])('tells %o in a line, marks nothing then, and lets the music go on', (message) => {
    const model = listens(running(standing(name)).model);
    const { model: told, effects } = having(model, ear(message), mark(1, 0, 0));
    expect(told.notice).toBe((message as { sentence: string }).sentence);
    expect(shownMarks(told)).toEqual([]);
    expect(effects).toEqual([]);
    expect(told.session).toBe(model.session);
  });

  it('takes the line away and marks again when all is well', () => {
    const bad = having(
      listens(running(standing(name)).model),
      ear({ kind: 'condition', condition: 'noisy', sentence: 'too loud; move nearer' }),
    ).model;
    const good = having(
      bad,
      ear({ kind: 'condition', condition: 'fine', sentence: null }),
      mark(1, 0, 0),
    ).model;
    expect(good.notice).toBe('');
    expect(shownMarks(good)).toEqual(['1:0:0']);
    // Another line that came meanwhile is left alone.
    const other = having(
      { ...bad, notice: 'something else' },
      ear({ kind: 'condition', condition: 'fine', sentence: null }),
    );
    expect(other.model.notice).toBe('something else');
  });

  it('hears again what had stalled, as soon as there is a level', () => {
    const stalled = having(
      listens(standing(name)),
      ear({ kind: 'stalled', sentence: 'no sound; look' }),
    ).model;
    const { ear: back, notice } = having(stalled, level(-40)).model;
    expect([back.trouble, notice]).toEqual(['', '']);
  });

  it('marks nothing while somebody else plays', () => {
    const company = (is: boolean): Message => ({
      kind: 'pass-told',
      told: { kind: 'company', on: is },
      at: 0,
    });
    const model = having(listens(running(standing(name)).model), company(true), mark(1, 0, 0)).model;
    expect(model.notice).toContain('somebody else');
    expect(shownMarks(model)).toEqual([]);
    const alone = having(model, company(false), mark(1, 0, 1)).model;
    expect([alone.notice, ...shownMarks(alone)]).toEqual(['', '1:0:1']);
  });

  it('lets the line that it listens go after a while, once the music plays', () => {
    const model = running(standing(name)).model;
    const told = having(model, key('listen', 10), ear(opened, { at: 10 })).model;
    expect(noticeNow(told)).toContain('listens to here');
    expect(noticeNow({ ...told, at: 9000 })).toBe('');
    const trouble = having(told, ear({ kind: 'gone', sentence: 'it has gone; look' }, { at: 20 })).model;
    expect(noticeNow({ ...trouble, at: 9000 })).toBe('it has gone; look');
  });
});

describe('marks', () => {
  const model = listens(running(standing(name)).model);

  it('of the pass before go when their bar is played again, the others stay until then', () => {
    const marked = having(
      at(model, 1, 1, 100),
      mark(1, 0, 0, 100),
      mark(1, 0, 2, 900),
      mark(1, 1, 0, 2000),
    ).model;
    const again = having(at(marked, 2, 0, 40_000, 3), { kind: 'clock', at: 40_000 });
    expect(shownMarks(again.model)).toEqual(['1:0:0', '1:0:2', '1:1:0']);
    const entered = entering(marked, 2, 0, 40_000);
    expect(shownMarks(entered)).toEqual(['1:1:0']);
  });

  it('go too where the section is played once more within a pass', () => {
    const marked = having(at(model, 1, 1, 100), mark(1, 0, 0, 100), mark(1, 1, 0, 2000)).model;
    expect(shownMarks(entering(marked, 1, 0, 20_000))).toEqual(['1:1:0']);
  });

  it('of an early stroke that was told before its bar stay when it begins', () => {
    const marked = having(at(model, 1, 0, 100), mark(1, 1, -0.5, 1900)).model;
    expect(shownMarks(entering(marked, 1, 1, 2000))).toEqual(['1:1:-0.5']);
  });

  it('that come late, of a bar that is played again already, are not shown', () => {
    const looped = at(model, 2, 0, 100);
    expect(shownMarks(having(looped, mark(1, 0, 3)).model)).toEqual([]);
    expect(shownMarks(having(looped, mark(1, 3, 3)).model)).toEqual(['1:3:3']);
  });

  it('go when it is played again', () => {
    const marked = having(model, mark(1, 0, 0), passHeard(0)).model;
    const paused = having(marked, {
      kind: 'player',
      at: 5,
      message: { kind: 'state', state: 'paused', tick: 0 },
    }).model;
    expect(heardShown(paused).place).toBe('lines');
    const played = having(paused, key('play', 10)).model;
    expect(shownMarks(played)).toEqual([]);
    expect(heardShown(played).heard).toBeNull();
  });

  /** The model when a bar begins: what a new beat of the music does. */
  function entering(from: Model, pass: number, bar: number, time: number): Model {
    const { barEntered } = marksOf;
    const there = at(from, pass, bar, time);
    const mode = there.mode as Parameters<typeof barEntered>[1];
    return { ...there, mode: barEntered(there, mode, time) };
  }
});

describe('what was heard of a pass', () => {
  it('is a line for eight seconds while the music goes on, and all of it when it rests', () => {
    const model = having(listens(running(standing(name)).model), passHeard(1000)).model;
    expect(heardShown({ ...model, at: 1000 }).place).toBe('line');
    expect(heardShown({ ...model, at: 9500 }).place).toBeNull();
    const paused = having(model, {
      kind: 'player',
      at: 9600,
      message: { kind: 'state', state: 'paused', tick: 0 },
    });
    expect(heardShown(paused.model).place).toBe('lines');
  });

  it('is taken away by the key that goes back, which leaves only when pressed again', () => {
    const model = having(listens(standing(name)), passHeard(0)).model;
    const back = having(model, key('back'));
    expect(heardShown(back.model).heard).toBeNull();
    expect(back.effects).toEqual([]);
    expect(back.model.mode.kind).toBe('chart');
    expect(having(back.model, key('back')).effects).toContainEqual({ kind: 'leave' });
  });

  it('does not keep that key from its use while the music goes on', () => {
    const model = having(listens(running(standing(name)).model), passHeard(0)).model;
    expect(having(model, key('back')).effects).toContainEqual({ kind: 'leave' });
  });
});
