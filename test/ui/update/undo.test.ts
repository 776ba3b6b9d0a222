import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { keyName } from '../../../src/theory/key.js';
import type { Action } from '../../../src/ui/keys/actions.js';
import { actionFor } from '../../../src/ui/keys/bindings.js';
import { chosenNow, mostSteps, runMs } from '../../../src/ui/state/history.js';
import type { Message } from '../../../src/ui/state/messages.js';
import type { Model } from '../../../src/ui/state/model.js';
import { plainSong } from '../../band/songs.js';
import { BandStage } from '../band-stage.js';
import { Evening, songsOf } from '../evening.js';
import { having, keyOf, onStand, running, standing, standingText, viewOf } from '../model.js';

const small = `title: Lime Kiln Step
key: A
tempo: 100
form: V, C
sections:
  V: |
    1 4 5 1
  C: |
    4 4 1 5
`;

const at = (action: Action, time = 0): Message => ({ kind: 'action', action, at: time });
const undo = at('take-back');
const chosen = (model: Model) => {
  const { performance, stand } = viewOf(model);
  return { ...chosenNow(performance.setup, stand.sight), key: keyName(performance.setup.key) };
};
/** Keys far enough apart that none is part of the run before. */
const pressed = (model: Model, ...actions: Action[]) =>
  having(model, ...actions.map((action, index) => at(action, (index + 1) * 2 * runMs)));

describe('U', () => {
  it.each<[string, readonly Message[], string]>([
    ['the key', [{ kind: 'key-chosen', key: keyOf('C') }], 'key back to A, from C'],
    ['the key by half steps', [at('key-up'), at('key-up', 300)], 'key back to A, from B'],
    ['a run of faster', [at('faster'), at('faster', 200), at('faster', 400)], 'tempo back to 100, from 115'],
    ['a share', [at('share-50')], 'tempo back to 100, from 50'],
    ['taps', [0, 500, 1000, 1500].map((time) => at('tap', time)), 'tempo back to 100, from 120'],
    ['a loop', [at('loop-from')], 'no loop again'],
    ['its end', [at('loop-from'), at('loop-to')], 'loop back to bars 1 to 8'],
    ['count-in', [at('count-in')], 'count-in back to one bar'],
    [
      'a click',
      [{ kind: 'click-chosen', click: { kind: 'off', accents: true, gaps: null }, at: 0 }],
      'click back to: every beat, the first accented',
    ],
    ['the hand', [at('hide-hand')], 'the hand is shown again'],
    ['a layout', [at('layout')], 'back to: as it is played, four bars a line'],
    ['names', [at('names')], 'back to: numbers and chords'],
    ['a voice', [at('choose-voices'), at('voice-toggle'), at('back')], 'click on again'],
    ['its level', [at('choose-voices'), at('voice-softer'), at('voice-softer')], 'click back to 100 %'],
  ])('takes back %s, and says so', (_, messages, says) => {
    const before = standingText(small);
    const changed = having(before, ...messages).model;
    expect(chosen(changed)).not.toEqual(chosen(before));
    const back = having(changed, undo).model;
    expect(back.notice.split(':').slice(0, says.split(':').length).join(':')).toBe(says);
    if (says !== 'loop back to bars 1 to 8') expect(chosen(back)).toEqual(chosen(before));
  });

  it('takes back a shape, and leaves the rest of the hand to the plan', () => {
    const before = standing('weir-hands');
    const { arrangement } = viewOf(before).performance;
    const other = arrangement?.plan.changes[0]?.alternatives[0];
    if (!other) throw new Error('there is no other shape');
    const pick = {
      section: '0',
      chord: 'B',
      frets: other.fingering.frets.map((fret) => fret ?? 'x').join('-'),
      fingers: '',
    };
    const picked = having(before, { kind: 'shape-chosen', pick }).model;
    expect(onStand(picked)?.picks).toHaveLength(1);
    const back = having(picked, undo).model;
    expect(back.notice).toBe(`${onStand(picked)?.picks[0]?.chord} back to the planned shape`);
    expect(onStand(back)?.picks).toEqual([]);
  });

  it('says of a key that is back how the hand goes there', () => {
    const moved = having(standing('weir-hands'), { kind: 'key-chosen', key: keyOf('A') }, undo).model;
    expect(moved.notice).toBe(
      'key back to B, from A: the four-finger family stays, 2 frets toward the bridge',
    );
  });

  it('goes on farther back with every press, and says when there is nothing more', () => {
    const before = standingText(small);
    const far = pressed(before, 'faster', 'key-up', 'hide-hand', 'loop-from').model;
    const notices: string[] = [];
    let model = far;
    for (let count = 0; count < 5; count += 1) {
      model = having(model, undo).model;
      notices.push(model.notice.split(':')[0] ?? '');
    }
    expect(notices).toEqual([
      'no loop again',
      'the hand is shown again',
      'key back to A, from Bb',
      'tempo back to 100, from 105',
      'nothing was chosen here that could be taken back',
    ]);
    expect(chosen(model)).toEqual(chosen(before));
  });

  it('takes the same key again for part of one step only within the slowest taps', () => {
    const soon = having(standingText(small), at('faster', 0), at('faster', runMs), undo).model;
    expect(onStand(soon)?.bpm).toBe(100);
    const late = having(standingText(small), at('faster', 0), at('faster', runMs + 1), undo).model;
    expect(onStand(late)?.bpm).toBe(105);
  });

  it('counts a key and its opposite that come to nothing as no step', () => {
    const model = pressed(standingText(small), 'key-up').model;
    const nothing = having(model, at('hide-hand', 1e6), at('hide-hand', 1e6 + 100), undo).model;
    expect(nothing.notice).toMatch(/^key back to A/);
  });

  it(`knows ${mostSteps} steps`, () => {
    const many = Array.from({ length: mostSteps + 5 }, () => 'layout' as const);
    const model = pressed(standingText(small), ...many).model;
    const backs = having(model, ...Array.from({ length: mostSteps + 5 }, () => undo)).model;
    // Three layouts take turns: five of them are not taken back.
    expect(onStand(backs)?.sight.layout).toBe('written');
    expect(backs.notice).toBe('nothing was chosen here that could be taken back');
  });

  it('is kept like a choice', () => {
    const { effects } = having(pressed(standingText(small), 'faster').model, undo);
    expect(effects.filter(({ kind }) => kind === 'keep')).toEqual([
      { kind: 'keep', file: 'own.yaml', choices: { bpm: 100 }, played: false },
    ]);
  });

  it('is a key where choices are made: on the stand, in a set, among the voices, behind a leader', () => {
    for (const place of ['stand', 'card', 'song', 'voices', 'follow', 'asking'] as const)
      expect(actionFor(place, 'U'), place).toBe('take-back');
    for (const place of ['line', 'dictation', 'library', 'transcribe'] as const)
      expect(actionFor(place, 'U'), place).toBeNull();
  });
});

