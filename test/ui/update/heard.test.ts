import { describe, expect, it } from 'vitest';
import { passView } from '../../../src/playback/pass-view.js';
import { drillsFor } from '../../../src/shed/drills.js';
import { seeded } from '../../../src/shed/seeded.js';
import type { SittingItem } from '../../../src/shed/sitting-item.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { placeOf } from '../../../src/ui/keys/place.js';
import type { Effect, Message, MessageOf } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { dueAt } from '../../../src/ui/state/schedule.js';
import { having, onStand, running, sittingOf, standing, viewOf } from '../model.js';
import { listening, told } from './heard-verdicts.js';

const press = (action: Action, at = 0): Message => ({ kind: 'action', action, at });
const clock = (at: number): Message => ({ kind: 'clock', at });
const state = (name: 'running' | 'paused' | 'stopped', tick: number, at: number): Message => ({
  kind: 'player',
  at,
  message: { kind: 'state', state: name, tick },
});
const spans = (tick: number, time: number): Message => ({
  kind: 'player',
  at: time,
  message: { kind: 'spans', spans: [{ tick, time, msPerTick: 1000 / 960 }] },
});
const barMs = 4000;

type Kept = Extract<Effect, { readonly kind: 'record' }>;
const kept = (effects: readonly Effect[]): Kept[] => effects.filter((one) => one.kind === 'record');
const results = (effects: readonly Effect[]): string[] => kept(effects).map(({ result }) => result);
const plays = (effects: readonly Effect[]): boolean =>
  effects.some((one) => one.kind === 'tell' && one.message.kind === 'play');

/** A chart of two bars in a loop, playing and listened to since 0. */
function looping(): Model {
  const looped = having(standing('weir-hands'), press('bar-on'), press('loop-to'), press('to-start')).model;
  return running(listening(looped)).model;
}

/** Looks at the clock every beat. */
function until(model: Model, from: number, to: number) {
  const looks: Message[] = [];
  for (let at = from; at <= to; at += 1000) looks.push(clock(at + 10));
  return having(model, ...looks);
}

/** The list's pair drill on the stand, listened to. */
function pair(): Model {
  const base = listening(standing('weir-hands', 100, 30));
  const { performance } = viewOf(base);
  const view = passView(performance);
  const drill =
    view && drillsFor(performance.setup.chart, view.plan, 0, seeded(1)).find(({ kind }) => kind === 'pair');
  if (!drill) throw new Error('no pair');
  return having(base, { kind: 'drill-chosen', drill }).model;
}

/** The drill's one pass begins at `at`, and is over eight bars after one of count-in. Answers when the pass itself began, too. */
function passOver(model: Model, at: number, asks = true) {
  const begun = having(
    model,
    ...(asks ? [press('play', at)] : []),
    state('running', 0, at),
    spans(model.session.link.freeTick, at),
    clock(at + 10),
    clock(at + barMs + 10),
    clock(at + 8 * barMs),
  );
  const began = onStand(begun.model)?.passBegan ?? null;
  const over = having(begun.model, state('stopped', 50_000, at + 9 * barMs));
  return { model: over.model, effects: [...begun.effects, ...over.effects], began, at: at + 9 * barMs };
}

