import { describe, expect, it } from 'vitest';
import { plainText } from '../../../src/ui/draw/line.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import { chopsText } from '../../../src/ui/state/chops.js';
import { firstModel, type Model, type Updated } from '../../../src/ui/state/model.js';
import { songsOf } from '../evening.js';
import { having, mandolin, setOf, sittingOf, standing, usualStart } from '../model.js';

/** A model that listens. */
function listening(model: Model): Model {
  return having(
    model,
    { kind: 'action', action: 'listen', at: 0 },
    { kind: 'ear', at: 0, message: { kind: 'opened', name: 'a microphone', rate: 48_000, by: 'arecord' } },
  ).model;
}

/** Four chops so many ms apart, the last heard at 10 000, told 50 ms later. */
const chopped = (beat: number) =>
  ({
    kind: 'chopped',
    chops: { beat, last: 10_000, next: 10_000 + beat },
    late: 40,
    at: 10_050,
  }) as const;

const plays = ({ effects }: Updated) =>
  effects.flatMap((one) => (one.kind === 'tell' && one.message.kind === 'play' ? [one.message] : []));

const chart = listening(standing('weir-hands', 100, 30));
/** A beat of the chart's own tempo, ms. */
const beat = 60_000 / 252;

describe('chops on the stand', () => {
  it('begin the music on the beat that follows, and their tempo is said', () => {
    const begun = having(chart, chopped(250));
    expect(plays(begun)).toMatchObject([{ at: 10_210 }]);
    expect(begun.model.session.performance?.setup.bpm).toBe(240);
    expect(begun.model.notice).toBe('240, as chopped');
  });

  it('are told of while they begin something, and no longer', () => {
    const foot = (model: Model): string => standLines(model).map(plainText).join('\n');
    expect(foot(chart)).toContain('Space or four chops');
    const begun = having(chart, chopped(250), {
      kind: 'player',
      at: 10_060,
      message: { kind: 'state', state: 'running', tick: 0 },
    });
    expect(foot(begun.model)).not.toContain('four chops');
    expect(foot(standing('weir-hands', 100, 30))).not.toContain('four chops');
    expect(chopsText(listening(standing('copperwort-lane')))).toBe('six chops');
  });

  it.each<[string, (model: Model) => Model]>([
    ['nothing listens', () => standing('weir-hands')],
    [
      'nothing comes from the microphone',
      (model) =>
        having(model, {
          kind: 'ear',
          at: 0,
          message: { kind: 'stalled', sentence: 'no sound comes any more' },
        }).model,
    ],
    [
      'a list stands in front',
      (model) => having(model, { kind: 'action', action: 'choose-key', at: 0 }).model,
    ],
    ['it is tuned', (model) => having(model, { kind: 'action', action: 'tune', at: 0 }).model],
    [
      'music plays',
      (model) =>
        having(model, { kind: 'player', at: 0, message: { kind: 'state', state: 'running', tick: 0 } }).model,
    ],
    ['no chart is there', (model) => ({ ...model, mode: { kind: 'library' } })],
  ])('begin nothing while %s', (_, made) => {
    const model = made(chart);
    expect(plays(having(model, chopped(250)))).toEqual([]);
    expect(having(model, chopped(250)).model.notice).toBe(model.notice);
  });
});

describe('chops in practice', () => {
  const drills = having(chart, { kind: 'action', action: 'choose-drill', at: 0 }).model.overlay;
  const climbing = drills?.kind === 'drills' ? drills.drills.find(({ start }) => start.ladder) : undefined;
  if (!climbing) throw new Error('there is no ladder');

  it('begin a ladder at the tempo that it prescribes, with its count-in', () => {
    const { model } = having(chart, { kind: 'drill-chosen', drill: climbing });
    const set = model.session.performance?.setup.bpm ?? 0;
    const own = (60_000 / set) * 1.1;
    const begun = having(model, chopped(own));
    expect(plays(begun)).toMatchObject([{ at: 10_000 + own - 40 }]);
    expect(begun.model.session.performance).toMatchObject({
      setup: { bpm: set },
      cursor: { counting: true },
    });
  });

  it('begin what a sitting’s card shows', () => {
    const start = {
      ...usualStart,
      key: climbing.chart.key,
      bpm: 100,
      countIn: 1,
      passes: null,
      range: null,
      from: 0,
      instrument: mandolin,
      plan: {},
    };
    const items = [{ kind: 'drill', drill: climbing, minutes: 3, why: 'it is due', task: null }] as never;
    const { model } = having(chart, { kind: 'sitting', items, start, at: 9000 });
    expect(chopsText(model)).toBe('four chops');
    const begun = having(model, chopped(500));
    expect(sittingOf(begun.model)?.phase).toBe('playing');
    expect(plays(begun)).toHaveLength(1);
    // After it nothing else is begun: it plays.
  });
});

describe('chops in a set', () => {
  const songs = songsOf([{ name: 'weir-hands' }, { name: 'copperwort-lane' }]);
  const opened = having(
    firstModel({ colour: false, unicode: true }, 100, 30),
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
      faults: [],
      from: 0,
      waits: true,
      broken: null,
      notice: '',
      at: 0,
    },
  ).model;
  const card = listening(opened);

  it('begin the song of the card, at their tempo, without its count-in', () => {
    const begun = having(card, chopped(beat * 1.05));
    expect(setOf(begun.model)?.run.phase).toBe('song');
    expect(plays(begun)).toMatchObject([{ at: 10_000 + beat * 1.05 - 40 }]);
    expect(begun.model.session.performance).toMatchObject({ setup: { bpm: 240 }, eager: false });
  });

  it('leave the card where they are of another tempo', () => {
    const begun = having(card, chopped(900));
    expect(setOf(begun.model)?.run.phase).toBe('card');
    expect(plays(begun)).toEqual([]);
    expect(begun.model.notice).toContain('too far from the tempo 252');
  });

  it('take up a song that was paused', () => {
    const { model } = having(
      card,
      chopped(beat),
      { kind: 'player', at: 10_060, message: { kind: 'state', state: 'running', tick: 0 } },
      { kind: 'player', at: 12_000, message: { kind: 'state', state: 'paused', tick: 5000 } },
    );
    expect(chopsText(model)).toBe('four chops');
    expect(plays(having(model, chopped(beat)))).toHaveLength(1);
  });
});