describe('U while the music plays', () => {
  const bar = 4000;
  const playing = () => having(running(standingText(small)).model, { kind: 'clock', at: 2.4 * bar }).model;

  it('has the music go on at its place, with what was before', () => {
    const faster = having(playing(), at('faster', 2.4 * bar)).model;
    const { model, effects } = having(faster, at('take-back', 2.5 * bar));
    const replaced = effects.find((effect) => effect.kind === 'replace');
    if (replaced?.kind !== 'replace') throw new Error('nothing was replaced');
    expect(replaced.segments[0]?.jump).toBe(false);
    expect(effects.some((effect) => effect.kind === 'tell' && effect.message.kind === 'pause')).toBe(false);
    expect(onStand(model)?.cursor).toEqual(onStand(faster)?.cursor);
  });

  it('goes into a loop that lies elsewhere at the end of the bar', () => {
    const looped = pressed(standingText(small), 'bar-on', 'loop-to', 'loop-off').model;
    expect(onStand(looped)?.range).toBeNull();
    const far = having(looped, at('to-end', 1e6)).model;
    expect(onStand(far)?.cursor.bar).toBe(4);
    const runs = having(running(far).model, { kind: 'clock', at: 1.5 * bar }).model;
    expect(onStand(runs)?.cursor.bar).toBe(4);
    const { model, effects } = having(runs, at('take-back', 1.5 * bar));
    expect(onStand(model)?.range).toEqual({ from: 0, to: 2 });
    expect(onStand(model)?.cursor.bar).toBe(4);
    const replaced = effects.findLast((effect) => effect.kind === 'replace');
    expect(replaced?.kind === 'replace' && replaced.tick).toBe(2 * 3840);
    const later = (time: number) => onStand(having(model, { kind: 'clock', at: time }).model)?.cursor.bar;
    expect([1.9, 2.1, 3.1, 4.1].map((bars) => later(bars * bar))).toEqual([4, 0, 1, 0]);
  });
});