describe('a pass that is listened to', () => {
  it('is kept as it was heard, with the figures, when the player has had time to say otherwise', () => {
    const over = until(looping(), 0, 3 * barMs).model;
    const began = 4010;
    const heard = having(over, told('late', began, 3 * barMs + 900));
    expect(kept(heard.effects)).toEqual([]);
    const { until: due } = onStand(heard.model)?.pending ?? {};
    expect(due).toBe(3 * barMs + 5900);
    expect(dueAt(heard.model)).toBe(due);
    expect(kept(having(heard.model, clock(3 * barMs + 5800)).effects)).toEqual([]);
    const [record] = kept(having(heard.model, clock(3 * barMs + 5901)).effects);
    expect(record?.result).toBe('miss');
    expect(record?.record.heard).toMatchObject({ result: 'not clean', absolute: true, rang: 0 });
    expect(record?.record.heard?.changes[0]).toMatchObject({ numbers: '1>4', late: 4, of: 4 });
  });

  it('has the word of the player, said before the ear’s or after it, and the ear’s figures', () => {
    const over = until(looping(), 0, 3 * barMs).model;
    const before = having(over, press('mark-clean', 3 * barMs + 200));
    expect(kept(before.effects)).toEqual([]);
    const [first] = kept(having(before.model, told('not clean', 4010, 3 * barMs + 900)).effects);
    expect(first).toMatchObject({ result: 'clean', record: { heard: { result: 'not clean' } } });
    const after = having(over, told('clean', 4010, 3 * barMs + 900), press('mark-miss', 3 * barMs + 2000));
    expect(kept(after.effects)).toMatchObject([{ result: 'miss', record: { heard: { result: 'clean' } } }]);
    const during = having(until(looping(), 0, 2 * barMs).model, press('mark-miss', 2 * barMs + 500)).model;
    const ended = until(during, 2 * barMs + 1000, 3 * barMs);
    expect(kept(ended.effects)).toEqual([]);
    expect(results(having(ended.model, told('clean', 4010, 3 * barMs + 900)).effects)).toEqual(['miss']);
  });

  it('that nothing was heard of is unmarked, as without an ear, and its word is not waited for long', () => {
    const over = until(looping(), 0, 3 * barMs);
    expect(results(until(over.model, 3 * barMs + 1000, 5 * barMs - 1000).effects)).toEqual(['unmarked']);
    const heard = having(over.model, told('not heard', 4010, 3 * barMs + 900));
    const [record] = kept(until(heard.model, 3 * barMs + 1000, 5 * barMs - 1000).effects);
    expect(record).toMatchObject({ result: 'unmarked', record: { heard: { result: 'not heard' } } });
  });

  it('is lost neither when the program is left nor when a drill is chosen', () => {
    const over = until(looping(), 0, 3 * barMs).model;
    const heard = having(over, told('clean', 4010, 3 * barMs + 900)).model;
    for (const action of ['leave', 'back'] as const)
      expect(results(having(heard, press(action, 3 * barMs + 1000)).effects)).toEqual(['clean']);
    const listed = having(heard, press('choose-drill', 3 * barMs + 1000)).model;
    const { overlay } = listed;
    if (overlay?.kind !== 'drills') throw new Error('no list');
    const [drill] = overlay.drills;
    if (!drill) throw new Error('no drill');
    expect(results(having(listed, { kind: 'drill-chosen', drill }).effects)).toEqual(['clean']);
  });
});

describe('a ladder that is listened to', () => {
  it('waits for the ear’s word, and goes on by it without a key', () => {
    const over = passOver(pair(), 0);
    expect(onStand(over.model)?.asking).toBeNull();
    expect(placeOf(over.model)).toBe('asking');
    expect(over.model.notice).toContain('being judged');
    const first = having(over.model, told('clean', over.began, over.at + 900));
    expect(plays(first.effects)).toBe(true);
    expect(onStand(first.model)?.ladder?.rungs).toEqual([{ bpm: expect.closeTo(176, 0), result: 'clean' }]);
    expect(first.model.notice).toBe('heard: clean; m if it was not');
    const again = passOver(first.model, over.at + 1000, false);
    expect(results(again.effects)).toEqual(['clean']);
    const second = having(again.model, told('clean', again.began, again.at + 900));
    expect(onStand(second.model)?.bpm).toBe(198);
    const third = passOver(second.model, again.at + 1000, false);
    const down = having(third.model, told('not clean', third.began, third.at + 900));
    expect(onStand(down.model)?.bpm).toBe(186);
    expect(results([...third.effects, ...having(down.model, clock(third.at + 6000)).effects])).toEqual([
      'clean',
      'miss',
    ]);
  });

  it('asks when the pass was not heard, and says why; a key then, or while the word is awaited, wins at once', () => {
    const over = passOver(pair(), 0);
    const unheard = having(over.model, told('not heard', over.began, over.at + 900));
    expect(onStand(unheard.model)?.asking).toBe(over.at + 5900);
    expect(unheard.model.notice).toMatch(/^Not judged: .*How was it\?$/);
    expect(results(unheard.effects)).toEqual([]);
    const said = having(unheard.model, press('mark-clean', over.at + 2000));
    expect(results(said.effects)).toEqual(['clean']);
    expect(plays(said.effects)).toBe(true);
    const early = having(over.model, press('mark-miss', over.at + 300));
    expect(plays(early.effects)).toBe(true);
    expect(onStand(early.model)?.ladder?.rungs.map(({ result }) => result)).toEqual(['miss']);
    // What the ear says then changes nothing but the figures.
    const late = having(early.model, told('clean', over.began, over.at + 900));
    expect(kept(late.effects)).toMatchObject([{ result: 'miss', record: { heard: { result: 'clean' } } }]);
    expect(onStand(late.model)?.ladder?.rungs).toHaveLength(1);
  });

  it('asks when the ear says nothing', () => {
    const over = passOver(pair(), 0);
    expect(dueAt(over.model)).toBe(over.at + 3000);
    const asked = having(over.model, clock(over.at + 3001));
    expect(asked.model.notice).toContain('the ear could not judge it');
    expect(onStand(asked.model)?.asking).toBe(over.at + 8001);
    // A word that comes late is taken all the same.
    const heard = having(asked.model, told('clean', over.began, over.at + 3500));
    expect(onStand(heard.model)?.ladder?.rungs.map(({ result }) => result)).toEqual(['clean']);
  });

  it('is overruled by the player while the next pass is counted in: that begins again at its own tempo', () => {
    const over = passOver(pair(), 0);
    const heard = having(over.model, told('clean', over.began, over.at + 900));
    const second = passOver(heard.model, over.at + 1000, false);
    const up = having(second.model, told('clean', second.began, second.at + 900));
    expect(onStand(up.model)?.bpm).toBe(198);
    const counted = having(
      up.model,
      state('running', 60_000, second.at + 1000),
      spans(60_000, second.at + 1000),
      clock(second.at + 1100),
    );
    expect(placeOf(counted.model)).toBe('judged');
    const overruled = having(counted.model, press('mark-miss', second.at + 1500));
    expect(results(overruled.effects)).toEqual(['miss']);
    expect(onStand(overruled.model)?.bpm).toBe(157);
    expect(onStand(overruled.model)?.ladder?.rungs.map(({ result }) => result)).toEqual(['clean', 'miss']);
    expect(overruled.effects.some((one) => one.kind === 'tell' && one.message.kind === 'pause')).toBe(true);
    const anew = having(overruled.model, state('paused', 62_000, second.at + 1520));
    expect(plays(anew.effects)).toBe(true);
    // The count at the tempo before was no pass.
    expect(results(having(anew.model, press('leave', second.at + 9000)).effects)).toEqual([]);
  });

  it('is not begun again where the player’s word changes no tempo', () => {
    const over = passOver(pair(), 0);
    const heard = having(
      over.model,
      told('clean', over.began, over.at + 900),
      state('running', 60_000, over.at + 1000),
      spans(60_000, over.at + 1000),
      clock(over.at + 1100),
    );
    const agreed = having(heard.model, press('mark-clean', over.at + 1500));
    expect(results(agreed.effects)).toEqual(['clean']);
    expect(agreed.effects.some((one) => one.kind === 'tell' && one.message.kind === 'pause')).toBe(false);
  });
});

