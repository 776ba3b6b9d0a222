import { describe, expect, it } from 'vitest';
import { type Pedal, parsePedal } from '../../../src/playback/pedals.js';
import { cardLines } from '../../../src/ui/draw/card.js';
import { type Line, lineWidth, plainText } from '../../../src/ui/draw/line.js';
import { orderLines, requestLines } from '../../../src/ui/draw/order.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { placeOf } from '../../../src/ui/keys/place.js';
import { firstModel, type Model, type Updated, usualScreen } from '../../../src/ui/state/model.js';
import type { SetMode, StandSong } from '../../../src/ui/state/modes.js';
import { dueAt } from '../../../src/ui/state/schedule.js';
import { update } from '../../../src/ui/update/update.js';
import { Evening, songsOf } from '../evening.js';
import { having, onStand, setOf } from '../model.js';

const three = [
  { name: 'weir-hands', key: 'B', notes: 'capo check' },
  { name: 'tollhouse-kettle' },
  { name: 'copperwort-lane', breakBefore: 15 },
] as const;

function opened(
  songs: readonly StandSong[],
  faults: readonly string[] = [],
  columns = 100,
  rows = 30,
): Model {
  return having(
    firstModel({ colour: false, unicode: true }, columns, rows),
    {
      kind: 'player',
      at: 0,
      message: { kind: 'opened', out: { kind: 'none' }, label: 'silent', lead: 0, refused: [] },
    },
    {
      kind: 'set-opened',
      file: '/sets/one.yaml',
      title: 'Gathering',
      songs,
      faults,
      from: 0,
      waits: false,
      broken: null,
      notice: '',
      at: 0,
    },
  ).model;
}

function text(model: Model): string {
  const set = setOf(model);
  if (!set) throw new Error('no set');
  const { overlay } = model;
  const lines =
    overlay?.kind === 'order'
      ? orderLines(model, set, overlay)
      : overlay?.kind === 'requests'
        ? requestLines(model, overlay)
        : set.run.phase === 'song'
          ? standLines(model)
          : cardLines(model, set);
  return lines.map(plainText).join('\n');
}

const press = (model: Model, action: Action, at = 0, foot?: string): Updated =>
  update(model, { kind: 'action', action, at, ...(foot === undefined ? {} : { foot }) });

describe('the lists of a set', () => {
  const marked = (lines: readonly Line[]): string =>
    lines
      .flat()
      .filter(({ style }) => style === 'here')
      .map((one) => one.text.trim())
      .join('|');

  it('mark the title of what is chosen, and not its key, as the list of charts does', () => {
    const model = press(opened(songsOf(three)), 'order').model;
    const set = setOf(model);
    const { overlay } = model;
    if (!set || overlay?.kind !== 'order') throw new Error('no running order');
    expect(marked(orderLines(model, set, overlay))).toMatch(/^\S +1 +Weir Hands$/);
    const item = {
      file: 'a.yaml',
      kind: 'chart',
      title: 'Weir Hands',
      detail: 'B 252',
      wishes: { key: null, bpm: null },
    } as const;
    const library = { title: 'Charts', items: [item], index: 0, from: null, query: '' };
    const lines = requestLines(model, { kind: 'requests', library, order: overlay });
    expect(marked(lines)).toBe('Weir Hands');
    expect(lines.map(plainText).join('\n')).toContain('B 252');
  });
});

