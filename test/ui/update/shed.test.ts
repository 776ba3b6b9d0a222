import { describe, expect, it } from 'vitest';
import { mandolin } from '../../../src/hand/instrument.js';
import { passView } from '../../../src/playback/pass-view.js';
import { startOf } from '../../../src/playback/setup.js';
import type { Drill, DrillKind } from '../../../src/shed/drill.js';
import { chopDrill, drillsFor } from '../../../src/shed/drills.js';
import { bareChart } from '../../../src/shed/make-chart.js';
import { seeded } from '../../../src/shed/seeded.js';
import type { SittingItem } from '../../../src/shed/sitting-item.js';
import { songDrill } from '../../../src/shed/way-drill.js';
import { keyName } from '../../../src/theory/key.js';
import { bigText } from '../../../src/ui/draw/big-text.js';
import { plainText } from '../../../src/ui/draw/line.js';
import { sittingLines } from '../../../src/ui/draw/sitting.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import { wordFont } from '../../../src/ui/draw/word-letters.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { placeOf } from '../../../src/ui/keys/place.js';
import type { Effect, Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { dueAt } from '../../../src/ui/state/schedule.js';
import { update } from '../../../src/ui/update/update.js';
import { having, keyOf, onStand, performing, running, sittingOf, standing, viewOf } from '../model.js';

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

function records(effects: readonly Effect[]) {
  return effects.flatMap((effect) =>
    effect.kind === 'record' ? [`${effect.result} ${effect.record.what} ${effect.record.title}`] : [],
  );
}

const barMs = 4000;

/** A chart of two bars in a loop, playing since 0: a count-in of one bar, then a pass every eight seconds. */
function looping(): Model {
  const looped = having(standing('weir-hands'), press('bar-on'), press('loop-to'), press('to-start')).model;
  return running(looped).model;
}

/** Looks at the clock every beat. */
function until(model: Model, from: number, to: number): { model: Model; effects: readonly Effect[] } {
  const looks: Message[] = [];
  for (let at = from; at <= to; at += 1000) looks.push(clock(at + 10));
  return having(model, ...looks);
}

describe('passes for the diary', () => {
  it('are unmarked when nobody said anything, from half a pass later on', () => {
    const first = until(looping(), 0, 3 * barMs);
    expect(records(first.effects)).toEqual([]);
    const half = until(first.model, 3 * barMs + 1000, 4 * barMs);
    expect(records(half.effects)).toEqual(['unmarked drill bars 1 to 2 of Weir Hands']);
  });

  it('are what the player says of them: while they are played, or of the one just over', () => {
    const during = until(looping(), 0, 2 * barMs);
    const said = having(during.model, press('mark-clean', 2 * barMs + 500));
    expect(said.model.notice).toBe('this pass: clean');
    expect(records(until(said.model, 2 * barMs + 1000, 3 * barMs).effects)).toEqual([
      'clean drill bars 1 to 2 of Weir Hands',
    ]);
    const over = until(looping(), 0, 3 * barMs);
    expect(records(having(over.model, press('mark-miss', 3 * barMs + 500)).effects)).toEqual([
      'miss drill bars 1 to 2 of Weir Hands',
    ]);
  });

  it('have key, tempo, target, time and the changes of the hand in them', () => {
    const { effects } = until(looping(), 0, 4 * barMs);
    const record = effects.find((effect) => effect.kind === 'record');
    if (record?.kind !== 'record') throw new Error('nothing was recorded');
    expect(record.record).toMatchObject({
      key: 'B',
      bpm: 252,
      target: 252,
      drill: 'phrase',
      file: 'weir-hands.yaml',
    });
    expect(record.record.ms).toBeGreaterThan(7900);
    expect(record.record.ms).toBeLessThan(8100);
  });

  it('are none when the pages were only turned, or not played to their end', () => {
    const jumped = having(until(looping(), 0, 2 * barMs).model, press('to-start', 2 * barMs + 100));
    expect(records(until(jumped.model, 2 * barMs + 1000, 4 * barMs).effects)).toEqual([]);
    const paused = having(until(looping(), 0, 2 * barMs).model, state('paused', 9000, 2 * barMs + 500));
    expect(records(paused.effects)).toEqual([]);
  });

  it('that are pending are kept when the program is left, or the chart', () => {
    const over = until(looping(), 0, 3 * barMs).model;
    for (const action of ['leave', 'back'] as const)
      expect(records(having(over, press(action, 3 * barMs)).effects)).toEqual([
        'unmarked drill bars 1 to 2 of Weir Hands',
      ]);
  });
});

/** A pair drill on the stand, made from a chart as its list makes it. */
function pair(): Model {
  const base = standing('weir-hands', 100, 30);
  const { performance } = viewOf(base);
  const view = passView(performance);
  if (!view) throw new Error('nothing is arranged');
  const drill = drillsFor(performance.setup.chart, view.plan, 0, seeded(1)).find(
    ({ kind }) => kind === 'pair',
  );
  if (!drill) throw new Error('no pair');
  return having(base, { kind: 'drill-chosen', drill }).model;
}

/** The drill's one pass is over: eight bars after one of count-in. */
function passOver(model: Model, at: number): ReturnType<typeof having> {
  const begun = having(
    model,
    press('play', at),
    state('running', 0, at),
    spans(model.session.link.freeTick, at),
    clock(at + 10),
    clock(at + barMs + 10),
    clock(at + 8 * barMs),
  );
  return having(begun.model, state('stopped', 50_000, at + 9 * barMs));
}

describe('a drill on a ladder', () => {
  it('starts below its target, and asks after each pass', () => {
    const model = pair();
    expect(onStand(model)).toMatchObject({ passes: 1, bpm: 176, file: '' });
    const over = passOver(model, 0);
    expect(onStand(over.model)?.asking).toBe(9 * barMs + 5000);
    expect(placeOf(over.model)).toBe('asking');
    const shown = standLines(over.model).map(plainText).join('\n');
    expect(shown).toContain('clean?');
    expect(shown).toContain('target 252');
  });

  it.each([
    [100, 30, 2],
    [140, 45, 3],
  ])('asks in large letters across the room too, at %i by %i', (columns, rows, scale) => {
    const far = having(pair(), press('far')).model;
    const large = bigText('CLEAN?', { scale, unicode: true }, wordFont);
    const textOf = (model: Model): string =>
      standLines({ ...model, size: { columns, rows } })
        .map(plainText)
        .join('\n');
    expect(textOf(far)).not.toContain(large[0]);
    const asked = textOf(passOver(far, 0).model);
    for (const line of large) expect(asked).toContain(line.trimEnd());
  });

  it('goes on by itself with what was said: up after two clean passes, down after a miss', () => {
    let model = pair();
    const tempos: number[] = [];
    const said: string[] = [];
    let at = 0;
    for (const mark of ['mark-clean', 'mark-clean', 'mark-miss', 'mark-clean'] as const) {
      tempos.push(onStand(model)?.bpm ?? 0);
      const over = passOver(model, at);
      at += 9 * barMs + 1000;
      const answered = having(over.model, press(mark, at));
      said.push(...records(answered.effects));
      // The next pass is asked for, and begins by itself.
      expect(
        answered.effects.some((effect) => effect.kind === 'tell' && effect.message.kind === 'play'),
      ).toBe(true);
      model = having(answered.model, state('paused', 60_000, at)).model;
    }
    tempos.push(onStand(model)?.bpm ?? 0);
    expect(tempos).toEqual([176, 176, 198, 186, 186]);
    expect(said.map((one) => one.split(' ')[0])).toEqual(['clean', 'clean', 'miss', 'clean']);
    expect(onStand(model)?.ladder?.rungs).toHaveLength(4);
  });

  it('takes silence as unmarked: the pass is kept, the tempo stays', () => {
    const over = passOver(pair(), 0);
    expect(dueAt(over.model)).toBeLessThanOrEqual(9 * barMs + 5000);
    const later = having(over.model, clock(9 * barMs + 5001));
    expect(records(later.effects)).toEqual(['unmarked drill 1 and 5 of Weir Hands']);
    expect(onStand(later.model)?.bpm).toBe(176);
    expect(later.effects.some((effect) => effect.kind === 'tell' && effect.message.kind === 'play')).toBe(
      true,
    );
  });

  it('leads back to its chart', () => {
    const base = having(pair(), press('back')).model;
    expect(onStand(base)?.chart.title).toBe('Weir Hands');
    expect(onStand(base)?.drill).toBeNull();
  });
});

describe('the list of drills', () => {
  it('is made when it is opened, from the chart in the key in which it stands', () => {
    const moved = having(standing('weir-hands'), press('key-up'), press('key-up')).model;
    const listed = having(moved, press('choose-drill', 5)).model;
    const { overlay } = listed;
    if (overlay?.kind !== 'drills') throw new Error('no list');
    expect(overlay.drills.length).toBeGreaterThan(5);
    const keys = overlay.drills
      // Those through all keys in random order begin anywhere.
      .filter(({ kind }) => kind !== 'shuffled')
      .map((drill) => viewOf(having(listed, { kind: 'drill-chosen', drill }).model).performance.setup.key);
    expect(keys.map(keyName)).toEqual(keys.map(() => 'Db'));
    // The same list, however the model moves on.
    expect(having(listed, clock(1000)).model.overlay).toBe(overlay);
  });
});

/** The drill of the chords' order on the stand, as the list makes it. */
function orderOnStand(): Model {
  const listed = having(standing('weir-hands'), press('choose-drill')).model;
  return having(listed, { kind: 'drill-chosen', drill: listedDrill(listed, 'order') }).model;
}

/** A drill of the list that stands open. */
function listedDrill({ overlay }: Model, kind: DrillKind): Drill {
  const drill = overlay?.kind === 'drills' ? overlay.drills.find((one) => one.kind === kind) : undefined;
  if (!drill) throw new Error(`no ${kind}`);
  return drill;
}

describe('a drill that is chosen on another', () => {
  const choose = (model: Model, kind: DrillKind): Model => {
    const listed = having(model, press('choose-drill')).model;
    return having(listed, { kind: 'drill-chosen', drill: listedDrill(listed, kind) }).model;
  };

  it('is made from the chart and starts as one chosen there, in the key in which the drill stands', () => {
    const order = having(choose(standing('weir-hands'), 'order'), press('key-up')).model;
    expect(onStand(order)?.mix.on).toMatchObject({ bass: false });
    const pair = choose(order, 'pair');
    expect(onStand(pair)).toMatchObject({ mix: { on: { bass: true } }, click: { accents: true } });
    expect(viewOf(pair).performance.setup.chart.title).toMatch(/^[\d-]+ and [\d-]+ of Weir Hands$/);
    expect(keyName(viewOf(pair).performance.setup.key)).toBe('C');
  });

  it('is without the click of the one before', () => {
    const steady = choose(standing('weir-hands'), 'steady');
    expect(onStand(steady)?.click.stages).toHaveLength(7);
    expect(onStand(choose(steady, 'pair'))?.click).toEqual({ kind: 'every', accents: true, gaps: null });
  });
});

describe('a drill whose pass is long', () => {
  it('goes up after one clean pass, whatever the settings say of others', () => {
    const listed = having(standing('weir-hands'), press('choose-drill')).model;
    const ladderOf = (kind: DrillKind) =>
      onStand(having(listed, { kind: 'drill-chosen', drill: listedDrill(listed, kind) }).model)?.ladder;
    expect(ladderOf('six-ways')?.rules.inRow).toBe(1);
    expect(ladderOf('pairs')?.rules.inRow).toBe(2);
  });
});

describe('a drill that is for closed shapes', () => {
  it('has no open course, though the player lets them ring elsewhere', () => {
    // 1- of B minor has a shape with an open course that such a player would get.
    const drill = chopDrill(bareChart(keyOf('Bm'), 120), 'chop-shape');
    if (!drill) throw new Error('no drill');
    const model = standing('weir-hands');
    const start = { ...startOf(viewOf(model).performance.setup), plan: { open: true } };
    const opened = having(model, {
      kind: 'chart-opened',
      file: '',
      chart: drill.chart,
      source: '',
      start,
      drill,
    }).model;
    const plan = passView(viewOf(opened).performance)?.plan;
    const shapes = plan?.changes.map(({ fingering }) => fingering?.frets);
    expect(shapes?.flat().some((fret) => typeof fret === 'number' && fret > 0)).toBe(true);
    expect(shapes?.flat()).not.toContain(0);
  });
});

describe('the order of the chords', () => {
  it('waits on each, and goes on with the next beat when the player does', () => {
    const model = running(orderOnStand()).model;
    expect(placeOf(model)).toBe('waiting');
    const waited = until(model, 0, 5 * barMs).model;
    expect(onStand(waited)?.cursor.bar).toBe(0);
    // The shape that comes is shown, and no time until then.
    const seen = standLines(waited).map(plainText).join('\n');
    expect(seen).toMatch(/next +5 +F/);
    expect(seen).not.toMatch(/ in \d+ +▮/);
    // A beat lasts a second here: asked for in the middle of the second beat, it comes with the third.
    const moved = having(waited, press('next-chord', 5 * barMs + 1500));
    expect(onStand(having(moved.model, clock(5 * barMs + 1900)).model)?.cursor.bar).toBe(0);
    const next = having(moved.model, clock(5 * barMs + 2100)).model;
    expect(onStand(next)?.cursor).toMatchObject({ bar: 1, beat: 0 });
    // It waits in its turn.
    const stays = until(next, 6 * barMs, 8 * barMs);
    expect(onStand(stays.model)?.cursor.bar).toBe(1);
    const back = having(stays.model, press('bar-back', 8 * barMs + 500)).model;
    expect(onStand(having(back, clock(8 * barMs + 1100)).model)?.cursor.bar).toBe(0);
    // A chord that goes round is no pass for the diary.
    expect(records([...moved.effects, ...stays.effects])).toEqual([]);
  });

  it('is asked for in the count: the count is heard to its end', () => {
    const model = running(orderOnStand()).model;
    const asked = having(until(model, 0, 1000).model, press('next-chord', 1500)).model;
    expect(onStand(having(asked, clock(3900)).model)?.cursor.counting).toBe(true);
    expect(onStand(having(asked, clock(4100)).model)?.cursor).toMatchObject({ bar: 1, counting: false });
  });
});

describe('a sitting', () => {
  const base = standing('weir-hands', 80, 24);
  const items = (): SittingItem[] => {
    const drill = onStand(pair())?.drill;
    if (!drill) throw new Error('no drill');
    return [
      { kind: 'drill', drill, minutes: 1, why: 'it is due', task: null },
      { kind: 'rest', seconds: 30, says: 'let the hand hang' },
      { kind: 'drill', drill, minutes: 1, why: 'again', task: null },
    ];
  };
  const begin = (): Model => {
    return having(base, {
      kind: 'sitting',
      items: items(),
      start: { ...startOf(viewOf(base).performance.setup), instrument: mandolin },
      at: 0,
    }).model;
  };
  const text = (model: Model): string => {
    const sitting = sittingOf(model);
    return sitting ? sittingLines(model, sitting).map(plainText).join('\n') : '';
  };

  it('says what its large figure counts, which could be a chord', () => {
    const card = begin();
    const above = (shown: string): string => /([^\n]*)\n +[█▀▄]/.exec(shown)?.[1]?.trim() ?? '';
    expect(above(text(card))).toBe('Seconds until it begins:');
    const playing = having(begin(), press('go-on', 0)).model;
    const going = having(playing, state('running', 0, 0), clock(61_000)).model;
    const over = having(performing(going, { passBegan: 50_000 }), state('stopped', 9000, 61_500)).model;
    const rests = having(over, press('mark-clean', 62_000), clock(62_500)).model;
    expect(text(rests)).toContain('let the hand hang');
    expect(above(text(rests))).toBe('Seconds left:');
    const small = { ...card, size: { columns: 60, rows: 18 } };
    expect(text(small)).not.toMatch(/[█▀▄]/);
    expect(text(small)).toMatch(/Seconds until it begins: 8\n/);
  });

  it('shows a card with the reason and a caution, and begins by itself', () => {
    const card = begin();
    expect(placeOf(card)).toBe('sitting');
    expect(text(card)).toContain('Why: it is due.');
    expect(text(card)).toContain('clinician');
    expect(sittingOf(having(card, clock(7000)).model)?.phase).toBe('card');
    const begun = having(card, clock(8001));
    expect(sittingOf(begun.model)?.phase).toBe('playing');
    expect(begun.effects.some((effect) => effect.kind === 'tell' && effect.message.kind === 'play')).toBe(
      true,
    );
    expect(sittingOf(having(card, press('go-on', 100)).model)?.phase).toBe('playing');
  });

  it('goes on after the pass in which its time is over, rests, and tells at the end what came of it', () => {
    let model = having(begin(), press('go-on', 0)).model;
    model = having(model, state('running', 0, 0), clock(61_000)).model;
    expect(sittingOf(model)?.phase).toBe('playing');
    // The pass in which its time is over is asked about; with the answer the next item comes, and nothing plays after it.
    const over = having(performing(model, { passBegan: 50_000 }), state('stopped', 9000, 61_500));
    expect(onStand(over.model)?.asking).toBe(66_500);
    const answered = having(over.model, press('mark-clean', 62_000));
    expect(answered.effects.some((effect) => effect.kind === 'tell' && effect.message.kind === 'play')).toBe(
      false,
    );
    expect(sittingOf(having(over.model, clock(66_501)).model)?.phase).toBe('resting');
    const rests = having(answered.model, clock(62_500)).model;
    expect(onStand(rests)).toMatchObject({ eager: false, asking: null });
    expect(records(having(rests, clock(70_000), clock(80_000)).effects)).toEqual([]);
    expect(sittingOf(rests)).toMatchObject({ phase: 'resting', at: 1 });
    expect(text(rests)).toContain('let the hand hang');
    const second = having(rests, clock(62_000 + 30_001)).model;
    expect(sittingOf(second)).toMatchObject({ phase: 'card', at: 2 });
    const last = having(second, press('go-on', 100_000), clock(161_000)).model;
    expect(sittingOf(last)?.phase).toBe('done');
    expect(text(last)).toContain('1 and 5 of Weir Hands');
    expect(having(last, press('go-on', 162_000)).effects).toEqual([{ kind: 'leave' }]);
  });

  it('goes on with a drill that comes again at the tempo that it had reached', () => {
    let model = having(begin(), press('go-on', 0)).model;
    const first = viewOf(model).performance.setup.bpm;
    model = having(model, state('running', 0, 0), clock(61_000)).model;
    const over = having(performing(model, { passBegan: 50_000 }), state('stopped', 9000, 61_500)).model;
    const rests = having(over, press('mark-miss', 62_000)).model;
    const again = having(rests, clock(62_000 + 30_001), press('go-on', 100_000)).model;
    expect(sittingOf(again)).toMatchObject({ phase: 'playing', at: 2 });
    // A miss leads down by 12 %: there it begins, and not where it began before.
    expect(viewOf(again).performance.setup.bpm).toBe(Math.round(first / 1.12));
  });

  it('plays a whole song to its end, however late it is, and goes on when it is over', () => {
    const { chart } = viewOf(base).performance.setup;
    const song = songDrill(chart, 1, 'The whole song.', 1);
    expect(song.start.passes).toBe(1);
    const start = { ...startOf(viewOf(base).performance.setup), instrument: mandolin };
    const items: SittingItem[] = [{ kind: 'drill', drill: song, minutes: 0.5, why: 'whole', task: null }];
    const begun = having(
      base,
      { kind: 'sitting', items, start, at: 0 },
      press('go-on', 0),
      state('running', 0, 0),
    );
    const { setup } = viewOf(begun.model).performance;
    expect([setup.passes, setup.bpm]).toEqual([1, chart.tempo.bpm]);
    // Its half minute is long over, and it is still played.
    const late = having(begun.model, clock(55_000)).model;
    expect(sittingOf(late)?.phase).toBe('playing');
    const ended = having(performing(late, { passBegan: 1000 }), state('stopped', 9000, 58_000));
    expect(sittingOf(ended.model)?.phase).toBe('done');
    expect(records(ended.effects)).toEqual([`unmarked drill ${chart.title}`]);
  });

  it('can be ended, which silences it', () => {
    const playing = having(begin(), press('go-on', 0), state('running', 0, 0)).model;
    const ended = having(playing, press('back', 1000));
    expect(sittingOf(ended.model)).toBeNull();
    expect(ended.effects).toContainEqual({ kind: 'tell', message: { kind: 'pause' } });
  });
});

describe('late calls', () => {
  it('show a number only so many beats before it is due', () => {
    const model = having(standing('weir-hands', 100, 30), press('late-calls')).model;
    expect(onStand(model)?.sight.late).toBe(4);
    const shown = standLines(model).map(plainText).join('\n');
    expect(shown).toMatch(/kickoff +1 +1 +· +·/);
    expect(shown).not.toContain('next   5');
    const peeked = standLines(having(model, press('peek')).model)
      .map(plainText)
      .join('\n');
    expect(peeked).toMatch(/kickoff +1 +1 +5▴ +1/);
    const steps = ['late-calls', 'late-calls', 'late-calls'] as const;
    expect(onStand(having(model, ...steps.map((one) => press(one))).model)?.sight.late).toBeNull();
  });
});

describe('an arrangement that comes late', () => {
  it('for a chart that is no longer on the stand is not taken for the next one’s', () => {
    const base = standing('weir-hands');
    const { performance } = viewOf(base);
    const { setup } = viewOf(standing('third-lantern-down')).performance;
    if (!performance.arrangement) throw new Error('nothing is arranged');
    // Opened, and asked for, but the answer that comes is the one for the chart before.
    const opened = update(base, {
      kind: 'chart-opened',
      file: 'other.yaml',
      chart: setup.chart,
      source: '',
      start: startOf(setup),
    }).model;
    const answered = update(opened, {
      kind: 'arranged',
      id: performance.wanted,
      arrangement: performance.arrangement,
      at: 0,
    }).model;
    expect(onStand(answered)?.arrangement).toBeNull();
  });
});