describe('what U leaves alone', () => {
  it('what moved the music', () => {
    const moved = pressed(standingText(small), 'faster', 'bar-on', 'section-on').model;
    const back = having(moved, undo).model;
    expect(back.notice).toBe('tempo back to 100, from 105');
    expect(onStand(back)?.cursor.bar).toBe(4);
  });

  it('what was written; that has a key of its own, which is named', () => {
    const opened = having(standingText(small), at('edit-bar')).model;
    const written = having(opened, { kind: 'typed', text: '^7' }, at('line-done'), {
      kind: 'action',
      action: 'take-back',
      at: 0,
    }).model;
    expect(written.notice).toBe('nothing else was chosen here; r takes back what was written');
    expect(onStand(written)?.earlier).toHaveLength(1);
  });

  it('a loop of bars that no longer exist', () => {
    const looped = pressed(standingText(small), 'faster', 'to-end', 'loop-from', 'loop-off').model;
    const shorter = viewOf(looped).performance.setup.chart;
    const [only] = shorter.form;
    if (!only) throw new Error('there is no form');
    const chart = { ...shorter, form: [only] };
    const cut: Model = {
      ...looped,
      session: {
        ...looped.session,
        performance: {
          ...viewOf(looped).performance,
          setup: { ...viewOf(looped).performance.setup, chart },
        },
      },
    };
    const settled = having(cut, at('bar-back', 1e6)).model;
    const back = having(settled, undo, undo).model;
    expect(onStand(back)?.range).toBeNull();
    expect(onStand(back)?.bpm).toBe(100);
  });

  it('another song', () => {
    const one = pressed(standingText(small), 'faster').model;
    const { performance } = viewOf(one);
    const { chart, instrument, sound, mix, click, patterns } = performance.setup;
    const start = {
      ...{ key: chart.key, bpm: 60, countIn: 1, passes: null, range: null, from: 0 },
      ...{ instrument, plan: {}, sound, mix, click, patterns, pattern: null, ramp: null },
    };
    const other = having(one, { kind: 'chart-opened', file: 'b.yaml', chart, start, source: small }, undo);
    expect(onStand(other.model)?.bpm).toBe(60);
    expect(other.model.notice).toBe('nothing was chosen here that could be taken back');
  });

  it('the tempo of an external clock', () => {
    const followed = having(pressed(standingText(small), 'key-up', 'faster').model, {
      kind: 'player',
      at: 0,
      message: { kind: 'listening', label: 'MIDI Lantern', reason: null },
    }).model;
    const back = having(followed, undo).model;
    expect(back.notice).toMatch(/^key back to A, from Bb/);
    expect(onStand(back)?.bpm).toBe(105);
    expect(having(back, undo).model.notice).toBe(
      'nothing of your own to take back: the external clock sets the tempo',
    );
  });
});

describe('as many U as things that were chosen', () => {
  const actions: readonly Action[] = [
    'faster',
    'slower',
    'share-50',
    'share-100',
    'tap',
    'key-up',
    'key-down',
    'loop-from',
    'loop-to',
    'loop-off',
    'count-in',
    'layout',
    'names',
    'hide-hand',
    'hide-ahead',
    'hide-words',
    'bar-on',
    'section-on',
    'choose-voices',
    'voice-on',
    'voice-toggle',
    'voice-softer',
    'voice-louder',
    'voice-alone',
    'voice-melody',
  ];
  const presses = fc.array(fc.tuple(fc.constantFrom(...actions), fc.integer({ min: 0, max: 5000 })), {
    maxLength: 14,
  });

  it.each([false, true])(
    'lead back to where it began, at the same place, and stop nothing (playing: %s)',
    (plays) => {
      const first = standingText(small);
      fc.assert(
        fc.property(presses, (list) => {
          let model = plays ? running(first).model : first;
          let time = plays ? 5000 : 0;
          if (plays) model = having(model, { kind: 'clock', at: time }).model;
          const before = chosen(model);
          for (const [action, gap] of list) {
            time += gap;
            const inVoices = action.startsWith('voice-');
            if (model.overlay && !inVoices) model = having(model, at('back', time)).model;
            if (inVoices && !model.overlay) model = having(model, at('choose-voices', time)).model;
            model = having(model, at(action, time)).model;
          }
          const count = model.mode.kind === 'chart' ? model.mode.stand.history.steps.length : -1;
          expect(count).toBeLessThanOrEqual(list.length);
          const place = onStand(model)?.cursor.bar;
          for (let step = 0; step < count; step += 1) {
            const back = having(model, at('take-back', time));
            expect(onStand(back.model)?.cursor.bar).toBe(place);
            expect(back.model.session.link.state).toBe(model.session.link.state);
            expect(back.effects.some((one) => one.kind === 'tell' && one.message.kind === 'pause')).toBe(
              false,
            );
            expect(back.model.notice).not.toContain('nothing');
            model = back.model;
          }
          expect(chosen(model)).toEqual(before);
          expect(having(model, at('take-back', time)).model.notice).toContain('nothing');
        }),
        { numRuns: 60 },
      );
    },
  );
});