describe('a sitting that is listened to', () => {
  /** Two pairs of a minute each, which hold as soon as they are clean at their tempo. */
  function sitting(): Model {
    const base = listening(standing('weir-hands', 100, 30));
    const { performance } = viewOf(base);
    const view = passView(performance);
    const drills = view ? drillsFor(performance.setup.chart, view.plan, 0, seeded(1)) : [];
    const items = drills
      .filter(({ kind }) => kind === 'pair')
      .slice(0, 2)
      .map(
        (drill): SittingItem => ({
          kind: 'drill',
          task: null,
          minutes: 1,
          why: 'a test',
          drill: { ...drill, start: { ...drill.start, share: 1, exact: true, inRow: 1 } },
        }),
      );
    const start: MessageOf<'sitting'>['start'] = { ...performance.setup, from: 0, range: null };
    return having(base, { kind: 'sitting', items, start, at: 0 }).model;
  }

  it('runs to its end without a key; the word on an item’s last pass comes on the card after it', () => {
    const effects: Effect[] = [];
    let model = sitting();
    let at = 0;
    const take = (updated: ReturnType<typeof having>) => {
      effects.push(...updated.effects);
      model = updated.model;
    };
    for (let item = 0; item < 2; item += 1) {
      at += 8001;
      take(having(model, clock(at)));
      expect(sittingOf(model)?.phase).toBe('playing');
      const over = passOver(model, at + 10, false);
      take(over);
      at = over.at + 900;
      take(having(model, told('clean', over.began, at)));
    }
    expect(sittingOf(model)).toMatchObject({ phase: 'done' });
    expect(sittingOf(model)?.results).toHaveLength(2);
    take(having(model, clock(at + 5001)));
    expect(kept(effects).map(({ result, record }) => [result, record.heard?.result])).toEqual([
      ['clean', 'clean'],
      ['clean', 'clean'],
    ]);
  });

  it('is told on the card that the ear was wrong', () => {
    const begun = having(sitting(), clock(8001)).model;
    const over = passOver(begun, 8010, false);
    const carded = having(over.model, told('clean', over.began, over.at + 900)).model;
    expect(sittingOf(carded)).toMatchObject({ phase: 'card', at: 1 });
    expect(sittingOf(carded)?.results[0]).toContain('holds');
    const said = having(carded, press('mark-miss', over.at + 2000));
    expect(results(said.effects)).toEqual(['miss']);
    expect(sittingOf(said.model)).toMatchObject({ phase: 'card', at: 1 });
    expect(sittingOf(said.model)?.results[0]).not.toContain('holds');
  });
});
