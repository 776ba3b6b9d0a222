import { describe, expect, test } from 'vitest';
import { chartOfText } from '../../../src/shed/chart-of-text.js';
import { dictationDrill } from '../../../src/shed/dictation/drill.js';
import type { DictationKind } from '../../../src/shed/dictation/figures.js';
import { startFromDiary } from '../../../src/shed/dictation/from-diary.js';
import type { ChartSource } from '../../../src/shed/dictation/source.js';
import { firstStanding } from '../../../src/shed/dictation/standing.js';
import { strainCaution } from '../../../src/shed/drill.js';
import { dictationLines } from '../../../src/ui/draw/dictation.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { placeOf } from '../../../src/ui/keys/place.js';
import type { Effect, Message } from '../../../src/ui/state/messages.js';
import { firstModel, type Model } from '../../../src/ui/state/model.js';
import { dueAt } from '../../../src/ui/state/schedule.js';
import { drillOf } from '../../../src/ui/state/select.js';
import { having, mandolin, running, usualStart } from '../model.js';

/** Half a second a beat; a bar of count-in and four of the cadence come first. */
const beat = 500;
const countIn = 4;

function drill(asks: DictationKind = 'changes', level = 1, sources: readonly ChartSource[] = []) {
  return dictationDrill(
    startFromDiary([], asks, { seed: 4, now: 0, standing: { ...firstStanding, level }, sources }),
  );
}

const own = {
  bpm: 120,
  countIn: 1,
  passes: null,
  range: null,
  from: 0,
  instrument: mandolin,
  plan: {},
  ...usualStart,
};

const opened: Message = {
  kind: 'player',
  at: 0,
  message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [] },
};

function onScreen(made = drill(), columns = 80, rows = 24): Model {
  const start = { ...own, key: made.chart.key };
  return having(
    firstModel({ colour: false, unicode: true }, columns, rows),
    { kind: 'chart-opened', file: '', chart: made.chart, start, source: '', drill: made },
    opened,
  ).model;
}

function naming(model: Model) {
  const play = drillOf(model.mode)?.dictation;
  if (!play) throw new Error('nothing is named by ear');
  return play;
}

/** When a felt beat of the phrase is there, ms. */
function timeOf(beats: number): number {
  return (countIn + beats) * beat;
}

/** A session in virtual time: keys at felt beats of the phrase, the clock looked at on every beat. */
class Sitting {
  model: Model;
  readonly records: Extract<Effect, { kind: 'record' }>[] = [];
  private at = 0;

  constructor(model: Model) {
    this.model = running(model, beat / 960).model;
  }

  private take(message: Message): void {
    const { model, effects } = having(this.model, message);
    this.model = model;
    for (const effect of effects) if (effect.kind === 'record') this.records.push(effect);
  }

  /** Time goes on to a felt beat. */
  to(beats: number): this {
    const until = timeOf(beats);
    for (; this.at < until; this.at = Math.min(until, this.at + beat / 2))
      this.take({ kind: 'clock', at: this.at });
    this.take({ kind: 'clock', at: until });
    return this;
  }

  key(action: Action, beats: number): this {
    this.to(beats);
    this.take({ kind: 'action', action, at: timeOf(beats) });
    return this;
  }

  /** Answers a number by its digit, as often as it has to be pressed. */
  say(number: string, beats: number): this {
    const { numbers } = naming(this.model).dictation.round;
    const digit = /[1-7]/.exec(number)?.[0] ?? '1';
    const times = 1 + Math.max(0, numbers.filter((one) => one.includes(digit)).indexOf(number));
    for (let pressed = 0; pressed < times; pressed += 1)
      this.key(`degree-${digit}` as Action, beats + pressed / 10);
    return this;
  }

  end(): this {
    const { chart } = naming(this.model).dictation.round;
    const bars = chart.sections.flatMap(({ lines }) => lines.flatMap(({ items }) => items)).length;
    this.to(4 * bars);
    const at = timeOf(4 * bars);
    this.take({ kind: 'player', at, message: { kind: 'state', state: 'stopped', tick: 100_000 } });
    return this;
  }