describe('the card of a song', () => {
  it('says title, key, family, first shape, tempo, who begins, notes, when, and what comes after it', () => {
    const shown = text(opened(songsOf(three)));
    for (const told of [
      'Gathering',
      '1 of 3   18:37 to go',
      'Weir Hands',
      'four-finger family, 1 at',
      'first 1    B',
      '252 ♩  4/4',
      'banjo kicks it off',
      'capo check',
      'begins in',
      'then: The Tollhouse Kettle in D, after 5 s',
    ])
      expect(shown).toContain(told);
  });

  it.each([
    [60, 18],
    [78, 22],
    [80, 24],
    [100, 30],
    [240, 70],
  ])('at %ix%i fits, and keeps title, key, tempo, when and after in sight', (columns, rows) => {
    const model = opened(songsOf(three), [], columns, rows);
    const lines = cardLines(model, setOf(model) as SetMode);
    expect(lines).toHaveLength(rows - 1);
    for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(columns);
    const shown = lines.map(plainText).join('\n');
    for (const told of ['Weir Hands', '252', 'begins in', 'then: The Tollhouse Kettle'])
      expect(shown).toContain(told);
  });

  it('counts the gap down, and its pulse goes with the tempo', () => {
    const model = opened(songsOf(three, 9));
    const beat = 60_000 / 252;
    const lights = [0, 1, 2, 3, 4].map((count) => {
      const { model: now } = update(model, { kind: 'clock', at: count * beat + 1 });
      return /[●·] [●·] [●·] [●·]/.exec(text(now))?.[0];
    });
    expect(lights).toEqual(['● · · ·', '· ● · ·', '· · ● ·', '· · · ●', '● · · ·']);
  });

  it('sends programs, and the tempo as pulses, before anything is counted', () => {
    const [first] = songsOf([{ name: 'weir-hands', program: { number: 12, channel: 6 } }]);
    const { effects } = update(firstModel({ colour: false, unicode: true }, 100, 30), {
      kind: 'set-opened',
      file: '',
      title: '',
      songs: first ? [first] : [],
      faults: [],
      from: 0,
      waits: true,
      broken: null,
      notice: '',
      at: 0,
    });
    const told = effects.flatMap((effect) => (effect.kind === 'tell' ? [effect.message] : []));
    const sent = told.find((message) => message.kind === 'send');
    expect(sent).toMatchObject({ messages: expect.arrayContaining([0xc5 | (11 << 8)]) });
    // 24 pulses a quarter (MIDI 1.0): at 252 quarters a minute every 9.92 ms.
    expect(told.find((message) => message.kind === 'idle')).toEqual({
      kind: 'idle',
      msPerPulse: 60_000 / 252 / 24,
    });
  });

  it('waits while the courses are tuned, and while a list is open', () => {
    const tuning = press(opened(songsOf(three)), 'tune').model;
    expect(setOf(tuning)?.run.until).toBeNull();
    expect(text(tuning)).toContain('tuning; u stops it');
    expect(setOf(press(opened(songsOf(three)), 'order').model)?.run.until).toBeNull();
    expect(setOf(press(opened(songsOf(three)), 'choose-pedals').model)?.run.until).toBeNull();
  });
});

describe('a foot switch that sends keys', () => {
  it('is pressed once while it is held down and repeats itself', () => {
    let model = opened(songsOf(three));
    const phases: string[] = [];
    // Down at 1 s; its first repeat comes half a second later, then thirty a second.
    for (const at of [1000, 1500, 1533, 1566, 1600, 2200]) {
      const { model: next } = press(model, placeOf(model) === 'song' ? 'play' : 'go-on', at, 'space');
      phases.push(`${setOf(next)?.run.phase} ${onStand(next)?.eager ?? ''}`);
      model = next;
    }
    expect(new Set(phases.map((phase) => phase.split(' ')[0]))).toEqual(new Set(['song']));
    const { effects } = press(model, 'play', 2233, 'space');
    expect(effects).toEqual([]);
  });

  it('may be pressed again when it was let go', () => {
    const evening = new Evening(songsOf(three));
    evening.wait(7);
    const { model } = evening;
    expect(placeOf(model)).toBe('song');
    const first = press(model, 'extend', 10_000, 'pagedown').model;
    const held = press(first, 'extend', 10_500, 'pagedown').model;
    expect(onStand(held)?.jump?.ticks).toHaveLength(1);
    const again = press(held, 'extend', 11_300, 'pagedown').model;
    expect(onStand(again)?.jump?.ticks).toHaveLength(2);
  });
});

describe('MIDI pedals', () => {
  const pedal = (use: Pedal['use'], sign: string): Pedal => {
    const read = parsePedal(sign);
    if (!read.ok) throw new Error(read.fault.message);
    return { use, ...read.value };
  };

  it('begin, pause and go on; long presses leave for the next card', () => {
    const evening = new Evening(songsOf(three, 'wait'));
    const known = [pedal('play', 'control 64'), pedal('next', 'control 64, long')];
    Object.assign(evening.model.pedals, { known });
    const step = (seconds: number): void => {
      evening.pedal(0xb0, 64, 127);
      evening.wait(seconds);
      evening.pedal(0xb0, 64, 0);
      evening.wait(0.5);
    };
    step(0.1);
    expect(evening.model.session.link.state).toBe('running');
    step(0.1);
    expect(evening.model.session.link.state).toBe('paused');
    step(0.1);
    expect(evening.model.session.link.state).toBe('running');
    step(0.8);
    expect(evening.run).toMatchObject({ phase: 'card', at: 1 });
    expect(evening.output.hanging()).toEqual([]);
  });

  it('are learned by pressing: short when let go, long when held, a program at once; and forgotten', () => {
    const message = (data1: number, data2: number, at: number, status = 0xb0) =>
      ({ kind: 'player', at, message: { kind: 'pedal', status, data1, data2, time: at } }) as const;
    const learn = (use: Pedal['use']) => ({ kind: 'pedal-chosen', use }) as const;
    const short = having(opened(songsOf(three)), learn('extend'), message(64, 127, 0), message(64, 0, 200));
    expect(short.model.pedals.known).toEqual([pedal('extend', 'control 64, channel 1')]);
    expect(short.model.notice).toContain('control 64, channel 1: once more');
    const long = having(short.model, learn('ending'), message(64, 127, 1000), message(64, 0, 1900));
    expect(long.model.pedals.known).toEqual([
      pedal('extend', 'control 64, channel 1'),
      pedal('ending', 'control 64, channel 1, long'),
    ]);
    const program = having(long.model, learn('later'), message(4, 0, 3000, 0xc2));
    expect(program.model.pedals.known.at(-1)).toEqual(pedal('later', 'program 5, channel 3'));
    const kept = program.effects.find((effect) => effect.kind === 'keep-pedals');
    expect(kept).toMatchObject({ pedals: program.model.pedals.known });
    const gone = having(program.model, learn('later'), learn('later'));
    expect(gone.model.pedals.known.map(({ use }) => use)).toEqual(['extend', 'ending']);
    // What was learned does nothing while it is learned.
    expect(setOf(short.model)?.run.phase).toBe('card');
  });

  it('come from the settings', () => {
    const known = [pedal('play', 'note 60')];
    const model = firstModel({ colour: false, unicode: true }, 80, 24, { ...usualScreen, pedals: known });
    expect(model.pedals.known).toEqual(known);
  });
});