describe('U in a band', () => {
  it('reaches all where the leader presses it, and takes back nothing of the leader’s where a follower does', () => {
    const stage = new BandStage();
    const { leader, other } = stage.band(plainSong);
    const keys = () => [leader, other].map(({ model }) => keyName(viewOf(model).performance.setup.key));
    leader.press('key-up');
    stage.wait(500);
    expect(keys()).toEqual(['Ab', 'Ab']);
    other.press('hide-hand');
    other.press('take-back');
    expect(other.notices.at(-1)).toBe('the hand is shown again');
    other.press('take-back');
    stage.wait(500);
    expect(other.notices.at(-1)).toContain('nothing was chosen here');
    expect(keys()).toEqual(['Ab', 'Ab']);
    leader.press('take-back');
    stage.wait(500);
    expect(keys()).toEqual(['G', 'G']);
    expect(leader.notices.at(-1)).toMatch(/^key back to G, from Ab: /);
  });

  it('leaves the key alone that a stand had chosen before somebody else led', () => {
    const stage = new BandStage();
    const own = stage.come({ name: 'Bo' });
    own.put(plainSong);
    own.press('key-up');
    own.begin('join');
    expect(own.model.mode.kind).toBe('follow');
    own.press('take-back');
    expect(own.notices.at(-1)).toContain('nothing of your own to take back');
    expect(keyName(viewOf(own.model).performance.setup.key)).toBe('Ab');
  });
});

describe('U in a drill', () => {
  it('leaves the tempo to the ladder, and gives back what was chosen for the song it was made from', () => {
    const listed = pressed(standing('weir-hands'), 'key-up', 'choose-drill').model;
    if (listed.overlay?.kind !== 'drills') throw new Error('no drills are listed');
    const drill = listed.overlay.drills.find(({ start }) => start.ladder);
    if (!drill) throw new Error('no drill climbs');
    const drilled = having(listed, { kind: 'drill-chosen', drill }).model;
    const faster = pressed(drilled, 'count-in', 'faster').model;
    const { bpm, countIn } = viewOf(faster).performance.setup;
    const back = having(faster, undo).model;
    expect(viewOf(back).performance.setup).toMatchObject({ bpm, countIn: 1 });
    expect(countIn).not.toBe(1);
    expect(having(back, undo).model.notice).toBe(
      'nothing of your own to take back: the ladder sets the tempo',
    );
    const song = having(back, at('back'), undo).model;
    expect(song.mode.kind).toBe('chart');
    expect(song.notice).toMatch(/^key back to B, from C/);
  });
});

describe('U in a set', () => {
  it('takes back the key of the song at hand, on its card and while it plays, and none of another song', () => {
    const evening = new Evening(
      songsOf(
        [
          { name: 'weir-hands', key: 'A' },
          { name: 'ropewalk-penny', key: 'G' },
        ],
        'wait',
      ),
    );
    const key = () => keyName(viewOf(evening.model).performance.setup.key);
    evening.press('key-up');
    expect(key()).toBe('Bb');
    evening.press('take-back');
    expect(key()).toBe('A');
    evening.press('key-up');
    evening.press('song-next');
    expect(key()).toBe('G');
    evening.press('take-back');
    expect(key()).toBe('G');
    expect(evening.model.notice).toContain('nothing was chosen here');
  });
});