  text(): string {
    return dictationLines(this.model).map(plainText).join('\n');
  }
}

describe('changes named by ear', () => {
  test('each answered in its time: all right, kept in the diary, and the next phrase comes by a key', () => {
    const session = new Sitting(onScreen());
    const { questions } = naming(session.model).dictation.round;
    for (const { to, at } of questions) session.say(to, at + 1);
    session.end();
    expect(naming(session.model)).toMatchObject({ phase: 'told' });
    expect(session.text()).toContain(`${questions.length} of ${questions.length} right`);
    expect(session.records).toHaveLength(1);
    expect(session.records[0]).toMatchObject({
      result: 'clean',
      record: {
        what: 'drill',
        drill: 'ear-changes',
        title: 'changes by ear',
        dictation: {
          asks: 'changes',
          level: 'bars',
          moves: questions.map(({ from, to }) => [from, to, to, true]),
        },
      },
    });
    const before = naming(session.model).dictation.round;
    const { model } = having(session.model, { kind: 'action', action: 'go-on', at: timeOf(60) });
    const { round } = naming(model).dictation;
    expect(round.index).toBe(1);
    expect(round.chart.key).not.toEqual(before.chart.key);
    expect(naming(model)).toMatchObject({ phase: 'asking', reached: null });
    expect(model.session.performance?.setup.chart).toBe(round.chart);
  });

  test('late, not at all, and by keys that are no answer', () => {
    const session = new Sitting(onScreen());
    const { questions } = naming(session.model).dictation.round;
    const [first, second, third] = questions;
    if (!first || !second || !third) throw new Error('too few changes');
    // In the cadence nothing is asked.
    session.key('degree-4', 6);
    expect(naming(session.model).answers.every((answer) => answer === null)).toBe(true);
    expect(session.model.notice).toBe('not yet: these chords give the key');
    // That is read while the key is given, and no longer.
    session.to(16.5);
    expect(session.model.notice).toBe('');
    // Within the grace after the next change: still the first one's.
    session.say(first.to, second.at + 0.5);
    expect(naming(session.model).answers[0]?.number).toBe(first.to);
    // A key of the stand answers nothing, and shows nothing.
    const asked = session.model;
    session.key('far', second.at + 1).key('shape' as Action, second.at + 1);
    expect(naming(session.model).answers).toEqual(naming(asked).answers);
    // It is known not to be known, which is an answer too.
    session.key('answer-unknown', second.at + 2);
    expect(naming(session.model).answers[1]).toMatchObject({ number: null });
    // The third is taken back and comes too late.
    session.say(third.to, third.at + 1).key('write-erase', third.at + 1.5);
    expect(naming(session.model).answers[2]).toBeNull();
    session.end();
    const moves = session.records[0]?.record.dictation?.moves ?? [];
    expect(moves[0]).toEqual([first.from, first.to, first.to, true]);
    expect(moves[1]).toEqual([second.from, second.to, null, false]);
    expect(moves[2]).toEqual([third.from, third.to, null, false]);
    expect(session.records[0]?.result).toBe('miss');
  });

  test('a digit again names the other chord there, m and v turn it', () => {
    const session = new Sitting(onScreen(drill('changes', 7)));
    const { questions } = naming(session.model).dictation.round;
    const [first] = questions;
    if (!first) throw new Error('no change');
    session.key('degree-2', first.at + 0.5);
    expect(naming(session.model).answers[0]?.number).toBe('2-');
    session.key('degree-2', first.at + 0.7);
    expect(naming(session.model).answers[0]?.number).toBe('2^7');
    session.key('write-minor', first.at + 0.8);
    expect(naming(session.model).answers[0]?.number).toBe('2-');
    session.key('write-seventh', first.at + 0.9);
    expect(naming(session.model).answers[0]?.number).toBe('2^7');
  });

  test('played and heard: what is still the old chord is no answer, and what was played last counts', () => {
    const session = new Sitting(onScreen());
    const { questions } = naming(session.model).dictation.round;
    const [first] = questions;
    if (!first) throw new Error('no change');
    const heard = (number: string, beats: number): void => {
      session.to(beats + 1);
      const told = { kind: 'named-chord', number, at: timeOf(beats) } as const;
      const on: Model = { ...session.model, ear: { ...session.model.ear, on: true } };
      session.model = having(on, { kind: 'pass-told', told, at: timeOf(beats + 1) }).model;
    };
    expect(session.model.session.performance?.setup.answers).toEqual(['1', '4', '5']);
    heard(first.from, first.at + 0.5);
    expect(naming(session.model).answers[0]).toBeNull();
    const other = ['1', '4', '5'].find((one) => one !== first.from && one !== first.to) ?? '1';
    heard(other, first.at + 1);
    expect(naming(session.model).answers[0]?.number).toBe(other);
    heard(first.to, first.at + 2);
    expect(naming(session.model).answers[0]?.number).toBe(first.to);
    expect(naming(session.model).answers[0]?.at).toBeCloseTo(first.at + 2, 6);
  });

  test('a phrase that nobody answers is unmarked, and moves no level', () => {
    const session = new Sitting(onScreen());
    session.end();
    expect(session.records[0]?.result).toBe('unmarked');
    const { model } = having(session.model, { kind: 'action', action: 'go-on', at: timeOf(60) });
    expect(naming(model).dictation.standing).toEqual({ level: 1, goodInRow: 0, badInRow: 0 });
    expect(naming(model).dictation.moves).toEqual([]);
  });

  test('broken off, by a pause or by leaving, it keeps what was asked until then and counts for no level', () => {
    for (const way of ['pause', 'back', 'leave'] as const) {
      const session = new Sitting(onScreen());
      const { questions } = naming(session.model).dictation.round;
      const [first, second, third] = questions;
      if (!first || !second || !third) throw new Error('too few changes');
      session.say(first.to, first.at + 1).to(second.at + 2);
      const at = timeOf(second.at + 2);
      const { effects } = having(
        session.model,
        way === 'pause'
          ? { kind: 'player', at, message: { kind: 'state', state: 'paused', tick: 30_000 } }
          : { kind: 'action', action: way, at },
      );
      const records = effects.filter((effect) => effect.kind === 'record');
      expect(records).toHaveLength(1);
      expect(records[0]).toMatchObject({
        result: 'unmarked',
        record: { dictation: { moves: [[first.from, first.to, first.to, true]] } },
      });
    }
  });

  test('a change is heard again from the bar before it, and leads back to what was told', () => {
    const session = new Sitting(onScreen());
    const { questions } = naming(session.model).dictation.round;
    for (const { at } of questions) session.key('degree-1', at + 1);
    session.end();
    const { chosen } = naming(session.model);
    const question = questions[chosen];
    expect(question?.to).not.toBe('1');
    const again = having(session.model, { kind: 'action', action: 'hear-again', at: timeOf(60) });
    expect(again.model.session.performance?.setup.range).toEqual({
      from: (question?.bar ?? 0) - 1,
      to: (question?.bar ?? 0) + 1,
    });
    expect(naming(again.model).phase).toBe('again');
    const running = having(again.model, {
      kind: 'player',
      at: timeOf(60),
      message: { kind: 'state', state: 'running', tick: 100_000 },
    });
    const over = having(running.model, {
      kind: 'player',
      at: timeOf(70),
      message: { kind: 'state', state: 'stopped', tick: 110_000 },
    });
    expect(naming(over.model).phase).toBe('told');
    expect(over.effects.filter(({ kind }) => kind === 'record')).toEqual([]);
  });
});