describe('an external clock', () => {
  it('begins the song whose card is shown, and nothing else does', () => {
    const led = having(opened(songsOf(three, 2)), {
      kind: 'player',
      at: 100,
      message: { kind: 'listening', label: 'a drummer', reason: null },
    }).model;
    const later = having(led, { kind: 'clock', at: 9000 }).model;
    expect(setOf(later)?.run.phase).toBe('card');
    // Nothing is due in the past, or the clock would be looked at without end.
    expect(dueAt(later)).toBeGreaterThan(9000);
    expect(press(later, 'go-on', 9100).model.notice).toBe('the external clock starts the music');
    const begun = having(later, {
      kind: 'player',
      at: 9500,
      message: { kind: 'state', state: 'running', tick: 0 },
    });
    expect(setOf(begun.model)?.run).toMatchObject({ phase: 'song', at: 0 });
    const over = having(begun.model, {
      kind: 'player',
      at: 60_000,
      message: { kind: 'state', state: 'stopped', tick: 9 },
    });
    expect(setOf(over.model)?.run).toMatchObject({ phase: 'card', at: 1 });
    expect(over.effects.find((effect) => effect.kind === 'record')).toMatchObject({
      record: { title: 'Weir Hands' },
    });
  });
});

describe('leaving a set', () => {
  it('wants to be said twice, and not too far apart', () => {
    const model = opened(songsOf(three));
    const once = press(model, 'back', 1000);
    expect(once.effects).toEqual([]);
    expect(once.model.notice).toBe('Esc again leaves the set');
    expect(setOf(press(once.model, 'back', 9000).model)).not.toBeNull();
    const twice = press(once.model, 'back', 2000);
    expect(setOf(twice.model)).toBeNull();
    expect(twice.effects.at(-1)).toEqual({ kind: 'leave' });
  });

  it('keeps what was played of the song that is left', () => {
    const evening = new Evening(songsOf(three));
    evening.wait(20);
    const left = press(evening.model, 'leave', 30_000);
    expect(left.effects.find((effect) => effect.kind === 'record')).toMatchObject({
      record: { title: 'Weir Hands', set: 'Evening' },
    });
  });
});

describe('faults of a set', () => {
  it('are told before its first card, and what is faulty is passed over', () => {
    const [first, second, third] = songsOf(three);
    if (!first || !second || !third) throw new Error('no songs');
    const bad: StandSong = { ...first, problem: '2:6: no key', chart: null, start: null };
    const model = opened([bad, second, third], ['song 1, Weir Hands: 2:6: no key']);
    expect(text(model)).toContain('song 1, Weir Hands: 2:6: no key');
    expect(text(model)).toContain('2 of 3 songs can be played. Space goes on without the others');
    const on = press(model, 'go-on', 1000).model;
    expect(text(on)).toContain('The Tollhouse Kettle');
    expect(text(press(on, 'order').model)).toContain('faulty: 2:6: no key');
  });
});

describe('choices', () => {
  it('that are made on a job are not kept for the chart', () => {
    const evening = new Evening(songsOf(three));
    evening.wait(8);
    evening.press('faster');
    evening.press('key-up');
    expect(
      evening.effects.filter(
        ({ effect }) => effect.kind === 'keep' && Object.keys(effect.choices).length > 0,
      ),
    ).toEqual([]);
  });
});