describe('the screen while it asks', () => {
  const numbers = /[│|] [1-7b♭]/u;

  test.each([
    [60, 18],
    [80, 24],
  ])('at %dx%d shows no number before the phrase is over, then all', (columns, rows) => {
    const session = new Sitting(onScreen(drill(), columns, rows));
    const check = (): void => {
      const lines = dictationLines(session.model);
      expect(lines).toHaveLength(rows - 1);
      for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(columns);
      expect(placeOf(session.model)).toBe('dictation');
    };
    check();
    expect(session.text()).not.toMatch(numbers);
    session.to(8);
    expect(session.text()).toContain('this is the key');
    for (let beats = 8; beats < 48; beats += 1) {
      session.to(beats);
      check();
      expect(session.text()).not.toMatch(numbers);
    }
    session.end();
    check();
    expect(session.text().match(new RegExp(numbers.source, 'gu'))).toHaveLength(8);
  });

  test('goes by the clock and the keys alone: of other changes it shows the same to the same presses', () => {
    const shownOf = (seed: number): string[] => {
      const key = { tonic: 'G', mode: 'major' } as const;
      const start = startFromDiary([], 'changes', {
        seed,
        now: 0,
        key,
        standing: { ...firstStanding, level: 1 },
      });
      const session = new Sitting(onScreen(dictationDrill(start)));
      const presses: Action[] = [
        'degree-4',
        'degree-1',
        'write-minor',
        'answer-unknown',
        'degree-5',
        'write-erase',
      ];
      // In the cadence, before anything has changed, on the changes, between them and after them.
      return Array.from({ length: 88 }, (_, half) => {
        const at = 4 + half / 2;
        session.to(at);
        if (half % 3 === 0) session.key(presses[(half / 3) % presses.length] as Action, at + 0.1);
        return `${session.model.notice}\n${session.text()}`;
      });
    };
    const [first, ...others] = [1, 2, 3, 4, 5].map(shownOf);
    for (const other of others) expect(other).toEqual(first);
  });

  test('says that a tune is over it, and what is under it is asked', () => {
    const standing = { level: 3, goodInRow: 1, badInRow: 0 };
    const start = startFromDiary([], 'changes', { seed: 4, now: 0, standing });
    const session = new Sitting(onScreen(dictationDrill(start), 60, 18));
    expect(session.text()).toContain('phrase 1, a tune over it; level 4 of 11 (1, 4, 5 and 6-)');
    session.to(20);
    expect(session.text()).toContain('under the tune');
    expect(session.model.session.performance?.setup).toMatchObject({
      melody: 'all',
      mix: { on: { lead: true } },
    });
  });

  test('of a pass with a tune by itself other chords that fit are right, and said to', () => {
    const chart = chartOfText(
      'title: x\nkey: G\ntempo: 120\nsections:\n  V: |\n    1 4 5 1\ntune:\n  V: |\n    G8 | c8 | d8 | G8 |\n',
    );
    if (!chart) throw new Error('it does not read');
    const session = new Sitting(onScreen(drill('tune', 0, [{ chart, section: 'V' }])));
    const { questions, chart: made } = naming(session.model).dictation.round;
    expect(questions.map(({ to }) => to)).toEqual(['4', '5', '1']);
    expect(made.tempo.bpm).toBe(80);
    session.model = onScreen(
      drill('tune', 0, [{ chart: { ...chart, tempo: { bpm: 180, count: 'quarter' } }, section: 'V' }]),
    );
    session.model = running(session.model, beat / 960).model;
    const [four, five, one] = naming(session.model).dictation.round.questions;
    if (!four || !five || !one) throw new Error('too few changes');
    // Under 4 its root alone, which 1 has not; under 5 its root, which 1 has as its fifth.
    session
      .key('degree-1', four.at + 1)
      .key('degree-1', five.at + 1)
      .key('degree-1', one.at + 1)
      .end();
    expect(session.records[0]?.record.dictation).toEqual({
      asks: 'tune',
      level: null,
      moves: [
        ['1', '4', '1', false],
        ['4', '5', '1', true],
        ['5', '1', '1', true],
      ],
    });
  });
});

describe('what sounds', () => {
  test.each([
    ['changes', { bass: true, chop: true }],
    ['bass', { bass: true, chop: false }],
  ] as const)('%s: bass and chop give the key, and behind it only what is asked about', (asks, behind) => {
    const session = new Sitting(onScreen(drill(asks)));
    const on = () => session.model.session.performance?.setup.mix.on;
    session.to(14.9);
    expect(on()).toMatchObject({ click: true, bass: true, chop: true, low: false });
    session.to(15.5);
    expect(on()).toMatchObject({ click: true, low: false, ...behind });
    session.to(20);
    expect(on()).toMatchObject({ click: true, low: false, ...behind });
  });
});

test('no key or pedal opens what would give it away, or changes what sounds', () => {
  const session = new Sitting(onScreen());
  session.to(18);
  const mine = new Set(
    session.model.bindings.filter(({ place }) => place === 'dictation').map(({ action }) => action),
  );
  const others = [...new Set(session.model.bindings.map(({ action }) => action))].filter(
    (one) => !mine.has(one),
  );
  expect(others).toEqual(expect.arrayContaining(['choose-voices', 'choose-pattern', 'choose-click']));
  const before = session.text();
  for (const action of others) {
    const { model } = having(session.model, { kind: 'action', action, at: timeOf(18) });
    expect([action, model.overlay]).toEqual([action, null]);
    expect([action, dictationLines(model).map(plainText).join('\n')]).toEqual([action, before]);
    expect(model.session.performance?.setup).toEqual(session.model.session.performance?.setup);
  }
});

test('a voice that the settings have turned down is heard all the same, and the bass runs nowhere', () => {
  const made = drill('bass');
  const levels = { click: 80, bass: 0, low: 100, chop: 20, lead: 130 };
  const start = {
    ...own,
    key: made.chart.key,
    bass: 'walk',
    mix: { ...own.mix, alone: 'click', levels },
  } as const;
  const { model } = having(
    firstModel({ colour: false, unicode: true }, 80, 24),
    { kind: 'chart-opened', file: '', chart: made.chart, start, source: '', drill: made },
    opened,
  );
  expect(model.session.performance?.setup).toMatchObject({
    bass: 'plain',
    mix: { alone: null, levels: { click: 80, bass: 100, chop: 100, lead: 130 } },
  });
});

test('in a sitting a phrase begins by itself when the one before was read, until its time is over', () => {
  const made = drill();
  const items = [
    {
      kind: 'drill',
      drill: made,
      minutes: 1,
      why: 'new',
      task: { kind: 'ear', asks: 'changes', tune: null },
    },
    { kind: 'rest', seconds: 45, says: strainCaution },
    {
      kind: 'drill',
      drill: made,
      minutes: 1,
      why: 'new',
      task: { kind: 'ear', asks: 'changes', tune: null },
    },
  ] as const;
  const card = having(
    firstModel({ colour: false, unicode: true }, 80, 24),
    opened,
    { kind: 'sitting', items, start: { ...own, key: made.chart.key }, at: 0 },
    { kind: 'action', action: 'go-on', at: 0 },
  ).model;
  const session = new Sitting(card);
  const first = naming(session.model).dictation.round;
  for (const { to, at } of first.questions) session.say(to, at + 1);
  session.end();
  const until = naming(session.model).until ?? 0;
  expect(until).toBeGreaterThan(timeOf(48));
  expect(dueAt(session.model)).toBeLessThanOrEqual(until);
  const next = having(session.model, { kind: 'clock', at: until }).model;
  const second = naming(next).dictation;
  expect(second.round.index).toBe(1);
  expect(second.standing).toMatchObject({ goodInRow: 1 });
  // When its minutes are over the phrase is asked to its end, and the rest comes after it.
  const late = new Sitting(next);
  late.to(60);
  expect(late.model.mode).toMatchObject({ kind: 'sitting', phase: 'playing' });
  late.end();
  const rest = having(late.model, { kind: 'clock', at: 120_000 }).model;
  expect(rest.mode).toMatchObject({ kind: 'sitting', phase: 'resting', at: 1 });
  // It goes on where it was: neither phrase comes again.
  const more = having(
    rest,
    { kind: 'action', action: 'go-on', at: 130_000 },
    { kind: 'action', action: 'go-on', at: 131_000 },
  ).model;
  expect(naming(more).dictation.round.index).toBe(2);
  expect(new Set(naming(more).dictation.seen).size).toBe(3);
});
